"""A link's question made short and read again, and what is said of one that cannot be read.

A short link is ``<dictionary>.<text>``. The text is base64url of two bytes of check and the
question, deflated (RFC 1951) with a dictionary that both sides hold: the question that the page
asks by itself. All inputs stand in it, as in a long link. What a dictionary holds is settled for
good: see `short_links.dictionaries`.
"""

from __future__ import annotations

import binascii
import re
import zlib

from calculators.base.errors import InputError, UnknownNameError
from calculators.short_links.dictionaries import DICTIONARIES, newest_of

FIELD = "z"
# A question longer than this is none that a form made; a crafted link may not fill the memory.
LONGEST_QUESTION = 20_000
LONGEST_SHORT = 8_000

_SHORT = re.compile(r"(?P<dictionary>[0-9]{1,3})\.(?P<text>[A-Za-z0-9_-]+)")
_RAW_DEFLATE = -15
_STANDARD, _IN_ADDRESSES = b"+/", b"-_"


def shortened(subject: str, question: str) -> str:
    """Make the short form of a question.

    Parameters
    ----------
    subject
        The calculator's name, or another subject that `DICTIONARIES` knows.
    question
        The query of the long link, without the question mark.

    Raises
    ------
    UnknownNameError
        If no dictionary goes with the subject.
    InputError
        If the question is longer than any form makes.

    >>> opened("units", shortened("units", "v=1&value=5+bar&unit=psi"))
    'v=1&value=5+bar&unit=psi'
    """
    plain = question.encode("utf-8")
    if len(plain) > LONGEST_QUESTION:
        raise InputError(FIELD, "This is too long for a short link; use the long one.")
    try:
        newest = newest_of(subject)
    except KeyError as error:
        raise _unknown(subject) from error
    packer = zlib.compressobj(
        level=9, wbits=_RAW_DEFLATE, memLevel=9, zdict=_dictionary(subject, newest)
    )
    packed = _check(subject, newest, plain) + packer.compress(plain) + packer.flush()
    text = binascii.b2a_base64(packed, newline=False).rstrip(b"=")
    return f"{newest}.{text.translate(bytes.maketrans(_STANDARD, _IN_ADDRESSES)).decode('ascii')}"


def opened(subject: str, short: str) -> str:
    """Read the question of a short link.

    Raises
    ------
    InputError
        If it is damaged, made for another page, or made with a dictionary that this copy has not.
    UnknownNameError
        If no dictionary goes with the subject.
    """
    parts = _SHORT.fullmatch(short.strip()) if len(short) <= LONGEST_SHORT else None
    if parts is None:
        raise InputError(FIELD, _damaged("a sign in it belongs to no short link"))
    number = int(parts["dictionary"])
    if number not in DICTIONARIES:
        raise InputError(
            FIELD,
            f"This short link was made with dictionary {number}, which this copy does not have: "
            "a later version made it. Look for an update, or ask for the long link. Nothing of it was taken.",
        )
    dictionary = _dictionary(subject, number)
    text = parts["text"].encode("ascii").translate(bytes.maketrans(_IN_ADDRESSES, _STANDARD))
    try:
        packed = binascii.a2b_base64(text + b"=" * (-len(text) % 4), strict_mode=True)
        reader = zlib.decompressobj(wbits=_RAW_DEFLATE, zdict=dictionary)
        plain = reader.decompress(packed[2:], LONGEST_QUESTION)
        question = plain.decode("utf-8")
    except (ValueError, zlib.error) as error:
        raise InputError(FIELD, _damaged("it cannot be unpacked")) from error
    if not reader.eof or reader.unused_data:
        raise InputError(FIELD, _damaged("its end is missing or not its own"))
    if packed[:2] != _check(subject, number, plain):
        raise InputError(FIELD, _damaged("its check does not agree, or it is for another page"))
    return question


def _dictionary(subject: str, number: int) -> bytes:
    try:
        return DICTIONARIES[number][subject].encode("utf-8")
    except KeyError as error:
        raise _unknown(subject) from error


def _unknown(subject: str) -> UnknownNameError:
    return UnknownNameError(f'no short link is made for "{subject}"')


def _check(subject: str, number: int, plain: bytes) -> bytes:
    """Two bytes over the question and the page that it is for."""
    whole = f"{number} {subject} ".encode() + plain
    return (zlib.crc32(whole) & 0xFFFF).to_bytes(2, "big")


def _damaged(why: str) -> str:
    return (
        f"This short link is damaged: {why}. Nothing of it was taken. "
        "Copy it anew, scan the code again, or ask for the long link."
    )
