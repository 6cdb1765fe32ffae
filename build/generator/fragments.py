"""The fragments that pages embed, made from the calculators' declarations and answers."""

from __future__ import annotations

import json
import shlex
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath
from urllib.parse import urlencode
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer, answer, text_with_unit
from calculators.answering.follow import finished
from calculators.answering.links import text_of
from calculators.base.errors import UnknownNameError, near
from calculators.base.fields import range_words
from calculators.base.quantities import Choice, Description, Quantity, Text
from calculators.catalog import CALCULATORS, every_calculator, find_calculator
from calculators.declaring.registry import Calculator
from calculators.kept.embedded import LIMIT, embedded_text, limit_text, moved_by
from calculators.kept.settings import touching
from calculators.law.limit_list import find_limit
from calculators.law.source_list import find_source
from calculators.questions.shared.juniper_fork import READINGS
from calculators.questions.shared.train import TRAINS
from calculators.rendering.answers.bar import bar_elements, spoken_text
from calculators.rendering.answers.html import answer_element
from calculators.rendering.answers.otherwise import differs_panel
from calculators.rendering.common import citation_words
from calculators.rendering.elements import append, element, html
from calculators.rendering.forms.fields import mark_element
from calculators.rendering.forms.form import form_html
from generator.embeds import Block
from generator.published import Expected, PublishedRow, Search, Table, agreement, ours


@dataclass(frozen=True, slots=True)
class Fragments:
    """Makes every kind of fragment; holds the published tables and the searches in vain, read once."""

    published: tuple[Table, ...]
    searched: Mapping[str, Search] = field(default_factory=dict)

    def calculator(self, block: Block) -> str:
        """A calculator with its form and the answer for the given presets, worked out now."""
        calculator = find_calculator(block.subject)
        block = replace(block, settings=_with_readings(block.settings))
        found = finished(_answered(calculator, block.settings, example=True))
        id = f"{calculator.name}-{block.number}"
        own_page = block.page == page_of(calculator.name)
        address = _relative(block.page, page_of(calculator.name))
        output = element("div", answer_element(found, id=id, page=address), class_="answer-place")
        tools = element(
            "div",
            *(
                element("button", words, type="button", data_do=do)
                for do, words in (
                    ("share", "Share"),
                    ("link", "Copy link"),
                    ("text", "Copy as text"),
                    ("print", "Print"),
                    ("start-over", "Start over"),
                )
            ),
            element("button", "Report a wrong figure", type="button", data_report="yes"),
            class_="tools",
        )
        own = " ".join(key for key in touching(found) if key not in block.settings)
        shell = html(
            element(
                "brake-calculator",
                None if own_page else element("p", _heading(calculator), class_="calculator-title"),
                element(
                    "div",
                    element("div", *bar_elements(found), class_="bar-place"),
                    element("p", spoken_text(found), role="status", class_="answer-headline"),
                    element("p", PRERENDERED, class_="state"),
                    element("p", EXAMPLE, class_="example-mark", hidden="hidden"),
                    class_="answer-bar",
                ),
                differs_panel(id),
                element("FORM"),
                output,
                tools,
                id=id,
                # Every form would answer to the same words: a search finds a page by its own text.
                # The theme ends what it leaves out at the first end tag of the same name, so the
                # mark stands on an element that holds none of its kind.
                data_search_exclude="",
                data_calculator=calculator.name,
                data_state="prerendered",
                data_example="yes",
                data_fields=own,
                data_page=address,
                **({"data_own_page": "yes"} if own_page else {}),
                **({"data_presets": json.dumps(dict(block.settings))} if block.settings else {}),
            )
        )
        # The form is already finished HTML; the shell only says where it goes.
        filled = shell.replace("<FORM></FORM>", form_html(found, id=id))
        return f'<div class="embed">{filled}</div>'

    def train_run(self, block: Block) -> str:
        """The train in time; the subject is the train that it starts from."""
        if block.subject not in TRAINS:
            raise LookupError(f'no train is called "{block.subject}"; known: {", ".join(TRAINS)}')
        return self.calculator(replace(block, subject="train-run", settings=_run_of(block)))

    def reference(self, block: Block) -> str:
        """What the declaration says: inputs with ranges and marks, validity, gaps, sources."""
        calculator = find_calculator(block.subject)
        rows = [_input_row(calculator, name, d) for name, d in calculator.inputs().items()]
        head = element(
            "tr", *(element("th", t, scope="col") for t in ("Input", "Takes", "Starts as"))
        )
        table = element("table", element("thead", head), element("tbody", *rows))
        wide = element("div", table, class_="wide", tabindex="0", role="group", aria_label="Inputs")
        inputs = "Every input: what it takes, what it starts as, its name in links"
        section = element(
            "div",
            element("h3", "Where the answer holds"),
            _bullets(calculator.validity),
            element("h3", "What it leaves out"),
            _bullets(calculator.leaves_out),
            element(
                "details",
                element("summary", inputs),
                wide,
                class_="more-fields",
                data_search_exclude="",
            ),
            element("h3", "Sources"),
            _bullets(tuple(citation_words(c.source, c.place) for c in calculator.sources)),
            class_="reference",
        )
        return html(section)

    def checks(self, block: Block) -> str:
        """Every published table of a calculator: what is printed, ours, the difference."""
        calculator = find_calculator(block.subject)
        mine = [table for table in self.published if table.calculator == calculator.name]
        if not mine:
            vain = self.searched[calculator.name]
            note = (
                "No published figure was found that this calculator could be checked against. "
                f"Looked for: {vain.looked_for}. Where: {vain.where}."
            )
            return html(element("div", element("p", note), class_="published"))
        counted = element("p", agreement(tuple(mine)))
        return html(
            element("div", counted, *(_published(table) for table in mine), class_="published")
        )

    def inline(self, words: str) -> str:
        """A figure inside a sentence: ``NAME.RESULT field=value``, ``limit ID``, ``source ID``.

        ``scenario NAME`` is a reading of the example's day. ``timer ID`` is a timer for what a limit
        has waited or read over.

        A figure follows the settings of the reader's device; with ``example`` before a calculator's
        it stays the example's, and is marked so. Behind a limit's id ``section`` adds where it is
        written, and ``figure`` leaves out the words "at most" and "at least".
        """
        parts = shlex.split(words)
        if not parts:
            raise ValueError("an empty {{ }} embeds nothing")
        kind, rest = parts[0], parts[1:]
        if kind == "limit" and rest:
            return _limit_words(rest[0], rest[1:])
        if kind == "timer" and len(rest) == 1:
            return _timer(rest[0])
        if kind == "scenario" and len(rest) == 1:
            return _reading_words(rest[0])
        if kind == "source" and len(rest) == 1:
            source = find_source(rest[0])
            return f"{source.issuer}, {source.title}"
        example = kind == "example" and bool(rest)
        if example:
            kind, *rest = rest
        name, dot, result = kind.partition(".")
        if not dot:
            raise ValueError(f'"{words}" names no figure; write calculator.result field=value')
        return _value(name, result, _with_readings(_pairs(rest)), example=example)


def _with_readings(settings: Mapping[str, str]) -> dict[str, str]:
    """An author's values, the word "scenario" replaced by the reading of the example's day."""
    return {
        name: READINGS.get(name, text) if text == "scenario" else text
        for name, text in settings.items()
    }


def _run_of(block: Block) -> dict[str, str]:
    """The inputs of a run: those of its train that differ, then the author's."""
    known = find_calculator("train-run")
    train = TRAINS[block.subject]
    of_train = {
        name: text_of(known.inputs()[name], getattr(train, name))
        for name in ("cars", "car_length", "brake_pipe_setting")
        if name in known.inputs() and known.defaults()[name] != getattr(train, name)
    }
    return of_train | dict(block.settings)


def page_of(name: str) -> Path:
    """The page of a calculator, below ``content/``."""
    return Path("calculators") / f"{name}.md"


# What script adds to this (that an answer follows) only script may promise.
PRERENDERED = "Worked out when this page was made, for the figures shown."

# Hidden; the style shows it where the device has settings of its own that this answer depends on.
EXAMPLE = "Example settings, not yours."


# On a figure that an author keeps to the example, whatever the reader's settings are.
OF_EXAMPLE = "For the example train and locomotive"


def _heading(calculator: Calculator) -> str:
    return f"{calculator.title}: {calculator.question}"


def _answered(calculator: Calculator, settings: Mapping[str, str], *, example: bool) -> Answer:
    found = answer(calculator, settings, example=example)
    if found.unknown:
        wrong = [f"{one}{near(one, calculator.inputs())}" for one in found.unknown]
        raise UnknownNameError(f"{calculator.name} has no input {', '.join(wrong)}")
    if found.errors:
        raise ValueError("; ".join(found.errors.values()))
    return found


def _pairs(words: list[str]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals:
            raise ValueError(f'"{word}" should read field=value')
        pairs[name] = value
    return pairs


def _value(name: str, result: str, settings: Mapping[str, str], *, example: bool) -> str:
    """A result or an input of an answer, shown as the answer would show it.

    A figure that follows the reader's settings keeps what was asked, for the page's script; one
    that no setting moves has nothing to follow.
    """
    text = embedded_text(name, result, settings)
    words = f"{name}.{result}" + (f"?{urlencode(settings)}" if settings else "")
    if example:
        return html(element("span", text, class_="figure of-example", title=OF_EXAMPLE))
    return _following(text, words)


def _following(text: str, words: str) -> str:
    asked = {"data_embedded": words} if moved_by(words) else {}
    return html(element("span", text, class_="figure", **asked))


def _reading_words(name: str) -> str:
    """A reading of the scenario's day, shown as the calculators that take it would show it."""
    if name not in READINGS:
        raise UnknownNameError(
            f'the scenario has no reading "{name}"; it has {", ".join(READINGS)}'
        )
    for calculator in CALCULATORS.values():
        if name in calculator.example_readings:
            text = text_with_unit(READINGS[name], calculator.inputs()[name])
            return html(element("span", text, class_="figure"))
    raise UnknownNameError(f'no calculator takes the reading "{name}"')


def _limit_words(id: str, asked: list[str]) -> str:
    limit = find_limit(id)
    if unknown := set(asked) - {"section", "figure", "edition"}:
        raise ValueError(
            f"a limit can be asked for section, figure or edition, not {sorted(unknown)}"
        )
    if "edition" in asked:
        return html(element("span", limit.edition))
    figure = "figure" in asked
    made = _following(limit_text(id, figure=figure), f"{LIMIT}{id}{' figure' if figure else ''}")
    if "section" not in asked:
        return made
    where = html(element("span", f" ({limit.section}, {limit.edition}, {limit.how_read})"))
    return f"<span>{made}{where.removeprefix('<span>')}"


def _timer(id: str) -> str:
    """A timer for the seconds of a limit, or for the minute that a fall in a minute is read over."""
    limit = find_limit(id)
    if limit.unit == "s":
        seconds = [limit.figure, *([] if limit.upper is None else [limit.upper])]
    elif limit.unit.endswith("/min"):
        seconds = [60.0]
    else:
        raise ValueError(f"{id} is in {limit.unit or 'no unit'}: nothing in it is timed")
    return html(element("time-keeper", data_seconds=" ".join(f"{one:g}" for one in seconds)))


def _relative(page: Path, target: Path) -> str:
    """The address of another page, seen from this one (each page is a folder of its own)."""
    here = PurePosixPath(page.as_posix()).with_suffix("")
    depth = len(here.parts) - (1 if here.name == "index" else 0)
    there = PurePosixPath(target.as_posix()).with_suffix("")
    return "../" * depth + f"{there}/"


def _bullets(lines: tuple[str, ...]) -> Element:
    return element("ul", *(element("li", line) for line in lines))


def _input_row(calculator: Calculator, name: str, description: Description) -> Element:
    default = calculator.defaults()[name]
    starts: str
    if isinstance(description, Choice):
        takes = ", ".join(option.value for option in description.options)
        starts = str(default)
        mark = mark_element(description.mark)
    elif isinstance(description, Quantity):
        takes = range_words(description).removeprefix("it must be ")
        starts = text_of(description, default) or description.blank or "empty"
        mark = mark_element(description.mark)
    elif isinstance(description, Text):
        takes = "; ".join(piece.text for piece in description.pieces) or description.help
        starts, mark = text_of(description, default) or description.blank or "empty", None
    else:
        raise TypeError(f"{name} is no input")
    last = element("td", starts)
    append(last, " " if mark is not None else None, mark)
    code = element("code", name)
    return element(
        "tr",
        element("th", description.term, element("small", code), scope="row"),
        element("td", takes),
        last,
    )


def _published(table: Table) -> Element:
    body = element("tbody")
    for row in table.rows:
        found = row.answer(table.calculator)
        if found.errors:
            raise ValueError(f"{table.file}, row {row.id}: {'; '.join(found.errors.values())}")
        for expected in row.expected:
            description = found.calculator.outputs()[expected.result]
            value, text = ours(found, expected.result)
            what = row.what or ", ".join(f"{k} {v}" for k, v in row.inputs.items())
            body.append(
                element(
                    "tr",
                    element(
                        "th", f"{row.id}: {description.term}", element("small", what), scope="row"
                    ),
                    element("td", expected.printed),
                    element("td", text),
                    element("td", _difference(expected.printed, value)),
                    element("td", _allowed_by(row, expected)),
                    **({"class_": "disagrees"} if expected.how == "disagrees" else {}),
                )
            )
    head = element(
        "tr",
        *(
            element("th", t, scope="col")
            for t in ("Row", "Printed", "Ours", "Difference", "Allowed by")
        ),
    )
    grid = element("table", element("thead", head), body)
    return element(
        "section",
        element("h3", table.title),
        element("p", citation_words(table.source, table.place)),
        element("p", table.notes) if table.notes else None,
        element(
            "div",
            grid,
            class_="wide",
            tabindex="0",
            role="group",
            aria_label=table.title,
            data_search_exclude="",
        ),
    )


def _allowed_by(row: PublishedRow, expected: Expected) -> str:
    if expected.how == "digits":
        return "its printed digits"
    if expected.how == "disagrees":
        return f"nothing: it does not agree. {row.reason[:1].upper()}{row.reason[1:]}"
    return row.reason


def _difference(printed: str, value: float) -> str:
    try:
        return f"{value - float(printed.replace(',', '')):+.1f}"
    except ValueError:
        return ""


def calculator_list() -> str:
    """Every calculator with its question, as a list of links from the calculators' index."""
    items = [
        element(
            "li",
            element("a", calculator.title, href=f"{name}/"),
            element("small", calculator.question),
        )
        for name, calculator in sorted(every_calculator().items(), key=lambda item: item[1].title)
    ]
    return html(element("ul", *items, class_="task-list"))
