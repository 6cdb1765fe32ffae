"""What the limits ask of a train: which of them stand in a test, and what they come to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calculators.base.results import Phrase, Reading, psi
from calculators.law.limit_list import find_limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What one test asks of the rear: ids of its floor and, where it has one, of its gradient."""

    floor: str
    gradient: str | None


CLASS_1_DEMAND = Demand(floor="rear-floor-class-1", gradient="rear-gradient")
DEMANDS: dict[str, Demand] = {
    "class-1": CLASS_1_DEMAND,
    "class-1a": CLASS_1_DEMAND,
    "class-2": CLASS_1_DEMAND,
    "class-3": Demand(floor="rear-floor-class-3", gradient=None),
    "transfer": Demand(floor="rear-floor-transfer", gradient=None),
    "yard-air": Demand(floor="rear-floor-yard-air", gradient="yard-air-gradient"),
}


def least_rear(*, test: str, operating: float) -> tuple[float, str]:
    """The least pressure at the rear that a test asks for, and the limit that decides it.

    Parameters
    ----------
    test
        A key of ``DEMANDS``.
    operating
        Pressure at which the train will be operated; on yard air the regulator setting. [psi]

    Returns
    -------
    tuple
        The greater of the test's floor and operating pressure less its gradient [psi], and the
        id of the limit that it comes from.

    Examples
    --------
    >>> least_rear(test="class-1", operating=90)
    (75, 'rear-floor-class-1')
    >>> least_rear(test="class-1", operating=100)
    (85, 'rear-gradient')
    >>> least_rear(test="class-3", operating=100)
    (60, 'rear-floor-class-3')
    """
    demand = DEMANDS[test]
    floor = find_limit(demand.floor).figure
    if demand.gradient is not None:
        near = operating - find_limit(demand.gradient).figure
        if near > floor:
            return near, demand.gradient
    return floor, demand.floor


def rear_readings(
    *, test: str, operating: float, rear: float | None, unread: Phrase | None = None
) -> Iterator[Reading]:
    """Gradient and floor of one test as readings to be judged.

    ``rear`` None means that nothing was read; ``unread`` then says why nothing need be.
    """
    demand = DEMANDS[test]
    if demand.gradient is not None:
        yield Reading(
            limit=demand.gradient,
            value=None if rear is None else psi(operating - rear),
            not_applicable=unread,
        )
    yield Reading(
        limit=demand.floor, value=None if rear is None else psi(rear), not_applicable=unread
    )


def flow_limits(air_sources: str) -> tuple[str, ...]:
    """The air flow limits that stand for one air source, or for more, where editions differ."""
    if air_sources == "one":
        return ("air-flow",)
    return ("air-flow-two-sources-60", "air-flow-two-sources-90")


def least_operative(control_valves: float) -> int:
    """Control valves that must be operative for a train to keep moving, rounded up.

    85 % of all of them (49 CFR 232.103(e)), locomotives' valves counted (232.15(d)).

    Parameters
    ----------
    control_valves
        All control valves in the train; a whole number.

    Returns
    -------
    int
        The least number that is not under the share.

    Examples
    --------
    >>> [least_operative(valves) for valves in (100, 67, 60, 53, 20)]
    [85, 57, 51, 46, 17]
    """
    share = int(find_limit("operative-brakes-moving").figure)
    return (share * int(control_valves) + 99) // 100
