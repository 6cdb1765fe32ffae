"""What the limits ask of a train: which of them stand in a test, and what they come to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from calculators.base.results import Phrase, Reading, Value, psi, say
from calculators.law.limit_list import find_limit


@dataclass(frozen=True, slots=True, kw_only=True)
class Demand:
    """What one test asks of the rear: ids of its floor and of its gradient, where it has them.

    On the road, without a test, there is a gradient and no floor.
    """

    floor: str | None
    gradient: str | None


CLASS_1_DEMAND = Demand(floor="rear-floor-class-1", gradient="rear-gradient")
DEMANDS: dict[str, Demand] = {
    "class-1": CLASS_1_DEMAND,
    "class-1a": CLASS_1_DEMAND,
    "class-2": CLASS_1_DEMAND,
    "class-3": Demand(floor="rear-floor-class-3", gradient=None),
    "transfer": Demand(floor="rear-floor-transfer", gradient=None),
    "yard-air": Demand(floor="rear-floor-yard-air", gradient="yard-air-gradient"),
    "road": Demand(floor=None, gradient="en-route-gradient"),
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
    least: list[tuple[float, str]] = []
    if demand.floor is not None:
        least.append((find_limit(demand.floor).figure, demand.floor))
    if demand.gradient is not None:
        least.append((operating - find_limit(demand.gradient).figure, demand.gradient))
    return max(least, key=lambda pair: pair[0])


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
    if demand.floor is not None:
        yield Reading(
            limit=demand.floor, value=None if rear is None else psi(rear), not_applicable=unread
        )


def flow_limits(air_sources: str, test: str = "any") -> tuple[str, ...]:
    """The air flow limits that stand for a test, with air from one place or from more.

    ``test`` is ``class-1``, ``class-1a-or-2`` or ``any``. With air from more places the texts of
    Class IA and II have two figures, and no text says which governs.
    """
    if air_sources == "one":
        return ("air-flow",)
    class_1 = ("air-flow-two-sources",)
    others = ("air-flow-two-sources-own-words", "air-flow-two-sources-by-reference")
    return {"class-1": class_1, "class-1a-or-2": others}.get(test, class_1 + others)


def combined_flow() -> Phrase:
    """What the greater air flow figure is for, and why one indicator cannot show it."""
    return say(
        "{most} is a combined flow and over the indicator's last mark, {mark}: one indicator cannot "
        "show it. It needs control air from two or more places; by these words, as we read them, a "
        "remote that is cut out, or one in the lead consist, does not give it (49 CFR "
        "232.205(c)(1)(ii)(B)).",
        most=Value(find_limit("air-flow-two-sources").figure, "cfm"),
        mark=Value(find_limit("flow-indicator-marks").upper or 0.0, "cfm"),
    )


def below_road_setting() -> Phrase:
    """What to say of a brake pipe setting under the one for road service."""
    return say(
        "For road service the regulating device is set to at least {road}, in switching to {yard} (49 "
        "CFR 232.103(o)(1)).",
        road=Value(find_limit("brake-pipe-setting-road").figure),
        yard=Value(find_limit("brake-pipe-setting-switching").figure),
    )


def alerter_times(speed: float) -> tuple[float, float]:
    """Shortest and longest time that an alerter may run before it warns [s].

    Parameters
    ----------
    speed
        Track speed, more than zero. [mph]

    Notes
    -----
    2,400 over the speed, 10 s either way; under 20 mph the section gives the two times themselves
    (49 CFR 229.140(d)).

    Examples
    --------
    >>> alerter_times(40), alerter_times(10)
    ((50.0, 70.0), (110, 130))
    """
    slow = find_limit("alerter-slow")
    if speed < find_limit("alerter-slow-speed").figure:
        return slow.figure, slow.upper or slow.figure
    error = find_limit("alerter-error").figure
    named = find_limit("alerter-constant").figure / speed
    return named - error, named + error


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
    return -(-share * int(control_valves) // 100)
