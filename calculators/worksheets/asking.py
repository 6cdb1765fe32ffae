"""What a worksheet is asked for, as texts; its link; and what to say of one made by another version.

A worksheet is drawn without anybody's own settings, so that a class gets alike papers.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from calculators.answering.answer import Answer
from calculators.base.errors import InputError, UnknownNameError
from calculators.base.results import Display
from calculators.base.units import PRESSURE_UNITS, convert
from calculators.study.catalog import TOPICS, find_skill
from calculators.study.items import DRAWN_AS, Item, items
from calculators.study.pictures import pictured
from calculators.version import VERSION

MOST_QUESTIONS = 60
LONGEST_SEED = 40
PAPERS = {"letter": "Letter", "a4": "A4"}
DEFAULTS: Mapping[str, str] = {
    "topics": "",
    "number": "10",
    "seed": "1",
    "units": "psi",
    "paper": "letter",
}
# What a link names beside these: how its questions are drawn, and the version that made it.
_DRAWN, _VERSION, _LINK = "drawn", "version", "v"
_LINK_VERSION = "1"


@dataclass(frozen=True, slots=True, kw_only=True)
class Worksheet:
    """A worksheet with its questions, in their order.

    ``topics`` are ids of `study.catalog.TOPICS` or of single skills, none for all; ``said`` are
    sentences on a link that another version made: its printed key is then not this sheet's.
    """

    topics: tuple[str, ...]
    number: int
    seed: str
    units: str
    paper: str
    items: tuple[Item, ...]
    said: tuple[str, ...] = ()

    def title(self) -> str:
        """What is printed at its head."""
        named = dict.fromkeys(_named(topic) for topic in self.topics)
        return f"Worksheet: {', '.join(named)}" if named else "Worksheet"

    def typed_unit(self, item: Item) -> str:
        """The unit in which an answer is to be written; empty for words."""
        return Display(pressure=self.units).unit_for(item.right.unit) if item.right.unit else ""

    def typed_value(self, item: Item) -> tuple[float, float]:
        """The right figure of a question and its tolerance, in the unit of `typed_unit`.

        Raises
        ------
        ValueError
            If the answer is no figure.
        """
        right = item.right
        if right.value is None:
            raise ValueError(f"{item.skill} is answered in words")
        unit = self.typed_unit(item)
        if unit == right.unit:
            return right.value, right.tolerance
        return convert(right.value, right.unit, unit), convert(right.tolerance, right.unit, unit)

    def pictured(self, item: Item) -> Answer | None:
        """The circuit that a question shows, in the sheet's unit; None where it shows none."""
        return pictured(item, Display(pressure=self.units))

    def query(self) -> str:
        """The question of a link that makes the same worksheet."""
        return urlencode(
            [
                (_LINK, _LINK_VERSION),
                ("topics", " ".join(self.topics)),
                ("number", str(self.number)),
                ("seed", self.seed),
                ("units", self.units),
                ("paper", self.paper),
                (_DRAWN, str(DRAWN_AS)),
                (_VERSION, VERSION),
            ]
        )


def _named(topic: str) -> str:
    """A topic by its name; of a single skill only its topic, as the mistake's name would tell."""
    if topic in TOPICS:
        return TOPICS[topic]
    return f"{TOPICS[find_skill(topic).form.topic]} (chosen questions)"


def worksheet(raw: Mapping[str, str]) -> Worksheet:
    """Make a worksheet from texts as typed; what is left out is as in `DEFAULTS`.

    Raises
    ------
    InputError
        Names the field, what it says and what it may say.
    """
    known = {*DEFAULTS, _DRAWN, _VERSION, _LINK}
    for name in raw:
        if name not in known:
            raise InputError(
                name, f'A worksheet has no "{name[:40]}"; it has {", ".join(DEFAULTS)}.'
            )
    given = {name: raw.get(name, "").strip() or text for name, text in DEFAULTS.items()}
    number = given["number"]
    if not (number.isascii() and number.isdecimal()) or not 0 < int(number[:6]) <= MOST_QUESTIONS:
        raise InputError(
            "number",
            f"Questions is {number[:20]}; it must be a whole number from 1 to {MOST_QUESTIONS}.",
        )
    if len(given["seed"]) > LONGEST_SEED:
        raise InputError("seed", f"The seed is longer than {LONGEST_SEED} signs.")
    if given["units"] not in PRESSURE_UNITS:
        raise InputError(
            "units",
            f'Units is "{given["units"][:20]}"; choose one of: {", ".join(PRESSURE_UNITS)}.',
        )
    if given["paper"] not in PAPERS:
        raise InputError(
            "paper", f'Paper is "{given["paper"][:20]}"; choose one of: {", ".join(PAPERS)}.'
        )
    topics = tuple(dict.fromkeys(given["topics"].replace(",", " ").split()))
    try:
        drawn = items(
            topics, int(number), given["seed"], display=Display(pressure=given["units"]), alike=True
        )
    except UnknownNameError as error:
        raise InputError("topics", f"{str(error)[:1].upper()}{str(error)[1:]}.") from error
    return Worksheet(
        topics=topics,
        number=int(number),
        seed=given["seed"],
        units=given["units"],
        paper=given["paper"],
        items=drawn,
        said=tuple(_of_another_version(raw)),
    )


def _of_another_version(raw: Mapping[str, str]) -> list[str]:
    drawn, version = raw.get(_DRAWN, ""), raw.get(_VERSION, "")
    if drawn in ("", str(DRAWN_AS)) and version in ("", VERSION):
        return []
    return [
        f"This link was made by version {version[:12] or 'unknown'}, and this copy is {VERSION}: a key "
        "printed then is not this sheet's. Print questions and key together."
    ]
