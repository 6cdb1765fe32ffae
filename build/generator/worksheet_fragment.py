"""The page's form of a worksheet, with the first sheet drawn already."""

from __future__ import annotations

from xml.etree.ElementTree import Element

from calculators.base.units import PRESSURE_UNITS
from calculators.rendering.elements import element, html
from calculators.rendering.worksheets import worksheet_html
from calculators.study.catalog import TOPICS
from calculators.worksheets.asking import LONGEST_SEED, PAPERS, worksheet
from generator.embeds import Block

FORM = "form"


def worksheet_block(block: Block) -> str:
    """``form``: the form with a first sheet; the values below it are those it starts with.

    Raises
    ------
    LookupError
        If something else is asked for.
    InputError
        If a value cannot be used.
    """
    if block.subject != FORM:
        raise LookupError(f'a worksheet embeds "{FORM}", not "{block.subject}"')
    sheet = worksheet(block.settings)
    topics = element(
        "fieldset",
        element("legend", "Topics (none marked: all)"),
        *(
            element(
                "label",
                element(
                    "input",
                    type="checkbox",
                    name="topic",
                    value=id,
                    **({"checked": "checked"} if id in sheet.topics else {}),
                ),
                f" {words}",
            )
            for id, words in TOPICS.items()
        ),
    )
    buttons = (
        ("print", "Print both papers"),
        ("table", "Save as a table"),
        ("share", "Share"),
        ("other-numbers", "Other numbers"),
    )
    shell = element(
        "work-sheet",
        element("p", "Drawn when this page was made.", class_="state", role="status"),
        element(
            "form",
            topics,
            _text("number", "Questions", str(sheet.number), inputmode="numeric"),
            _text("seed", "Seed", sheet.seed, maxlength=str(LONGEST_SEED)),
            _select("units", "Pressures in", {unit: unit for unit in PRESSURE_UNITS}, sheet.units),
            _select("paper", "Paper", PAPERS, sheet.paper),
            class_="sheet-form",
        ),
        element(
            "div",
            *(
                element("button", words, type="button", data_do=do, data_needs_sheet="")
                for do, words in buttons
            ),
            class_="tools",
        ),
        element("SHEETS"),
        id=f"worksheet-{block.number}",
        data_state="prerendered",
        data_search_exclude="",
    )
    filled = html(shell).replace(
        "<SHEETS></SHEETS>", f'<div class="sheet-place">{worksheet_html(sheet)}</div>'
    )
    return f'<div class="embed">{filled}</div>'


def _text(name: str, words: str, value: str, **attributes: str) -> Element:
    return element(
        "label",
        words,
        element("input", type="text", name=name, value=value, autocomplete="off", **attributes),
    )


def _select(name: str, words: str, options: dict[str, str], chosen: str) -> Element:
    made = (
        element(
            "option", label, value=value, **({"selected": "selected"} if value == chosen else {})
        )
        for value, label in options.items()
    )
    return element("label", words, element("select", *made, name=name))
