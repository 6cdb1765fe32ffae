"""Pipe numbers of the locomotive's brake: which device each belongs to and what it carries.

Only numbers that were read stand here, and 16, which is common practice. The regulation numbers
no pipe, and a number may name another passage on another device (ARMY-224, independent valve
test: pipe 13 enters a relay air valve at its port 10), so the device is said with every number.
"""

from __future__ import annotations

from dataclasses import dataclass

from calculators.base.quantities import Mark
from calculators.law.records import Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class Pipe:
    """One numbered pipe or port.

    ``source`` is None for a number that is common practice. ``page`` is the page of the part
    that tells most about it, below ``content/parts/`` and without its ending.
    """

    number: int
    device: str
    carries: str
    mark: Mark
    page: str
    source: Citation | None = None


_VALVE = "automatic brake valve"
_CHARGING = Citation("ARMY-223", "para. 4-11")
_SERVICE = Citation("ARMY-224", "para. 4-11")
_PROTECTION = Citation("ARMY-223", "p. 4-78")
_INDEPENDENT = Citation("ARMY-224", "independent valve test")

PIPES: tuple[Pipe, ...] = (
    Pipe(
        number=1,
        device="every vehicle",
        carries="brake pipe",
        mark="S*",
        page="brake-pipe",
        source=_CHARGING,
    ),
    Pipe(
        number=3,
        device=_VALVE,
        carries="control of the equalizing reservoir's cut-off; vented in service",
        mark="S*",
        page="automatic-brake-valve",
        source=_SERVICE,
    ),
    Pipe(
        number=5,
        device=_VALVE,
        carries="equalizing reservoir to the relay's diaphragm",
        mark="S*",
        page="equalizing-reservoir",
        source=_CHARGING,
    ),
    Pipe(
        number=7,
        device=_VALVE,
        carries="control of the equalizing reservoir's cut-off, behind the cut-off selector",
        mark="S*",
        page="automatic-brake-valve",
        source=_SERVICE,
    ),
    Pipe(
        number=12,
        device=_VALVE,
        carries="main-reservoir air in emergency position",
        mark="S*",
        page="emergency-limiting-valve",
        source=_PROTECTION,
    ),
    Pipe(
        number=13,
        device="independent brake valve",
        carries="actuating air: bail-off, from unit to unit",
        mark="S",
        page="bail-off-path",
        source=_INDEPENDENT,
    ),
    Pipe(
        number=15,
        device=_VALVE,
        carries="regulating valve to equalizing reservoir, both ways",
        mark="S*",
        page="regulating-valve",
        source=_SERVICE,
    ),
    Pipe(
        number=16,
        device="control valve",
        carries="control valve to the double check valve and relay: the automatic pilot",
        mark="P",
        page="pipe-16",
    ),
    Pipe(
        number=20,
        device="independent brake valve",
        carries="independent application and release, from unit to unit",
        mark="S",
        page="pipe-20",
        source=_INDEPENDENT,
    ),
    Pipe(
        number=53,
        device="break-in-two protection",
        carries="shuts the brake pipe cut-off valve when an emergency comes from the train",
        mark="S*",
        page="break-in-two-protection",
        source=_PROTECTION,
    ),
)
"""All numbered pipes, in order of their numbers."""
