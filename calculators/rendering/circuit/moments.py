"""A circuit's moments as plain data by key, and the panel of gauges that shows them."""

from __future__ import annotations

from typing import Any
from xml.etree.ElementTree import Element

from calculators.answering.answer import Answer
from calculators.base.results import Display, Value, plain, psi, say
from calculators.base.units import ATMOSPHERE, CUBIC_INCHES_PER_CUBIC_FOOT
from calculators.circuits.story import Frame, Story, Told, moving_words
from calculators.circuits.words import seconds
from calculators.rendering.circuit.picture import Keyed, moment_keys
from calculators.rendering.elements import append, element

BAR_FULL = 150.0
"""Pressure at the end of a gauge's bar. [psi]"""

_BAR_LENGTH = 100.0

_CFM = 60.0 / CUBIC_INCHES_PER_CUBIC_FOOT / ATMOSPHERE

_GAUGES = (
    ("main_reservoir", "Main reservoir"),
    ("equalizing_reservoir", "Equalizing reservoir"),
    ("brake_pipe", "Brake pipe, at the head"),
    ("rear", "Brake pipe, at the rear"),
    ("brake_cylinder", "Brake cylinder"),
)
_FLOW = ("flow", "Air flow into the brake pipe")


def story_in(answer: Answer) -> Story:
    """The story that an answer was read from."""
    assert isinstance(answer.outcome, Told)
    return answer.outcome.story


def value_of(answer: Answer, name: str) -> object:
    """The value of one input of an answer."""
    return next(item.value for item in answer.inputs if item.name == name)


def shown_frame(answer: Answer, story: Story) -> int:
    """The number of the picture to begin with: the moment asked for, else before the move."""
    item = next(item for item in answer.inputs if item.name == "moment")
    if isinstance(item.value, float):
        times = [abs(frame.moment.seconds - item.value) for frame in story.frames]
        return times.index(min(times))
    if item.origin == "typed":
        return len(story.frames) - 1
    return 0


def moments(story: Story, display: Display) -> dict[str, Any]:
    """Every picture of a story as plain data.

    Returns
    -------
    dict
        ``base``: texts, classes and widths by key that stay the same through the move;
        ``frames``: those that change, with ``status`` (what is so, in words), ``begun`` (how many
        steps have begun) and ``moment`` (the time as a link says it; empty at the end).
    """
    keyed = [keyed_moment(story, frame, display).plain() for frame in story.frames]
    base = {
        kind: {key: said for key, said in keyed[0][kind].items() if _same(keyed, kind, key)}
        for kind in keyed[0]
    }
    frames = [
        {
            "status": status_text(story, frame, display),
            "begun": frame.begun,
            "moment": "" if frame.last else plain(round(frame.moment.seconds, 3)),
            **{
                kind: {key: said for key, said in found[kind].items() if key not in base[kind]}
                for kind in found
            },
        }
        for frame, found in zip(story.frames, keyed, strict=True)
    ]
    return {"base": base, "frames": frames}


def _same(keyed: list[dict[str, Any]], kind: str, key: str) -> bool:
    first = keyed[0][kind][key]
    return all(found[kind].get(key) == first for found in keyed)


def status_text(story: Story, frame: Frame, display: Display) -> str:
    """What is so in a picture, in words short enough to stand in sight."""
    pressures = frame.moment.pressures
    rest = story.run.rest_after
    if frame.first and not frame.last:
        when = say("Before")
    elif frame.last and rest is not None:
        when = say("After {time}", time=seconds(rest))
    else:
        when = say("At {time}", time=seconds(frame.moment.seconds))
    shown = say(
        ": brake pipe {pipe}, cylinder {cylinder}. ",
        pipe=psi(pressures["brake_pipe"]),
        cylinder=psi(pressures["brake_cylinder"]),
    )
    moving = moving_words(story, frame)
    return when.text(display) + shown.text(display) + moving.text(display)


def keyed_moment(story: Story, frame: Frame, display: Display) -> Keyed:
    """One picture by key: its sheet and its gauges."""
    keyed = moment_keys(story.sheet, frame.moment, display)
    texts, widths = dict(keyed.texts), dict(keyed.widths)
    for place, _ in _gauges(story):
        pressure = frame.moment.pressures[place]
        texts[f"gauge-{place}"] = display.value(psi(pressure))
        length = max(0.0, min(pressure, BAR_FULL)) / BAR_FULL * _BAR_LENGTH
        widths[f"bar-{place}"] = f"{length:.1f}"
    texts["gauge-flow"] = display.value(_flow(frame))
    return Keyed(texts=texts, classes=keyed.classes, widths=widths)


def _gauges(story: Story) -> list[tuple[str, str]]:
    """The gauges there are: no rear gauge without a train, no reservoir on a unit not in control."""
    absent = set() if story.setup.cars else {"rear"}
    if story.now.equipment.unit != "lead":
        absent.add("equalizing_reservoir")
    return [gauge for gauge in _GAUGES if gauge[0] not in absent]


def _flow(frame: Frame) -> Value:
    """Free air that the brake valve feeds into the pipe at a moment."""
    return Value(frame.moment.fed * _CFM, "cfm", 0)


def gauges_element(story: Story, display: Display, number: int, id: str) -> Element:
    """What every gauge shows before the move, at the moment shown, and in the end."""
    first, last = story.frames[0], story.frames[-1]
    shown = keyed_moment(story, story.frames[number], display)
    ends = "At rest" if story.run.rest_after is not None else "At the end"
    head = element("tr", *(element("th", t, scope="col") for t in ("Gauge", "Before", "Now", ends)))
    body = element("tbody")
    for place, name in _gauges(story):
        before = display.value(psi(first.moment.pressures[place]))
        after = display.value(psi(last.moment.pressures[place]))
        now = element("td", class_="gauge-now")
        append(
            now,
            element("b", shown.texts[f"gauge-{place}"], id=f"{id}-gauge-{place}"),
            _bar(place, shown.widths[f"bar-{place}"], id),
        )
        body.append(
            element(
                "tr",
                element("th", name, scope="row"),
                element("td", before),
                now,
                element("td", after),
            )
        )
    key, name = _FLOW
    body.append(
        element(
            "tr",
            element("th", name, scope="row"),
            element("td", display.value(_flow(first))),
            element("td", element("b", shown.texts["gauge-flow"], id=f"{id}-gauge-{key}")),
            element("td", display.value(_flow(last))),
        )
    )
    table = element(
        "table",
        element("caption", "What every gauge shows"),
        element("thead", head),
        body,
        class_="gauge-table",
    )
    return element(
        "div",
        table,
        class_="wide gauges",
        tabindex="0",
        role="region",
        aria_label="What every gauge shows",
    )


def _bar(place: str, width: str, id: str) -> Element:
    role = {"rear": "brake_pipe"}.get(place, place)
    return element(
        "svg",
        element("rect", x="0", y="1", width=f"{_BAR_LENGTH:g}", height="6", class_="bar-scale"),
        element(
            "rect",
            x="0",
            y="1",
            width=width,
            height="6",
            class_=f"bar carries-{role}",
            id=f"{id}-bar-{place}",
        ),
        viewBox=f"0 0 {_BAR_LENGTH:g} 8",
        aria_hidden="true",
        class_="gauge-bar",
    )
