"""All limits, by id; ids are stable because links, settings and pages name them."""

from __future__ import annotations

from calculators.base.errors import UnknownNameError, near
from calculators.law.limits import cars, due, end_of_train, locomotive, older, train_tests
from calculators.law.records import Limit

LIMITS: dict[str, Limit] = {
    limit.id: limit
    for group in (train_tests, due, cars, end_of_train, locomotive, older)
    for limit in group.LIMITS
}


def find_limit(id: str) -> Limit:
    """The limit of that id; raises UnknownNameError if there is none."""
    if id not in LIMITS:
        raise UnknownNameError(f"no limit has the id {id!r}{near(id, LIMITS)}")
    return LIMITS[id]
