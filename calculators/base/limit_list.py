"""All limits, by id; ids are stable because links, settings and pages name them."""

from __future__ import annotations

from calculators.base.limits import cars, due, end_of_train, locomotive, older, train_tests
from calculators.base.rules import Limit

LIMITS: dict[str, Limit] = {
    limit.id: limit
    for group in (train_tests, due, cars, end_of_train, locomotive, older)
    for limit in group.LIMITS
}
