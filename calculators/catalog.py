"""The list of all calculators.

Those of the site's second part (`runtime/cargo.py` of the build) are loaded when one is asked for.
"""

from __future__ import annotations

from collections.abc import Mapping
from difflib import get_close_matches
from importlib import import_module

from calculators.base.errors import UnknownNameError
from calculators.declaring.registry import Calculator
from calculators.questions.brake_force.declaration import brake_force
from calculators.questions.brake_test.declaration import brake_test
from calculators.questions.car_brake.declaration import car_brake
from calculators.questions.charging_time.declaration import charging_time
from calculators.questions.circuit.declaration import circuit
from calculators.questions.cylinder_leak_off.declaration import cylinder_leak_off
from calculators.questions.daily_brake_test.declaration import daily_brake_test
from calculators.questions.exhaust_time.declaration import exhaust_time
from calculators.questions.full_service_figures.declaration import full_service_figures
from calculators.questions.grade_balance.declaration import grade_balance
from calculators.questions.hand_brakes.declaration import hand_brakes
from calculators.questions.leakage_and_flow.declaration import leakage_and_flow
from calculators.questions.locomotive_brake.declaration import locomotive_brake
from calculators.questions.main_reservoir.declaration import main_reservoir
from calculators.questions.measured_stop.declaration import measured_stop
from calculators.questions.over_reduction.declaration import over_reduction
from calculators.questions.rear_pressure.declaration import rear_pressure
from calculators.questions.release.declaration import release
from calculators.questions.repeated_applications.declaration import repeated_applications
from calculators.questions.stopping_distance.declaration import stopping_distance
from calculators.questions.train_resistance.declaration import train_resistance
from calculators.questions.train_run.declaration import train_run
from calculators.questions.units.declaration import units

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


# By their names, the modules that declare them; each declares it under its name in Python.
LATER: Mapping[str, str] = {
    "fault-shown": "calculators.questions.fault_shown.declaration",
    "find-fault": "calculators.questions.find_fault.declaration",
}


def find_calculator(name: str) -> Calculator:
    """The calculator of that name; UnknownNameError says which come near."""
    if name in CALCULATORS:
        return CALCULATORS[name]
    if name in LATER:
        declared = getattr(import_module(LATER[name]), name.replace("-", "_"))
        assert isinstance(declared, Calculator)
        return declared
    near = get_close_matches(name, (*CALCULATORS, *LATER), n=3)
    advice = f"; did you mean {' or '.join(near)}?" if near else ""
    raise UnknownNameError(f'no calculator is called "{name[:60]}"{advice}')


def every_calculator() -> Mapping[str, Calculator]:
    """All by their names, those of the second part loaded: for the build and the command line."""
    return CALCULATORS | {name: find_calculator(name) for name in LATER}
