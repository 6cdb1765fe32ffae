"""A railroad's settings handed on as a link, and laid beside the device's own before any is taken.

Whose device it is, and what the railroad allows on duty, is never part of such a link: that is for
the person who holds the device to say.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from calculators.answering.answer import says_the_same, text_with_unit
from calculators.answering.links import VERSION_FIELD
from calculators.base.quantities import Choice
from calculators.kept.settings import ON_DUTY, Setting, check, settings
from calculators.kept.text import TEXT_VERSION
from calculators.law.carried import carry_over

NOT_SET = "not set"


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingRow:
    """One setting of a link: what the device has now, and what the link says, in words."""

    key: str
    term: str
    old: str
    new: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """What a link offers: settings that would change, those alike, and sentences on what is left out.

    ``entries`` are the texts that taking it over would put in, and no others.
    """

    rows: tuple[SettingRow, ...]
    same: int
    entries: Mapping[str, str]
    said: tuple[str, ...]


def handed_on(record: Mapping[str, str]) -> str:
    """The question of a link that holds the settings of a record: only what is set and can be read.

    >>> handed_on({"cars": "60", "brake_pipe_setting": "", "no_such": "1"})
    'v=1&cars=60'
    """
    pairs = [(VERSION_FIELD, str(TEXT_VERSION))]
    wrong = check(record).errors
    for key, setting in settings().items():
        text = record.get(key, "").strip()
        if text and key not in wrong and setting.section != ON_DUTY:
            pairs.append((key, text))
    return urlencode(pairs, errors="replace")


def offered(own: Mapping[str, str], link: Mapping[str, str]) -> Offered:
    """Lay the settings of a link beside the device's own. Never raises for anything in either.

    A link of a later version, whose names may mean something else, offers nothing.
    """
    version = link.get(VERSION_FIELD, str(TEXT_VERSION)).strip()
    if version != str(TEXT_VERSION):
        words = (
            f'These settings were handed on by another version ("{version[:20]}") and may mean '
            "something else by their names. Nothing was taken; look for an update."
        )
        return Offered(rows=(), same=0, entries={}, said=(words,))
    carried = carry_over({key: text for key, text in link.items() if key != VERSION_FIELD})
    checked = check(carried.entries)
    said = [*carried.said, *(f"Left out: {words}" for words in checked.errors.values())]
    said += [f'Left out: this copy knows no setting "{key[:40]}".' for key in checked.unknown]
    rows: list[SettingRow] = []
    entries: dict[str, str] = {}
    same = 0
    for key, setting in settings().items():
        text = carried.entries.get(key, "").strip()
        if not text or key in checked.errors:
            continue
        if setting.section == ON_DUTY:
            said.append(f"Left out: {setting.description.term.lower()}; only you can say that.")
            continue
        entries[key] = text
        before = own.get(key, "").strip()
        if before and _alike(setting, before, text):
            same += 1
            continue
        rows.append(
            SettingRow(
                key=key,
                term=setting.description.term,
                old=_words(setting, before) if before else NOT_SET,
                new=_words(setting, text),
            )
        )
    return Offered(rows=tuple(rows), same=same, entries=entries, said=tuple(said))


def _alike(setting: Setting, one: str, other: str) -> bool:
    if one == other:
        return True
    if setting.key in check({setting.key: one}).errors:
        return False
    return says_the_same(setting.description, setting.key, one, setting.parsed(other))


def _words(setting: Setting, text: str) -> str:
    if isinstance(setting.description, Choice):
        words = {option.value: option.words for option in setting.description.options}
        return words.get(text, text)
    return text_with_unit(text, setting.description)
