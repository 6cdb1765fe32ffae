"""A worksheet's two papers: the questions with room to answer, and the key with the working."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from calculators.base.cautions import CAUTION
from calculators.rendering.answers.sheet import head_element
from calculators.rendering.elements import append, element, html
from calculators.rendering.study import question_picture
from calculators.study.items import DRAWN_AS, Item
from calculators.version import VERSION
from calculators.worksheets.asking import Worksheet


def worksheet_html(sheet: Worksheet) -> str:
    """Both papers as one fragment, each beginning on a page of its own."""
    return html(questions_element(sheet)) + html(key_element(sheet))


def questions_element(sheet: Worksheet) -> Element:
    """The paper for the class: name, questions, room to work, the code of the same worksheet."""
    asked = (_asked(sheet, item, f"asked-{n}") for n, item in enumerate(sheet.items, 1))
    rows = element("ol", *asked, class_="paper-questions")
    return _paper(
        sheet,
        sheet.title(),
        element("p", "Name: ", _line(), " Date: ", _line(), class_="paper-name"),
        element("p", f"Pressures in {sheet.units}. Write down how you got there."),
        rows,
    )


def key_element(sheet: Worksheet) -> Element:
    """The paper for the instructor: right answers, their working, and what wrong ones tell."""
    rows = element("ol", *(_solved(item) for item in sheet.items), class_="paper-key")
    return _paper(sheet, f"Key. {sheet.title()}", rows)


def _paper(sheet: Worksheet, title: str, *children: Element) -> Element:
    return element(
        "section",
        head_element(element("h1", title)),
        *(element("p", words, class_="paper-warning") for words in sheet.said),
        *children,
        element("p", CAUTION, class_="caution"),
        element(
            "p",
            f"Seed {sheet.seed}, drawn as {DRAWN_AS}, version {VERSION}. "
            "A key of another seed or version is not this sheet's.",
            class_="paper-seed",
        ),
        class_=f"paper paper-{sheet.paper}",
    )


def _line() -> Element:
    return element("span", class_="paper-line")


def _asked(sheet: Worksheet, item: Item, id: str) -> Element:
    made = element("li", element("p", item.question))
    drawn = sheet.pictured(item)
    if drawn is not None:
        append(made, question_picture(drawn, id))
    if item.right.value is None:
        boxes = (element("li", f"☐ {words}") for words in item.options())
        append(made, element("ul", *boxes, class_="paper-options"))
    else:
        append(
            made,
            element("p", "Answer: ", _line(), f" {sheet.typed_unit(item)}", class_="paper-room"),
        )
    return made


def _solved(item: Item) -> Element:
    steps = "; ".join(one.words() for one in item.working)
    made = element(
        "li",
        element("p", element("strong", item.right.words), f" — {item.question}"),
        element("p", steps, class_="paper-steps"),
    )
    if item.wrong:
        append(made, element("ul", *(_told(one.words, one.name) for one in item.wrong)))
    return made


def _told(words: str, name: str) -> Element:
    return element("li", f"{words}: {name[:1].lower()}{name[1:]}")
