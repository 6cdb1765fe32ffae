"""A drill's question and what is said to its answer, as HTML fragments."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.base.cautions import CAUTION
from calculators.rendering.circuit.moments import keyed_moment, shown_frame, story_in
from calculators.rendering.circuit.picture import picture
from calculators.rendering.elements import append, element, html
from calculators.study.fading import Faded
from calculators.study.grading import Judged
from calculators.study.items import Item, Line

_WHY = "Somebody answered {shows}. Which mistake was it?"
_HOW = {
    "order": "Choose the order.",
    "within": "Choose how it compares, with its section.",
}


def question_html(item: Item, faded: Faded, *, id: str, unit: str, drawn: Answer | None) -> str:
    """A question with its working as far as it stands, and the way to answer it.

    Parameters
    ----------
    item
        The question.
    faded
        How much of the working stands with it.
    id
        Keeps the ids on a page apart.
    unit
        The unit of the figure asked for, as it is shown; empty for a plain number.
    drawn
        The circuit's answer that the picture shows, where there is one.
    """
    made = element("div", class_="study-question")
    words = element("p", item.question, class_="study-asked", id=f"{id}-asked", tabindex="-1")
    append(made, words, question_picture(drawn, id) if drawn is not None else None)
    if faded.steps:
        append(made, _working(faded.steps, left_out=faded.left_out))
    if faded.shows:
        asked = _WHY.format(shows=faded.shows)
        append(made, element("p", asked, class_="study-why", id=f"{id}-why"))
        append(made, _choices(faded.names, named_by=f"{id}-why"))
    elif item.right.value is None:
        append(made, _choices(item.options(), named_by=f"{id}-asked", how=_HOW.get(item.kind, "")))
    else:
        append(made, _field(id, unit))
    return html(made)


def options_html(item: Item, *, id: str) -> str:
    """Three answers to choose from, for a figure that was to be typed."""
    return html(_choices(item.options(), named_by=f"{id}-asked"))


def feedback_html(item: Item, judged: Judged, *, root: str, whole: bool) -> str:
    """What is said under the verdict.

    Parameters
    ----------
    item
        The question.
    judged
        What the answer was.
    root
        The way from the page to the site's root.
    whole
        Whether the question is done with: then the working stands there, the step marked where the
        mistake enters. Before a second try it would give the answer away.
    """
    made = element("div", class_="study-feedback")
    mistake = judged.mistake
    if mistake is not None:
        link = element("a", "Read more about this mistake", href=f"{root}{mistake.page}")
        append(made, element("p", link, class_="study-page"))
    if whole:
        marked = mistake.step if mistake is not None else ""
        append(made, _working(item.working, marked=marked))
        same = element("a", f"The same in “{item.title}”", href=f"{root}{item.address}")
        append(made, element("p", same, class_="study-page"))
        append(made, element("p", CAUTION, class_="caution"))
    return html(made)


def verdict_words(item: Item, judged: Judged, text: str, *, whole: bool) -> str:
    """The verdict in one or two sentences, as it is shown and spoken."""
    if judged.right:
        return f"Right: {item.right.words}."
    said = f"{judged.mistake.sentence()} " if judged.mistake is not None else ""
    if whole:
        return f"{said}The answer: {item.right.words}."
    return f"Not {text}. {said}Try once more."


def why_words(item: Item, chosen: str) -> str:
    """The verdict on the mistake that was named to a worked example."""
    target = item.wrong[0]
    if chosen == target.name:
        return f"Right. {target.sentence()}"
    other = next((one for one in item.wrong if one.name == chosen), None)
    gives = f"That one would give {other.words}. " if other is not None else ""
    return f"{gives}It was: {target.sentence()}"


def _field(id: str, unit: str) -> Element:
    box = element(
        "input",
        name="answer",
        id=f"{id}-answer",
        inputmode="decimal",
        autocomplete="off",
        aria_labelledby=f"{id}-asked {id}-unit",
        aria_describedby=f"{id}-error",
    )
    return element(
        "form",
        element("div", box, element("span", unit, id=f"{id}-unit"), class_="study-field"),
        element("p", id=f"{id}-error", class_="field-error", role="alert"),
        element("button", "Check", type="submit"),
        element("button", "Three to choose from", type="button", data_do="options"),
        class_="study-form",
        novalidate="novalidate",
    )


def _choices(words: tuple[str, ...], *, named_by: str, how: str = "") -> Element:
    made = element("div", role="group", aria_labelledby=named_by, class_="study-choices")
    if how:
        append(made, element("p", how))
    append(made, *(element("button", one, type="button", data_answer=one) for one in words))
    return made


def _working(
    steps: tuple[Line, ...], *, left_out: tuple[str, ...] = (), marked: str = ""
) -> Element:
    made = element("ol", class_="study-working", aria_label="The working")
    for step in steps:
        here = marked == step.label
        line = element("li", element("b", step.label), f": {step.how}")
        if step.value:
            append(line, " → ", element("span", step.value, class_="figure"))
        if here:
            append(line, element("strong", " ← here it went wrong"))
            line.set("class", "slipped")
        made.append(line)
    for label in left_out:
        made.append(element("li", element("b", label), ": yours", class_="left-out"))
    return made


def question_picture(drawn: Answer, id: str) -> Element:
    """The circuit at the question's moment; what comes next stands in no word of it."""
    story, display = story_in(drawn), drawn.display
    frame = story.frames[shown_frame(drawn, story)]
    return element(
        "div",
        picture(
            story.sheet,
            keyed_moment(story, frame, display),
            id=f"{id}-circuit",
            title="The circuit at the moment asked about",
            words="Drawn in flow order from the supply down to the brake cylinder.",
        ),
        class_="circuit-view",
        tabindex="0",
        role="group",
        aria_label="The picture",
    )
