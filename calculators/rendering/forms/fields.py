"""One field of a form: its label, control, unit, typical figures, help and the place of its error."""

from __future__ import annotations

from collections.abc import Iterator
from json import dumps
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer, Input
from calculators.base.quantities import MARKS, Choice, Mark, Quantity, Text
from calculators.base.results import plain
from calculators.rendering.elements import element

# In this order a unit button goes on: what is not psi is mostly bar.
TURN = ("psi", "bar", "kPa")
# Text without a unit still fits the number keyboard of a phone; signs and lists do not.
_DECIMAL, _TEXT = "decimal", "text"


def mark_element(mark: Mark) -> Element | None:
    """A mark of sureness with its meaning in words; nothing for an unmarked figure."""
    if not mark:
        return None
    return element("abbr", f"[{mark}]", title=MARKS[mark], class_="mark")


def selected(chosen: bool) -> dict[str, str]:
    """The attribute of an option that is chosen."""
    return {"selected": "selected"} if chosen else {}


def field(item: Input, answer: Answer, id: str) -> Element:
    """A field with all that stands around it."""
    description = item.description
    field_id = f"{id}-{item.name}"
    error = answer.errors.get(item.name, "")
    described = f"{field_id}-help {field_id}-error"
    label = element("label", description.term, for_=field_id)
    control: Element
    if isinstance(description, Choice):
        control = element(
            "select",
            *(
                element("option", o.words, value=o.value, **selected(o.value == item.value))
                for o in description.options
            ),
            id=field_id,
            name=item.name,
            aria_describedby=described,
        )
        box = element("div", control, class_="entry")
    elif isinstance(description, Quantity):
        control = number_input(item, description, field_id)
        box = element("div", control, unit_button(item, description), class_="entry")
    else:
        assert isinstance(description, Text)
        control = element(
            "textarea",
            item.text,
            id=field_id,
            name=item.name,
            rows="2",
            spellcheck="false",
            aria_describedby=described,
            **({"placeholder": description.blank} if description.blank else {}),
        )
        box = element("div", control, class_="entry")
    if error:
        control.set("aria-invalid", "true")
    return element(
        "div",
        label,
        box,
        _typicals(item),
        _builder(item, field_id),
        element("p", *help_parts(item), id=f"{field_id}-help", class_="help"),
        element("p", error, id=f"{field_id}-error", class_="field-error"),
        class_="field",
    )


def number_input(item: Input, description: Quantity, field_id: str, *, error: str = "") -> Element:
    """The box for a number, with the keyboard that its texts need."""
    signed = description.low is None or description.low < 0
    return element(
        "input",
        id=field_id,
        name=item.name,
        type="text",
        value=item.text,
        inputmode=_TEXT if signed or description.many else _DECIMAL,
        aria_describedby=f"{field_id}-help {field_id}-error",
        **({"placeholder": description.blank} if description.blank else {}),
        **({"data_pressure": "yes"} if description.kind == "pressure" else {}),
        **({"aria_invalid": "true"} if error else {}),
    )


def unit_button(item: Input, description: Quantity) -> Element | None:
    """The unit beside a figure: for a pressure a button that goes on to the next unit.

    The number keyboard of a phone has no letters, so that "5.9 bar" is typed as 5.9 and a tap.
    """
    if not description.unit:
        return None
    if description.kind != "pressure" or description.many:
        data = {"data_unit_label": "yes"} if description.kind == "pressure" else {}
        return element("span", description.unit, class_="unit", aria_hidden="true", **data)
    return element(
        "button",
        element("span", description.unit, data_unit_label="yes"),
        element(
            "span", f": the unit of {description.term}; go on to the next", class_="for-readers"
        ),
        type="button",
        class_="unit unit-button",
        data_unit_of=item.name,
        data_units=dumps(TURN),
    )


def _typicals(item: Input) -> Element | None:
    description = item.description
    if not isinstance(description, Quantity) or not description.typical:
        return None
    buttons = [
        element(
            "button",
            f"{plain(typical.value)}: {typical.words}",
            mark_element(typical.mark),
            type="button",
            class_="typical",
            data_fill=item.name,
            data_value=plain(typical.value),
        )
        for typical in description.typical
    ]
    return element("div", *buttons, class_="typicals")


def _builder(item: Input, field_id: str) -> Element | None:
    """The entries of a text as a list, and what can be added to it by tapping.

    It needs script and stays hidden without; `list-builder.js` brings it to life.
    """
    description = item.description
    if not isinstance(description, Text) or not description.pieces:
        return None
    pieces = [
        element("option", piece.words, value=piece.text, data_figure=piece.figure)
        for piece in description.pieces
    ]
    return element(
        "list-builder",
        element("ol", class_="built-list"),
        element(
            "div",
            _building("Add", element("select", *pieces, id=f"{field_id}-piece"), "piece"),
            _building("At, s", _number_box(f"{field_id}-at", "0"), "at"),
            _building("Figure", _number_box(f"{field_id}-figure", ""), "figure"),
            class_="fields",
        ),
        element("button", "Add to the list", type="button", data_add="yes"),
        data_for=field_id,
        hidden="hidden",
        class_="building",
    )


def _building(words: str, control: Element, part: str) -> Element:
    control.set("data-part", part)
    label = element("label", words, for_=control.get("id", ""))
    return element("div", label, control, class_="field")


def _number_box(id: str, value: str) -> Element:
    return element("input", id=id, type="text", inputmode=_DECIMAL, value=value)


def help_parts(item: Input) -> Iterator[Element | str]:
    """What helps to fill a field in, with the mark of its default."""
    description = item.description
    if isinstance(description, Quantity):
        unit = f" in {description.unit}" if description.unit else ""
        yield element("span", f"{description.term}{unit}. ", class_="for-readers")
    yield f"{description.help} " if description.help else ""
    if isinstance(description, Quantity | Choice):
        mark = mark_element(description.mark)
        # An element without children counts as false.
        if mark is not None:
            yield mark
