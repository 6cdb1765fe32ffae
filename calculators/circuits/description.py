"""What a circuit is made of: components with ports, joined by lines, laid out on a sheet.

Kinds are the symbols of ISO 1219-1 (fluid power). Places on the sheet are in its own units, x to
the right and y down; one unit is about one pixel on a phone.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

Kind = Literal[
    "reservoir",
    "reducer",
    "three-way",
    "two-way",
    "change-over",
    "shuttle",
    "cylinder",
    "cars",
    "unit",
    "restrictor",
]
Carries = Literal[
    "main_reservoir",
    "equalizing_reservoir",
    "brake_pipe",
    "pipe_16",
    "pipe_20",
    "brake_cylinder",
    "reservoir",
]
Anchor = Literal["start", "middle", "end"]
Spot = tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Lettering:
    """Where a text stands on the sheet."""

    at: Spot
    anchor: Anchor = "start"


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """One component: its symbol, its place, its name, and what is written beside it.

    ``faces`` is the way its outlet points, ``rests`` the square of a two-way valve that its lines
    are drawn to, ``feeds`` the side of a three-way valve whose pilot makes it feed. ``manual`` draws a lever or button, ``pilots`` names the ports where a pressure
    works on it. ``reading`` is where the pressure of ``place`` is printed,
    ``state`` where the state of the component is said in words.
    """

    id: str
    kind: Kind
    at: Spot
    name: str
    named: Lettering
    size: Spot = (0.0, 0.0)
    faces: Literal["down", "right", "up", "left"] = "down"
    rests: Literal["open", "shut"] = "shut"
    feeds: Literal["left", "right"] = "right"
    manual: Literal["", "lever", "button"] = ""
    pilots: tuple[str, ...] = ()
    place: str = ""
    reading: Lettering | None = None
    state: Lettering | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint:
    """A line between ports: its route, what it carries, which passages move air in it.

    ``route`` goes through named ports ("relay_valve.out") and corners. ``passages`` gives +1 for
    a passage whose air runs along the route and -1 for one that runs against it. ``place`` is
    the volume whose pressure fills the line. ``number`` is the pipe's number in the trade.
    """

    id: str
    carries: Carries
    route: tuple[str | Spot, ...]
    place: str
    passages: Mapping[str, int] = field(default_factory=dict)
    arrow: Spot | None = None
    number: str = ""
    numbered: Lettering | None = None
    reading: Lettering | None = None
    tees: tuple[Spot, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """One band of the sheet: a stage of the flow."""

    name: str
    top: float
    bottom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """The parts of one locomotive as they are laid out."""

    id: str
    width: float
    height: float
    bands: tuple[Band, ...]
    components: tuple[Component, ...]
    joints: tuple[Joint, ...]

    def component(self, id: str) -> Component:
        """The component of that id; raises KeyError if the sheet has none."""
        return {component.id: component for component in self.components}[id]
