"""The circuit's picture with the places of a family's faults marked and numbered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
from calculators.catalog import find_calculator
from calculators.circuits.description import Sheet, Spot
from calculators.equipment.faults import Fault, TrainFault
from calculators.rendering.circuit.moments import keyed_moment, story_in
from calculators.rendering.circuit.picture import picture
from calculators.rendering.circuit.symbols import ports
from calculators.rendering.elements import append, element

# Where a part stands on the sheet: a component, or the number of a pipe.
_DRAWN: Mapping[str, str] = {
    "angle-cock": "train",
    "automatic-brake-valve": "handle_valve",
    "bail-off-path": "actuating_valve",
    "brake-pipe": "train",
    "break-in-two-protection": "pipe_relay",
    "car-brake-cylinder": "train",
    "car-control-valve": "train",
    "control-reservoir": "control_reservoir",
    "control-valve": "control_valve",
    "cut-off-selector": "cut_off_valve",
    "cut-out-cock": "brake_cylinder",
    "double-check-valve": "double_check",
    "dynamic-interlock": "control_valve",
    "equalizing-reservoir": "equalizing_reservoir",
    "independent-brake-valve": "independent_valve",
    "locomotive-brake-cylinder": "brake_cylinder",
    "main-reservoir": "main_reservoir",
    "pipe-16": "16",
    "pipe-20": "20",
    "regulating-valve": "regulating_valve",
    "relay-valve": "relay_valve",
    "retaining-valve": "train",
    "service-limiting-valve": "limiting_valve",
}
# What stands elsewhere than the page of its part: the relay inside the brake valve, what a gauge reads.
_ELSEWHERE: Mapping[str, str] = {
    "brake-pipe-exhaust-leaking": "pipe_relay",
    "pipe-relay-not-exhausting": "pipe_relay",
    "pipe-relay-not-feeding": "pipe_relay",
    "reservoir-gauge-high": "equalizing_reservoir",
    "reservoir-gauge-low": "equalizing_reservoir",
    "pipe-gauge-high": "train",
    "pipe-gauge-low": "train",
    "cylinder-gauge-high": "brake_cylinder",
    "cylinder-gauge-low": "brake_cylinder",
    "main-gauge-high": "main_reservoir",
    "main-gauge-low": "main_reservoir",
}
_MARGIN = 6.0
_ROUND = 10.0
_ABOUT_A_PIPE = 12.0


def place_of(fault: Fault | TrainFault) -> str:
    """Where a fault is on the sheet: a component by id, or a pipe by its number.

    A fault of a train that has its part on the locomotive is in the train all the same.
    """
    if isinstance(fault, TrainFault):
        return "train"
    return _ELSEWHERE.get(fault.id) or _DRAWN[fault.part]


def marked_picture(
    circuit: str, faults: Sequence[Fault | TrainFault], *, id: str
) -> tuple[Element, Mapping[str, int]]:
    """The picture of a circuit with a number at every place; gives the numbers by fault.

    Raises
    ------
    LookupError
        If the sheet of that circuit does not have the place of a fault.
    """
    found = _answered(circuit)
    story, display = story_in(found), found.display
    frame = story.frames[-1]
    svg = picture(
        story.sheet,
        keyed_moment(story, frame, display),
        id=id,
        title="Where these faults are",
        words="The parts in flow order, those of the faults on this page ringed and numbered as in the list below.",
    )
    numbers: dict[str, int] = {}
    by_fault: dict[str, int] = {}
    for fault in faults:
        place = place_of(fault)
        by_fault[fault.id] = numbers.setdefault(place, len(numbers) + 1)
    for place, number in numbers.items():
        append(svg, _mark(story.sheet, place, number))
    return svg, by_fault


@cache
def _answered(circuit: str) -> Answer:
    return finished(answer(find_calculator("circuit"), {"circuit": circuit}))


def _mark(sheet: Sheet, place: str, number: int) -> Element:
    left, top, right, bottom = _box(sheet, place)
    return element(
        "g",
        element(
            "rect",
            x=f"{left:g}",
            y=f"{top:g}",
            width=f"{right - left:g}",
            height=f"{bottom - top:g}",
            rx="6",
            class_="fault-ring",
        ),
        element("circle", cx=f"{right:g}", cy=f"{top:g}", r=f"{_ROUND:g}", class_="fault-dot"),
        element(
            "text",
            str(number),
            x=f"{right:g}",
            y=f"{top + 4:g}",
            text_anchor="middle",
            class_="fault-number",
        ),
    )


def _box(sheet: Sheet, place: str) -> tuple[float, float, float, float]:
    for joint in sheet.joints:
        if joint.number == place and joint.numbered is not None:
            x, y = joint.numbered.at
            return (
                x - _ABOUT_A_PIPE,
                y - _ABOUT_A_PIPE - 2,
                x + _ABOUT_A_PIPE,
                y + _ABOUT_A_PIPE - 4,
            )
    known = {component.id: component for component in sheet.components}
    if place not in known:
        raise LookupError(f"the circuit's sheet has no {place}")
    component = known[place]
    (x, y), (w, h) = component.at, component.size
    spots: list[Spot] = [*ports(component).values(), (x - w / 2, y - h / 2), (x + w / 2, y + h / 2)]
    return (
        max(_ROUND, min(a for a, _ in spots) - _MARGIN),
        min(b for _, b in spots) - _MARGIN,
        min(sheet.width - _ROUND - 1, max(a for a, _ in spots) + _MARGIN),
        max(b for _, b in spots) + _MARGIN,
    )
