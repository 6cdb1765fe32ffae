"""A short link asks what the long one asks, for ever; and what is no short link is called so."""

from __future__ import annotations

import binascii
import hashlib
import json
import random
import string
import zlib
from pathlib import Path
from urllib.parse import parse_qsl, urlencode

import pytest

from calculators.answering.answer import answer
from calculators.answering.links import text_of
from calculators.base.errors import InputError, UnknownNameError
from calculators.base.quantities import Choice, Quantity
from calculators.browser import reply
from calculators.catalog import CALCULATORS, every_calculator
from calculators.declaring.registry import Calculator
from calculators.short_links.dictionaries import DICTIONARIES, newest_of
from calculators.short_links.packing import LONGEST_QUESTION, opened, shortened

CARRIED = Path(__file__).parents[1] / "carried"
KEPT = json.loads((CARRIED / "short-links.json").read_text(encoding="utf-8"))
RANDOM_LINKS = 1_000
# What a code of 41 modules holds at level M, with some thirty signs of address before the text.
SHORT_ENOUGH = 150
each_calculator = pytest.mark.parametrize(
    "calculator", every_calculator().values(), ids=every_calculator()
)


def default_query(calculator: Calculator) -> str:
    return answer(calculator, {}).link_query()


def example_query(calculator: Calculator) -> str:
    return answer(calculator, {}, example=True).link_query()


def random_query(calculator: Calculator, draw: random.Random) -> str:
    """A link with any text a form may hold: figures of the range, choices, and odd words."""
    pairs = [("v", "1")]
    for name, description in calculator.inputs().items():
        if isinstance(description, Choice):
            text = draw.choice(description.options).value
        elif isinstance(description, Quantity) and draw.random() < 0.9:
            low = 0.0 if description.low is None else description.low
            high = 1000.0 if description.high is None else description.high
            text = f"{draw.uniform(low, high):.{draw.randint(0, 4)}f}"
        else:
            text = "".join(draw.choices(string.printable + "½é٣𝔸", k=draw.randint(0, 30)))
        pairs.append((name, text))
    pairs += [("limit.air-flow", str(draw.randint(1, 99)))] if draw.random() < 0.2 else []
    return urlencode([*pairs, ("pressure_unit", draw.choice(("psi", "kPa", "bar")))])


def refusal(subject: str, short: str) -> str:
    with pytest.raises(InputError) as refused:
        opened(subject, short)
    return refused.value.message


@each_calculator
def test_example_and_default_come_back(calculator: Calculator):
    for question in (default_query(calculator), example_query(calculator)):
        short = shortened(calculator.name, question)
        assert opened(calculator.name, short) == question
        assert len(short) <= SHORT_ENOUGH


@each_calculator
def test_random_links_come_back_whole(calculator: Calculator):
    draw = random.Random(f"short links of {calculator.name}")
    for _ in range(RANDOM_LINKS):
        question = random_query(calculator, draw)
        assert opened(calculator.name, shortened(calculator.name, question)) == question


@each_calculator
def test_a_short_link_answers_as_the_long_one(calculator: Calculator):
    question = example_query(calculator)
    back = dict(parse_qsl(opened(calculator.name, shortened(calculator.name, question)), True))
    found = answer(calculator, back)
    assert not found.errors
    assert found.link_query() == question


def test_the_dictionaries_are_kept_for_ever():
    """One letter changed makes every printed code unreadable, so a change is refused.

    A subject that is new gets its line here; a line that stands here never changes.
    """
    digests = {
        f"{number} {subject}": hashlib.sha256(text.encode()).hexdigest()
        for number, texts in DICTIONARIES.items()
        for subject, text in texts.items()
    }
    assert digests == KEPT["dictionaries"]


def test_every_calculator_has_a_dictionary():
    assert all(newest_of(name) for name in every_calculator())


@pytest.mark.parametrize("row", KEPT["links"], ids=lambda row: f"{row['made by']} {row['subject']}")
def test_links_of_earlier_versions_open(row: dict[str, str]):
    assert opened(row["subject"], row["short"]) == row["question"]


def test_any_damage_is_seen():
    """One sign changed or an end cut off is refused, or changed only bits that say nothing."""
    question = random_query(CALCULATORS["locomotive-brake"], random.Random("damage"))
    short = shortened("locomotive-brake", question)
    number, _, text = short.partition(".")
    tried = 0
    for place in range(len(text)):
        for sign in string.ascii_letters + string.digits + "-_":
            if sign == text[place]:
                continue
            tried += 1
            try:
                read = opened(
                    "locomotive-brake", f"{number}.{text[:place]}{sign}{text[place + 1 :]}"
                )
            except InputError:
                continue
            assert read == question
    assert tried > 1_000
    for end in range(len(text)):
        assert "damaged" in refusal("locomotive-brake", f"{number}.{text[:end]}")


@pytest.mark.parametrize(
    "short", ["", "1", "1.", ".AAAA", "1.AA AA", "1.ÄÖ", "x.AAAA", "1.A" * 5_000]
)
def test_what_is_no_short_link_is_called_damaged(short: str):
    assert "damaged" in refusal("units", short)
    assert "Nothing of it was taken" in refusal("units", short)


def test_a_later_dictionary_is_named():
    said = refusal("units", "77.AAAA")
    assert "dictionary 77" in said
    assert "later version" in said


def test_a_link_for_another_page_is_refused():
    short = shortened("units", "v=1&value=5+bar")
    for other in set(CALCULATORS) - {"units"}:
        refusal(other, short)


def test_a_crafted_link_cannot_fill_the_memory():
    with pytest.raises(InputError, match="too long"):
        shortened("units", "a" * (LONGEST_QUESTION + 1))
    packer = zlib.compressobj(wbits=-15, zdict=DICTIONARIES[newest_of("units")]["units"].encode())
    bomb = packer.compress(b"a" * 10_000_000) + packer.flush()
    text = (
        binascii.b2a_base64(bomb[:5_000], newline=False)
        .rstrip(b"=")
        .translate(bytes.maketrans(b"+/", b"-_"))
    )
    assert "damaged" in refusal("units", f"1.{text.decode()}")


def test_an_unknown_subject_is_refused():
    with pytest.raises(UnknownNameError):
        shortened("no-such-thing", "v=1")
    with pytest.raises(UnknownNameError):
        opened("no-such-thing", "1.AAAA")


def test_the_page_asks_in_the_same_words():
    question = default_query(CALCULATORS["units"])
    asked = {"kind": "short", "do": "make", "subject": "units", "query": question}
    short = json.loads(reply(json.dumps(asked)))["short"]
    back = {"kind": "short", "do": "open", "subject": "units", "short": short}
    assert json.loads(reply(json.dumps(back))) == {"query": question}
    assert "damaged" in json.loads(reply(json.dumps(back | {"short": "1.x"})))["error"]
    assert "beside" in json.loads(reply(json.dumps(back | {"beside": ["ref"]})))["error"]


def test_random_text_of_a_field_is_the_one_that_forms_write():
    """What the random links above hold stands for what forms write: a default is written back."""
    calculator = CALCULATORS["car-brake"]
    written = dict(parse_qsl(default_query(calculator), keep_blank_values=True))
    for name, value in calculator.defaults().items():
        assert written[name] == text_of(calculator.inputs()[name], value)
