"""What lessons embed beside calculators: questions with their answers folded up, and the scenario."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from calculators.answering.answer import text_with_unit
from calculators.answering.links import text_of
from calculators.base.errors import UnknownNameError
from calculators.base.results import Display, plain
from calculators.catalog import CALCULATORS, find_calculator
from calculators.questions.shared.juniper_fork import LINE, READINGS, Stretch
from calculators.questions.shared.train import TRAINS
from calculators.rendering.elements import append, element, html
from calculators.rendering.study import question_picture
from calculators.study.items import Item, items
from calculators.study.pictures import pictured
from generator.addresses import address_of, folder_of
from generator.embeds import Block
from generator.fragments import page_of

_DRILL_TAKES = ("number", "seed")
_MOST = 20
# Of a train's inputs those that say what train it is, and of which calculator the words are.
_TRAIN_SAYS = ("cars", "car_length", "weight", "brake_pipe_setting")
_WORDS_OF = "stopping-distance"


def drill(block: Block) -> str:
    """Questions drawn from a seed; each answer is folded up under its question.

    Raises
    ------
    LookupError
        If there is no such topic or skill.
    ValueError
        If another line than number and seed is given, or the number is none.
    """
    if wrong := set(block.settings) - set(_DRILL_TAKES):
        raise ValueError(f"a drill takes {' and '.join(_DRILL_TAKES)}, not {', '.join(wrong)}")
    number = block.settings.get("number", "3")
    if not number.isdecimal() or not 0 < int(number) <= _MOST:
        raise ValueError(f"number is {number}; it must be a whole number from 1 to {_MOST}")
    drawn = items(block.subject.split(), int(number), block.settings.get("seed", "1"))
    up = "../" * len(folder_of(block.page).parts)
    asked = (_question(one, up, f"drill-{block.number}-{n}") for n, one in enumerate(drawn, 1))
    made = element("ol", *asked, class_="drill")
    return f'<div class="embed">{html(made)}</div>'


def _question(item: Item, up: str, id: str) -> Element:
    options = None
    drawn = pictured(item, Display())
    if item.right.value is None:
        options = element("ul", *(element("li", words) for words in item.options()))
    working = element("ol", *(element("li", line.words()) for line in item.working))
    mistakes = element("ul", *(_mistake(one.words, one.sentence()) for one in item.wrong))
    return element(
        "li",
        element("p", item.question),
        question_picture(drawn, id) if drawn is not None else None,
        options,
        element(
            "details",
            element("summary", "Answer, when you have yours"),
            element("p", element("strong", item.right.words)),
            working,
            element("p", "Mistakes people make here:"),
            mistakes,
            element("p", element("a", "The same in the calculator", href=f"{up}{item.address}")),
            class_="more-fields",
        ),
    )


def _mistake(words: str, sentence: str) -> Element:
    return element("li", element("strong", words), f": {sentence}")


def scenario(block: Block) -> str:
    """``trains``, ``line`` or ``readings`` of the one record that the examples come from."""
    makers = {"trains": _trains, "line": _line_table, "readings": _readings}
    if block.subject not in makers:
        known = ", ".join(makers)
        raise LookupError(f'the scenario has no "{block.subject}"; it has {known}')
    return html(makers[block.subject](block))


def _table(heads: tuple[str, ...], rows: Iterator[Element]) -> Element:
    head = element("tr", *(element("th", words, scope="col") for words in heads))
    return element("table", element("thead", head), element("tbody", *rows))


def _trains(block: Block) -> Element:
    known = find_calculator(_WORDS_OF).inputs()
    rows = (
        element(
            "tr",
            element("th", known[name].term, scope="row"),
            *(
                element(
                    "td", text_with_unit(text_of(known[name], getattr(train, name)), known[name])
                )
                for train in TRAINS.values()
            ),
        )
        for name in _TRAIN_SAYS
    )
    return _table(("", *TRAINS), rows)


def _line_table(block: Block) -> Element:
    rows = (
        element(
            "tr",
            element("th", f"{one.start} to {one.end}", scope="row"),
            element("td", f"{plain(one.from_mile)} to {plain(one.to_mile)}"),
            element("td", _grade(one)),
        )
        for one in LINE
    )
    return _table(("Stretch", "Mileposts", "Grade"), rows)


def _grade(stretch: Stretch) -> str:
    if stretch.grade == 0:
        return "level"
    way = "rising" if stretch.grade > 0 else "falling"
    return f"{plain(abs(stretch.grade))} % {way}"


def _readings(block: Block) -> Element:
    return _table(("Read", "Reading", "Taken by"), (_reading(name, block) for name in READINGS))


def _reading(name: str, block: Block) -> Element:
    takers = [one for one in CALCULATORS.values() if name in one.example_readings]
    if not takers:
        raise UnknownNameError(f'no calculator takes the reading "{name}"')
    description = takers[0].inputs()[name]
    links = element("td")
    for number, one in enumerate(takers):
        address = address_of(page_of(one.name), seen_from=block.page)
        append(links, ", " if number else None, element("a", one.title, href=address))
    return element(
        "tr",
        element("th", description.term, scope="row"),
        element("td", text_with_unit(READINGS[name], description)),
        links,
    )
