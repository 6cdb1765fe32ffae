"""The answer in one view: what was asked, the figures, what decided, how the readings stand.

It stands first on a calculator's page and stays in sight while a thumb works on the keys below it.
"""

from __future__ import annotations

from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.answering.asked import asked_words
from calculators.answering.deciding import deciding_step
from calculators.answering.shown import STILL_OPEN, result_rows
from calculators.answering.standing import Kind, Standing, standing
from calculators.base.quantities import Quantity
from calculators.base.wording import inside
from calculators.rendering.elements import append, element, html, phrase_element

# Marks of our own: each has a shape, so that none of them lives by its color.
MARKS: dict[Kind, str] = {"within": "●", "not within": "▲", "no verdict": "◆", "not read": "○"}
# What is wider than so many digits stands in a smaller type, so that three figures share a narrow
# screen; a unit's letters are half as wide. Words and what is longer still wrap.
_LONG = 6
_LONGEST_WORD = 8
_LONGEST = 14
# What a result says that names which of two decided, where none did.
_NEITHER = "neither"


def bar_html(answer: Answer) -> str:
    """The bar as one fragment; nothing for an answer that was refused."""
    return "".join(html(part) for part in bar_elements(answer))


def bar_elements(answer: Answer) -> list[Element]:
    """What was asked, the figures and the standing, each an element."""
    first = answer.calculator.first
    if answer.outcome is None:
        return []
    asked = element("p", element("b", asked_words(answer, first)), class_="asked")
    if by := _decided(answer):
        append(asked, "; decided by ", element("b", by))
    made = [asked]
    figures = _figures(answer)
    if figures:
        made.append(element("dl", *figures, class_="big-figures"))
    # Where something warns or is still to come, the headline says what no figure does.
    warned = any(note.kind == "warning" for note in answer.outcome.notes)
    if warned or not figures or answer.outcome.to_follow is not None:
        words = phrase_element("p", answer.outcome.headline, answer.display)
        words.set("class", "headline-words")
        made.append(words)
    stands = standing_element(_standing(answer), answer)
    return made if stands is None else [*made, stands]


def spoken_text(answer: Answer) -> str:
    """The headline with the standing of the readings: what is spoken when the answer changes."""
    if answer.outcome is None:
        return "No answer yet: " + " ".join(answer.errors.values())
    said = answer.outcome.headline.text(answer.display)
    stands = _standing(answer)
    return f"{said} {stands.words.text(answer.display)}" if stands.kind else said


def _standing(answer: Answer) -> Standing:
    return standing(answer.verdicts, never=answer.calculator.first.never)


def standing_element(stands: Standing, answer: Answer) -> Element | None:
    """How the readings stand, in words, with a mark and a class for its color."""
    if not stands.kind:
        return None
    return element(
        "p",
        element("span", MARKS[stands.kind], class_="standing-mark", aria_hidden="true"),
        " ",
        phrase_element("span", stands.words, answer.display),
        class_="standing-line",
        data_standing=stands.kind,
    )


def _figures(answer: Answer) -> list[Element]:
    first = answer.calculator.first
    rows = {row.name: row for row in result_rows(answer)}
    outputs = answer.calculator.outputs()
    made = []
    for name, words in first.figures.items():
        text = rows[name].text
        size = "longest" if len(text) > _LONGEST else "long" if _is_long(text) else ""
        asks = isinstance(outputs[name], Quantity) and text != STILL_OPEN
        cell = element("div", element("dt", words))
        append(
            cell,
            element("dd", *_parted(text), class_=f"big {size}".strip(), data_figure=name),
            _differs(name, words) if asks else None,
        )
        made.append(cell)
    return made


def _number_and_unit(text: str) -> tuple[str, str] | None:
    """Part a figure from its unit; None for words and bare figures."""
    number, space, unit = text.rpartition(" ")
    if not space or not any(character.isdigit() for character in number):
        return None
    return number, unit


def _is_long(text: str) -> bool:
    """Whether a figure with its unit, or a word, would not stand on one line of a third of a phone.

    >>> _is_long("64 psi"), _is_long("13 ± 3 s"), _is_long("not read")
    (False, True, False)
    """
    parted = _number_and_unit(text)
    if parted is None:
        return len(text) > _LONGEST_WORD
    number, unit = parted
    return len(number) + len(unit) / 2 > _LONG


def _parted(text: str) -> list[Element | str]:
    """A figure with its unit in smaller letters behind it."""
    parted = _number_and_unit(text)
    if parted is None:
        return [text]
    number, unit = parted
    return [number + " ", element("small", unit)]


def _differs(name: str, words: str) -> Element:
    return element(
        "dd",
        element(
            "button",
            "Reads other?",
            element("span", f" {words}: the gauge reads something else", class_="for-readers"),
            type="button",
            data_differs=name,
        ),
        class_="differs-key",
    )


def _decided(answer: Answer) -> str:
    first = answer.calculator.first
    assert answer.outcome is not None
    if first.decided:
        named = next(row.text for row in result_rows(answer) if row.name == first.decided)
        # Where neither of two has anything to give, a step before them has taken it.
        if named != _NEITHER:
            return named
    step = deciding_step(answer)
    if step is None:
        return ""
    value = "" if step.value is None else f", {answer.display.value(step.value)}"
    return f"{inside(step.label)}{value}"
