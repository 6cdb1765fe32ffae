"""An answer as an HTML fragment.

The generator puts it into the page at build time; in the browser the same functions make the
fragment that takes the old answer's place. Script only moves it in.
"""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.answering.deciding import deciding_step
from calculators.answering.pages import (
    page_of_limit,
    page_of_result,
    page_of_words,
    words_of_page,
)
from calculators.answering.shown import ResultRow, result_rows
from calculators.base.cautions import CAUTION, NOT_CURRENT
from calculators.base.results import Step
from calculators.rendering.answers.comparison import comparison_element
from calculators.rendering.common import decided, link_remarks, progress_words, verdict_words
from calculators.rendering.drawing.chart import chart
from calculators.rendering.drawing.train_picture import train_picture
from calculators.rendering.elements import append, element, html, phrase_element

# A figure with its band stays on one line; longer words may take several.
LONG_RESULT = 18
_ABOVE = "calculators/"


def answer_html(answer: Answer, *, id: str, page: str = "") -> str:
    """The whole answer as one fragment; see ``answer_element``."""
    return html(answer_element(answer, id=id, page=page))


def answer_element(answer: Answer, *, id: str, page: str = "") -> Element:
    """The answer as an element tree, errors as a list when there are any.

    What warns stands open; the rest stands in groups that open, each under a name of its own.

    Parameters
    ----------
    answer
        What was answered.
    id
        Keeps the ids on a page apart.
    page
        The address of the calculator's own page, seen from here: each figure leads to its proof.
    """
    if answer.outcome is None:
        items = [element("li", message) for message in answer.errors.values()]
        return element("div", element("ul", *items), class_="answer answer-refused")
    outcome, display = answer.outcome, answer.display
    # Calculators' pages stand two folders below the root; without a page no line leads anywhere.
    root = page.partition(_ABOVE)[0] if page else None
    made = element("div", class_="answer")
    if answer.calculator.estimate:
        append(made, element("p", answer.calculator.estimate, class_="estimate"))
    append(made, *(element("p", remark, class_="remark") for remark in link_remarks(answer)))
    append(
        made,
        *(
            phrase_element("p", note.text, display, class_="warning")
            for note in outcome.notes
            if note.kind == "warning"
        ),
        _to_follow(answer),
        *(comparison_element(one, display) for one in outcome.compared),
        _group("figures", "All figures", _results(answer, page, root)),
        _working(answer, root),
        _limits(answer, root),
        *_pictures(answer, id),
        _notes(answer),
    )
    append(made, element("p", CAUTION, class_="caution"))
    return made


def _group(name: str, title: str, *children: Element | None) -> Element:
    """A part of the answer that opens; the script keeps it as it was left."""
    return element(
        "details", element("summary", title), *children, class_="answer-group", data_group=name
    )


def _to_follow(answer: Answer) -> Element | None:
    """What is still being worked out; script moves the progress and answers the buttons."""
    assert answer.outcome is not None
    rest = answer.outcome.to_follow
    if rest is None:
        return None
    return element(
        "div",
        element("p", f"Here are the figures that can be had at once; {rest.what} adds to them."),
        element("progress", max=str(rest.of.of), value="0", aria_label=f"Progress of {rest.what}"),
        element("p", progress_words(rest.what, rest.of), class_="progress-words"),
        element("button", "Stop", type="button", data_do="stop"),
        element("button", f"Run {rest.what}", type="button", data_do="run", hidden="hidden"),
        class_="to-follow",
    )


def _results(answer: Answer, page: str, root: str | None) -> Element:
    made = element("dl", class_="results")
    for row in result_rows(answer):
        long = {"class_": "long"} if len(row.text) > LONG_RESULT else {}
        cell = element("dd", row.text, **long, data_result=row.name)
        made.append(
            element(
                "div",
                element("dt", _proof_link(row, page), _help(row), _says_more(answer, row, root)),
                cell,
            )
        )
    return made


def _proof_link(row: ResultRow, page: str) -> Element:
    return element("a", row.term, href=f"{page}proof/#figure-{row.name}")


def _help(row: ResultRow) -> Element | None:
    return element("small", row.help) if row.help else None


def _says_more(answer: Answer, row: ResultRow, root: str | None) -> Element | None:
    """The way to the part, circuit, limit, test or term of a result."""
    page = page_of_result(answer.calculator.name, row.name, row.term)
    if root is None or not page:
        return None
    link = element("a", words_of_page(page), href=f"{root}{page}")
    return element("small", "See ", link)


def _led(words: str, page: str, root: str | None) -> Element:
    """Words in bold, leading to the page that says more of them where there is one."""
    if root is None or not page:
        return element("b", words)
    return element("b", element("a", words, href=f"{root}{page}"))


def _working(answer: Answer, root: str | None) -> Element | None:
    assert answer.outcome is not None
    if not answer.outcome.working:
        return None
    steps = element("ol", class_="working")
    deciding = deciding_step(answer)
    for step in answer.outcome.working:
        item = element("li", _led(step.label, page_of_words(step.label), root), ": ")
        append(item, phrase_element("span", step.how, answer.display))
        if step.value is not None:
            shown = answer.display.value(step.value)
            append(item, " → ", element("span", shown, class_="figure"))
        if root is not None:
            append(item, *_see(step, root))
        if step is deciding:
            item.set("class", "decides")
            append(item, " ", element("strong", "this decided"))
        steps.append(item)
    return _group("working", "Working", steps)


def _see(step: Step, root: str) -> Iterator[Element | str]:
    for number, (words, page) in enumerate(step.see):
        yield ", " if number else " See "
        yield element("a", words, href=f"{root}{page}")
    if step.see:
        yield "."


def _limits(answer: Answer, root: str | None) -> Element | None:
    if not answer.verdicts:
        return None
    display = answer.display
    rows = element("ul", class_="limits")
    for verdict in answer.verdicts:
        title = _led(verdict.limit.title, page_of_limit(verdict.limit.id), root)
        line = element("p", title, ": ")
        read, words = decided(verdict, display)
        if read is not None:
            reads = element("span", display.value(read), class_="figure")
            append(line, "reads ", reads, "; ")
        append(line, phrase_element("span", words, display), ": ")
        append(line, element("strong", verdict.standing, class_="standing"), ".")
        if verdict.why is not None:
            append(line, " ", phrase_element("span", verdict.why, display))
        item = element("li", line, element("small", verdict_words(verdict)))
        item.set("data-standing", verdict.standing)
        if verdict.own:
            item.set("class", "own")
        rows.append(item)
    return _group("limits", "Limits", rows, element("p", NOT_CURRENT, class_="help"))


def _pictures(answer: Answer, id: str) -> Iterator[Element]:
    """Cars by time, and curves, each kind in a group."""
    assert answer.outcome is not None
    outcome, display = answer.outcome, answer.display
    if outcome.grids:
        made = (
            train_picture(grid, display, id=f"{id}-grid-{number}")
            for number, grid in enumerate(outcome.grids)
        )
        yield _group("pictures", "Every car over time", *made)
    if outcome.series:
        curves = (
            chart(series, display, id=f"{id}-curve-{number}")
            for number, series in enumerate(outcome.series)
        )
        yield _group("curves", "Curve" if len(outcome.series) == 1 else "Curves", *curves)


def _notes(answer: Answer) -> Element | None:
    assert answer.outcome is not None
    quiet = [note for note in answer.outcome.notes if note.kind == "note"]
    if not quiet:
        return None
    items = [phrase_element("li", note.text, answer.display) for note in quiet]
    return _group("notes", "Notes", element("ul", *items))
