"""The list of all calculators."""

from __future__ import annotations

from difflib import get_close_matches

from calculators.base.errors import UnknownNameError
from calculators.declaring.registry import Calculator
from calculators.questions.brake_force import brake_force
from calculators.questions.brake_test import brake_test
from calculators.questions.car_brake import car_brake
from calculators.questions.charging_time import charging_time
from calculators.questions.circuit import circuit
from calculators.questions.cylinder_leak_off import cylinder_leak_off
from calculators.questions.daily_brake_test import daily_brake_test
from calculators.questions.exhaust_time import exhaust_time
from calculators.questions.full_service_figures import full_service_figures
from calculators.questions.grade_balance import grade_balance
from calculators.questions.hand_brakes import hand_brakes
from calculators.questions.leakage_and_flow import leakage_and_flow
from calculators.questions.locomotive_brake import locomotive_brake
from calculators.questions.main_reservoir import main_reservoir
from calculators.questions.measured_stop import measured_stop
from calculators.questions.over_reduction import over_reduction
from calculators.questions.rear_pressure import rear_pressure
from calculators.questions.release import release
from calculators.questions.repeated_applications import repeated_applications
from calculators.questions.stopping_distance import stopping_distance
from calculators.questions.train_resistance import train_resistance
from calculators.questions.train_run import train_run
from calculators.questions.units import units

CALCULATORS: dict[str, Calculator] = {
    calculator.name: calculator
    for calculator in (
        brake_force,
        brake_test,
        car_brake,
        charging_time,
        circuit,
        cylinder_leak_off,
        daily_brake_test,
        exhaust_time,
        full_service_figures,
        grade_balance,
        hand_brakes,
        leakage_and_flow,
        locomotive_brake,
        main_reservoir,
        measured_stop,
        over_reduction,
        rear_pressure,
        release,
        repeated_applications,
        stopping_distance,
        train_resistance,
        train_run,
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
