"""The form of a railroad's settings, the pocket card, and the style rules that mark examples."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from xml.etree.ElementTree import Element

from calculators.answering.links import PRESSURE_UNIT_FIELD
from calculators.base.quantities import Choice, Quantity, Text
from calculators.base.results import plain
from calculators.cards.pocket import card
from calculators.kept.settings import (
    ON_DUTY,
    OWN_LIMITS,
    Setting,
    judged_limits,
    settings,
)
from calculators.law.carried import OWN_LIMIT_PREFIX
from calculators.rendering.answers.card import card_html
from calculators.rendering.elements import append, element, html
from calculators.rendering.forms.fields import mark_element
from generator.embeds import Block
from generator.fragments import EXAMPLE

FORM_ID = "my-railroad"
STYLE = Path("own") / "railroad.css"

# What a crew sets first; the rest stands behind, by subject.
FIRST = (
    "brake_pipe_setting",
    PRESSURE_UNIT_FIELD,
    "service_limit",
    "emergency_limit",
    "main_reservoir",
    "minimum_reduction",
    "cars",
    "car_length",
)

_WITHOUT_SCRIPTS = (
    "With scripts off nothing can be kept here, and every page shows the example settings."
)
_SECTION_HELP = {
    OWN_LIMITS: (
        "Where your railroad is stricter than the regulation. Both then stand with the answer, "
        "yours first and marked as yours; the stricter governs."
    ),
}


def railroad(block: Block) -> str:
    """The form of all settings, empty: script fills it with what the device holds."""
    if block.subject != "settings":
        raise LookupError(f'a railroad embeds "settings", not "{block.subject}"')
    return f'<div class="embed">{html(_railroad())}</div>'


def pocket_card(block: Block) -> str:
    """The pocket card for the example settings; script puts the railroad's own in its place."""
    if block.subject != "main-figures":
        raise LookupError(f'a pocket card embeds "main-figures", not "{block.subject}"')
    made = card({})
    if made.errors:
        raise ValueError("; ".join(made.errors.values()))
    shell = html(
        element(
            "pocket-card",
            element("p", EXAMPLE, class_="example-mark", hidden="hidden"),
            element("p", "", class_="state", role="status"),
            element("CARD"),
            element(
                "div",
                element("button", "Print the card", type="button", data_do="print"),
                element("button", "Copy as text", type="button", data_do="text"),
                element("button", "Report a wrong figure", type="button", data_report="yes"),
                class_="tools",
            ),
            data_search_exclude="",
            data_state="prerendered",
            data_example="yes",
            data_fields=" ".join(setting.key for setting in _offered()),
        )
    )
    place = f'<div class="card-place">{card_html(made, own=False)}</div>'
    filled = shell.replace("<CARD></CARD>", place)
    return f'<div class="embed">{filled}</div>'


def example_marks() -> str:
    """The style rules that show "example settings" from the first paint, one a setting.

    The document names the settings that the device has (``data-own``), an answer those that it
    depends on (``data-fields``); only a rule for each name can compare the two before any script
    of the page has run.
    """
    marked = ["[data-own~='broken'] .example-mark"]
    marked += [
        f"[data-own~='{setting.key}'] [data-example][data-fields~='{setting.key}'] .example-mark"
        for setting in _offered()
    ]
    return ",\n".join(marked) + " {\n  display: block;\n}\n"


def write_style(root: Path, staged: Path) -> None:
    """Write our style for these elements with the rules that only a build can make."""
    written = (root / "build" / "theme" / STYLE).read_text(encoding="utf-8")
    (staged / STYLE).parent.mkdir(parents=True, exist_ok=True)
    (staged / STYLE).write_text(f"{written}\n{example_marks()}", encoding="utf-8", newline="\n")


def _offered() -> Iterator[Setting]:
    """The settings of the form: of the limits those that some calculator judges by."""
    judged = {f"{OWN_LIMIT_PREFIX}{id}" for id in judged_limits()}
    for key, setting in settings().items():
        if setting.section != OWN_LIMITS or key in judged:
            yield setting


def _railroad() -> Element:
    offered = {setting.key: setting for setting in _offered()}
    first = [offered.pop(key) for key in FIRST]
    sections: dict[str, list[Element]] = {}
    for setting in offered.values():
        sections.setdefault(setting.section, []).append(_field(setting))
    form = element(
        "form",
        data_search_exclude="",
        id=f"{FORM_ID}-form",
        class_="asking",
        action="#",
        method="get",
        autocomplete="off",
        novalidate="novalidate",
    )
    form.append(
        element("div", *(_field(setting, short=True) for setting in first), class_="fields first")
    )
    form.append(_meanings(first))
    for title, fields in sections.items():
        details = element(
            "details",
            element("summary", f"{title} ", element("small", f"{len(fields)} more")),
            class_="more-fields",
        )
        help = _SECTION_HELP.get(title)
        grid = element("div", *fields, class_="fields")
        append(details, element("p", help, class_="help") if help else None, grid)
        form.append(details)
    return element(
        "my-railroad",
        element("div", class_="railroad-troubles"),
        element("p", _WITHOUT_SCRIPTS, class_="state", role="status"),
        form,
        element(
            "div",
            _button("reset", "Forget them all"),
            _button("undo", "Undo", hidden="hidden"),
            class_="tools",
        ),
        element("div", class_="settings-offer"),
        _export(),
        _import(),
        id=FORM_ID,
        data_state="prerendered",
    )


def _meanings(first: list[Setting]) -> Element:
    """What the figures asked for first are; their fields have no room for it."""
    rows = (
        element("li", element("strong", setting.description.term), ". ", *_help(setting))
        for setting in first
    )
    summary = element("summary", "What these eight are, and how pages start without them")
    return element("details", summary, element("ul", *rows), class_="more-fields")


def _export() -> Element:
    return element(
        "section",
        element("h2", "Take them along", id="take-them-along"),
        element(
            "p",
            "As a text that people can read and any copy of this reference can read back in: "
            "for another phone, for the others on your crew, or to keep.",
        ),
        element(
            "div",
            _button("copy", "Copy as text"),
            _button("save", "Save as a file"),
            _button("hand-on", "Share as a link"),
            class_="tools",
        ),
    )


def _import() -> Element:
    text_id, file_id = f"{FORM_ID}-text", f"{FORM_ID}-file"
    return element(
        "section",
        element("h2", "Read them from a text", id="read-them-from-a-text"),
        element(
            "div",
            element("label", "A file with settings", for_=file_id),
            element("input", type="file", id=file_id, accept=".txt,text/plain"),
            class_="field",
        ),
        element(
            "div",
            element("label", "Or the text itself", for_=text_id),
            element("textarea", "", id=text_id, rows="6", spellcheck="false"),
            class_="field",
        ),
        element("div", _button("read", "Put it into the form"), class_="tools"),
        element("div", class_="railroad-problems", role="status"),
    )


def _button(do: str, words: str, **attributes: str) -> Element:
    return element("button", words, type="button", data_do=do, **attributes)


def _field(setting: Setting, *, short: bool = False) -> Element:
    id = f"{FORM_ID}-{setting.key}"
    described = f"{id}-help {id}-error {id}-remark"
    description = setting.description
    if isinstance(description, Choice):
        control = _select(setting, description, id=id, aria_describedby=described)
        box = element("div", control, class_="entry")
        typical = None
    elif isinstance(description, Text):
        control = element(
            "input",
            type="text",
            name=setting.key,
            placeholder="not set",
            id=id,
            aria_describedby=described,
        )
        box = element("div", control, class_="entry")
        typical = None
    else:
        control = _entry(setting, description, id=id, aria_describedby=described)
        box = element("div", control, _unit(description), class_="entry")
        typical = None if short else _typicals(setting, description)
    return element(
        "div",
        element("label", description.term, for_=id),
        box,
        typical,
        element("p", *_help(setting), id=f"{id}-help", class_="for-readers" if short else "help"),
        element("p", "", id=f"{id}-error", class_="field-error"),
        element("p", "", id=f"{id}-remark", class_="from-settings"),
        class_="field",
    )


def _select(setting: Setting, choice: Choice, **attributes: str) -> Element:
    options = [element("option", option.words, value=option.value) for option in choice.options]
    return element(
        "select", element("option", "not set", value=""), *options, name=setting.key, **attributes
    )


def _entry(setting: Setting, quantity: Quantity, **attributes: str) -> Element:
    signed = quantity.low is None or quantity.low < 0
    return element(
        "input",
        type="text",
        name=setting.key,
        inputmode="text" if signed or quantity.many else "decimal",
        placeholder="not set",
        **({"data_pressure": "yes"} if quantity.kind == "pressure" else {}),
        **attributes,
    )


def _unit(quantity: Quantity) -> Element | None:
    if not quantity.unit:
        return None
    data = {"data_unit_label": "yes"} if quantity.kind == "pressure" else {}
    return element("span", quantity.unit, class_="unit", aria_hidden="true", **data)


def _typicals(setting: Setting, quantity: Quantity) -> Element | None:
    if not quantity.typical:
        return None
    buttons = [
        element(
            "button",
            f"{plain(typical.value)}: {typical.words} ",
            mark_element(typical.mark),
            type="button",
            class_="typical",
            data_fill=setting.key,
            data_value=plain(typical.value),
        )
        for typical in quantity.typical
    ]
    return element("div", *buttons, class_="typicals")


def _help(setting: Setting) -> Iterator[Element | str | None]:
    description = setting.description
    if isinstance(description, Quantity) and description.unit:
        yield element("span", f"In {description.unit}. ", class_="for-readers")
    yield f"{description.help} " if description.help else ""
    starts = " or ".join(_start_words(setting, text) for text in setting.starts())
    if starts:
        yield f"Not set, pages start with {starts} "
        yield None if isinstance(description, Text) else mark_element(description.mark)
    elif setting.key == PRESSURE_UNIT_FIELD:
        yield "Not set, pages show psi."
    elif setting.section == ON_DUTY:
        yield "Not set, nothing is shown."


def _start_words(setting: Setting, text: str) -> str:
    description = setting.description
    if isinstance(description, Choice):
        return f'"{description.words_of(text)}"'
    unit = description.unit if isinstance(description, Quantity) else ""
    return f"{text} {unit}".strip()
