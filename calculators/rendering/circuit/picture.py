"""A circuit's picture, and its moments as texts and classes by key.

The picture is made once. Every moment of the move is a set of texts, classes and widths by the key
of the element they belong to, which is all that a script needs to show another moment. The drawing
knows components, ports and lines, and no brakes.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from typing import Any
from xml.etree.ElementTree import Element

from calculators.base.results import Display, psi
from calculators.circuits.description import Component, Joint, Sheet, Spot
from calculators.circuits.states import Moment
from calculators.rendering.circuit.symbols import arrowheads, group, lettering, ports, symbol
from calculators.rendering.elements import append, element


@dataclass(frozen=True, slots=True, kw_only=True)
class Keyed:
    """One moment by key: texts, classes, and lengths of bars."""

    texts: dict[str, str]
    classes: dict[str, str]
    widths: dict[str, str]

    def plain(self) -> dict[str, Any]:
        """As plain data."""
        return {"texts": self.texts, "classes": self.classes, "widths": self.widths}


def picture(sheet: Sheet, shown: Keyed, *, id: str, title: str, words: str) -> Element:
    """The picture of a sheet at a moment; ``id`` keeps the ids on a page apart."""
    svg = element(
        "svg",
        element("title", title, id=f"{id}-title"),
        element("desc", words, id=f"{id}-desc"),
        viewBox=f"0 0 {sheet.width:g} {sheet.height:g}",
        role="img",
        aria_labelledby=f"{id}-title {id}-desc",
        class_="circuit-picture",
    )
    append(svg, *_bands(sheet))
    places = {component.id: ports(component) for component in sheet.components}
    for joint in sheet.joints:
        svg.append(_joint(joint, places, shown, id))
    for joint in sheet.joints:
        for x, y in joint.tees:
            svg.append(element("circle", cx=f"{x:g}", cy=f"{y:g}", r="3.5", class_="tee"))
    for component in sheet.components:
        svg.append(_component(component, shown, id))
    for joint in sheet.joints:
        append(svg, *_joint_texts(joint, shown, id))
    return svg


def moment_keys(sheet: Sheet, at: Moment, display: Display) -> Keyed:
    """A moment of a sheet as texts and classes by key."""
    texts: dict[str, str] = {}
    classes: dict[str, str] = {}
    for component in sheet.components:
        state = at.parts[component.id]
        words = [f"part kind-{component.kind}"]
        if state.position:
            words.append(f"at-{state.position}")
        if state.blows:
            words.append("blows")
        classes[f"part-{component.id}"] = " ".join(words)
        if component.state is not None and state.words is not None:
            texts[f"state-{component.id}"] = state.words.text(display)
        if component.reading is not None:
            texts[f"value-{component.id}"] = _figure(at, component.place, display)
    for joint in sheet.joints:
        flow = {1: "forward", -1: "backward", 0: "still"}[at.flows[joint.id]]
        empty = " empty" if at.empty[joint.id] else ""
        carries = at.carries.get(joint.id, joint.carries)
        classes[f"joint-{joint.id}"] = f"joint carries-{carries} flow-{flow}{empty}"
        if joint.reading is not None:
            texts[f"value-{joint.id}"] = _figure(at, joint.place, display)
    return Keyed(texts=texts, classes=classes, widths={})


def route_of(joint: Joint, places: dict[str, Any]) -> list[Spot]:
    """The corners of a line, ports put in their places.

    Raises
    ------
    KeyError
        If it names a component or port that the sheet does not have.
    """
    corners: list[Spot] = []
    for stop in joint.route:
        if isinstance(stop, str):
            component, _, port = stop.partition(".")
            corners.append(places[component][port])
        else:
            corners.append(stop)
    return corners


def _figure(at: Moment, place: str, display: Display) -> str:
    pressure = at.pressures.get(place)
    return "" if pressure is None else display.value(psi(pressure))


def _bands(sheet: Sheet) -> list[Element]:
    made: list[Element] = []
    for number, band in enumerate(sheet.bands):
        made.append(
            element(
                "rect",
                x="0",
                y=f"{band.top:g}",
                width=f"{sheet.width:g}",
                height=f"{band.bottom - band.top:g}",
                class_=f"band band-{number % 2}",
            )
        )
        made.append(lettering(band.name, (20, band.top + 15), "start", "band-name"))
    return made


def _joint(joint: Joint, places: dict[str, Any], shown: Keyed, id: str) -> Element:
    corners = route_of(joint, places)
    points = " ".join(f"{x:g},{y:g}" for x, y in corners)
    children = [element("polyline", points=points, class_="line")]
    if joint.arrow is not None:
        children += arrowheads(joint.arrow, _along(corners, joint.arrow))
    key = f"joint-{joint.id}"
    return group(shown.classes[key], *children, id=f"{id}-{key}")


def _along(corners: list[Spot], spot: Spot) -> Spot:
    """Direction of the stretch of a line that a spot lies on."""
    for (x1, y1), (x2, y2) in pairwise(corners):
        on_x = min(x1, x2) - 0.5 <= spot[0] <= max(x1, x2) + 0.5
        on_y = min(y1, y2) - 0.5 <= spot[1] <= max(y1, y2) + 0.5
        if on_x and on_y and (x1, y1) != (x2, y2):
            length = abs(x2 - x1) + abs(y2 - y1)
            return (x2 - x1) / length, (y2 - y1) / length
    raise ValueError(f"no stretch of the line {corners} runs through {spot}")


def _component(component: Component, shown: Keyed, id: str) -> Element:
    key = f"part-{component.id}"
    texts = [lettering(component.name, component.named.at, component.named.anchor, "part-name")]
    if component.state is not None:
        state = f"state-{component.id}"
        texts.append(
            lettering(
                shown.texts.get(state, ""),
                component.state.at,
                component.state.anchor,
                "part-state",
                id=f"{id}-{state}",
            )
        )
    if component.reading is not None:
        value = f"value-{component.id}"
        texts.append(
            lettering(
                shown.texts[value],
                component.reading.at,
                component.reading.anchor,
                "reading",
                id=f"{id}-{value}",
            )
        )
    return group(shown.classes[key], symbol(component), *texts, id=f"{id}-{key}")


def _joint_texts(joint: Joint, shown: Keyed, id: str) -> list[Element]:
    made: list[Element] = []
    if joint.numbered is not None:
        made.append(
            lettering(joint.number, joint.numbered.at, joint.numbered.anchor, "pipe-number")
        )
    if joint.reading is not None:
        key = f"value-{joint.id}"
        made.append(
            lettering(
                shown.texts[key],
                joint.reading.at,
                joint.reading.anchor,
                "reading",
                id=f"{id}-{key}",
            )
        )
    return made
