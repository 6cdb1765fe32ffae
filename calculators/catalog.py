"""The list of all calculators."""

from __future__ import annotations

from difflib import get_close_matches

from calculators.base.errors import UnknownNameError
from calculators.base.registry import Calculator
from calculators.questions.car_brake import car_brake
from calculators.questions.charging_time import charging_time
from calculators.questions.cylinder_leak_off import cylinder_leak_off
from calculators.questions.full_service_figures import full_service_figures
from calculators.questions.leakage_and_flow import leakage_and_flow
from calculators.questions.locomotive_brake import locomotive_brake
from calculators.questions.over_reduction import over_reduction
from calculators.questions.rear_pressure import rear_pressure
from calculators.questions.release import release
from calculators.questions.repeated_applications import repeated_applications
from calculators.questions.units import units

CALCULATORS: dict[str, Calculator] = {
    calculator.name: calculator
    for calculator in (
        car_brake,
        charging_time,
        cylinder_leak_off,
        full_service_figures,
        leakage_and_flow,
        locomotive_brake,
        over_reduction,
        rear_pressure,
        release,
        repeated_applications,
        units,
    )
}


def find_calculator(name: str) -> Calculator:
    """The calculator of that name; UnknownNameError says which come near."""
    if name in CALCULATORS:
        return CALCULATORS[name]
    near = get_close_matches(name, CALCULATORS, n=3)
    advice = f"; did you mean {' or '.join(near)}?" if near else ""
    raise UnknownNameError(f'no calculator is called "{name[:60]}"{advice}')
