"""What the train is made of, in the trade's units, checked when it is put together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calculators.base.errors import InputError
from calculators.base.units import ATMOSPHERE
from calculators.equipment.train.tables import (
    AIR_SUPPLY,
    BRAKE_VALVE,
    FREIGHT_VALVE,
    PIPE_LINE,
    AirSupply,
    BrakeValve,
    ControlValve,
    PipeLine,
)

Link = Literal["works", "lost-feeds-on", "lost-cuts-out"]
"""The radio link to a remote unit: lost, its brake valve goes on feeding the pipe as it stood, or
cuts itself out once the pipe falls without a command. Which one a unit does is from memory."""

RetainingValve = Literal["direct", "low-pressure", "high-pressure", "slow-direct"]

MOST_CARS = 250
CAR_LENGTHS = (40.0, 125.0)
SETTINGS = (60.0, 110.0)
RESERVOIRS = (60.0, 170.0)
LEAKAGE_READ_AT = 50.0
"""Cylinder pressure at which a cylinder's leakage is read. [psi] Chosen here."""
LONGEST_FITTED_CAR = 95.0
"""Mean car length up to which an application is known to run through trains of 200 cars. [ft]

Beyond it the model's valves stand too far apart for the quick service they are fitted with: on
trains of 110 ft cars a service application dies out after 55 to 90 cars, of 125 ft cars after 32
to 44. Nothing read says that real ones do.
"""


def require(field: str, value: float, low: float, high: float, unit: str) -> None:
    """Raise the error that names the field, its value and its limits."""
    if not low <= value <= high:
        raise InputError(field, f"{field} is {value:g}; it must be {low:g} to {high:g} {unit}")


@dataclass(frozen=True, slots=True, kw_only=True)
class Car:
    """One car and how its brake is set up."""

    length: float = 55.0
    """Brake pipe length, taken as the length over pulling faces, 40 to 125. [ft]"""
    piston_travel: float = 8.0
    """4 to 12. [in]"""
    cylinder_bore: float = 10.0
    """6 to 14. [in]"""
    cut_out: bool = False
    """Branch pipe cut-out cock closed: no service, no emergency, pipe only."""
    retaining_valve: RetainingValve = "direct"
    cylinder_leakage: float = 0.0
    """Fall of a cylinder with its piston out and `LEAKAGE_READ_AT` in it, 0 to 50. [psi/min]"""
    valve: ControlValve = FREIGHT_VALVE

    def __post_init__(self) -> None:
        """Check the ranges."""
        require("car_length", self.length, *CAR_LENGTHS, "ft")
        require("piston_travel", self.piston_travel, 4.0, 12.0, "in")
        require("cylinder_bore", self.cylinder_bore, 6.0, 14.0, "in")
        require("cylinder_leakage", self.cylinder_leakage, 0.0, 50.0, "psi/min")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leak:
    """Brake pipe leakage, as the flow it would have with all the pipe at its setting."""

    flow: float
    """Free air, 0 to 500. [cfm]"""
    at_car: int | None = None
    """Car counted from the head, 1 the first; None spreads it evenly along the pipe."""

    def __post_init__(self) -> None:
        """Check the ranges."""
        require("leakage", self.flow, 0.0, 500.0, "cfm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Remote:
    """Locomotives placed in the train whose brake valve follows the lead by radio."""

    after_car: int
    locomotives: int = 1
    delay: float = 2.0
    """Time from a move at the head to the same move here, 0 to 60. [s]"""
    link: Link = "works"

    def __post_init__(self) -> None:
        """Check the ranges."""
        require("remote locomotives", self.locomotives, 1, 4, "locomotives")
        require("remote delay", self.delay, 0.0, 60.0, "s")


@dataclass(frozen=True, slots=True, kw_only=True)
class Train:
    """A train standing, charged unless it says otherwise, ready for `run`.

    Without cars it is locomotives alone, which only `calculators.equipment.running` follows.
    """

    cars: tuple[Car, ...]
    brake_pipe_setting: float = 90.0
    """60 to 110. [psi]"""
    locomotives: int = 2
    """At the head, 1 to 4."""
    locomotive_length: float = 70.0
    """Brake pipe of one locomotive, 30 to 125. [ft]"""
    remote: Remote | None = None
    leaks: tuple[Leak, ...] = ()
    rear_device_delay: float = 1.0
    """From the command at the head to the opening of a two-way rear device's vent. [s]"""
    starting_pressure: float | None = None
    """Pressure everywhere in pipe and reservoirs at the start, 0 to 110; None is charged to the
    setting, less the gradient that the leaks cause. [psi]"""
    main_reservoir: float = AIR_SUPPLY.compressor_starts
    """At the start, 60 to 170. [psi]"""
    temperature: float = 68.0
    """Of the air, -40 to 120. [°F]"""
    atmosphere: float = ATMOSPHERE
    """Outside, 9 to 15.5. [psi abs]"""
    brake_valve: BrakeValve = BRAKE_VALVE
    air_supply: AirSupply = AIR_SUPPLY
    pipe: PipeLine = PIPE_LINE

    def __post_init__(self) -> None:
        """Check the ranges."""
        require("cars", len(self.cars), 0, MOST_CARS, "cars")
        require("brake_pipe_setting", self.brake_pipe_setting, *SETTINGS, "psi")
        require("locomotives", self.locomotives, 1, 4, "locomotives")
        require("locomotive_length", self.locomotive_length, 30.0, 125.0, "ft")
        require("rear_device_delay", self.rear_device_delay, 0.0, 60.0, "s")
        if self.starting_pressure is not None:
            require("starting_pressure", self.starting_pressure, 0.0, 110.0, "psi")
        require("main_reservoir", self.main_reservoir, *RESERVOIRS, "psi")
        require("temperature", self.temperature, -40.0, 120.0, "°F")
        require("atmosphere", self.atmosphere, 9.0, 15.5, "psi abs")
        for leak in self.leaks:
            if leak.at_car is not None:
                require("leak at car", leak.at_car, 1, len(self.cars), "in this train")
        if self.remote is not None:
            require("remote after car", self.remote.after_car, 1, len(self.cars), "in this train")


def equal_cars(number: int, *, length: float = 55.0) -> tuple[Car, ...]:
    """So many cars of one length, all else as usual.

    Examples
    --------
    >>> len(equal_cars(118))
    118
    """
    require("cars", number, 1, MOST_CARS, "cars")
    return (Car(length=length),) * number
