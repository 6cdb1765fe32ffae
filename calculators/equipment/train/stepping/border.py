"""The border between the trade's units and SI: the tables converted, once, when a run starts.

Inside the model pressures are absolute [Pa], volumes [m³], and every hole is its conductance, the
choked content flow per unit of upstream pressure [m³/s] (see `calculators.air.orifice`).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from calculators.air.gas import content_flow_of_cfm
from calculators.air.orifice import conductance
from calculators.base.units import CUBIC_INCH, INCH, PSI
from calculators.equipment.train.consist import Train
from calculators.equipment.train.tables import ControlValve

FAHRENHEIT_ZERO = 459.67


def kelvin(fahrenheit: float) -> float:
    """Absolute temperature.

    Examples
    --------
    >>> kelvin(68.0)
    293.15
    """
    return (fahrenheit + FAHRENHEIT_ZERO) * 5.0 / 9.0


def hole(diameter: float, *, temperature: float) -> float:
    """Conductance of a hole given as an ideal diameter in inches."""
    area = pi / 4.0 * (diameter * INCH) ** 2
    return conductance(area=area, discharge_coefficient=1.0, temperature=temperature)


@dataclass(frozen=True, slots=True)
class ValveFigures:
    """A `ControlValve` in SI; names as there, frictions unchanged."""

    service_friction: float
    service_delay: float
    release_friction: float
    graduating_range: float
    piston_lag: float
    bulb_volume: float
    bulb: float
    bulb_cut_off: float
    bulb_vent_lag: float
    limiting: float
    limiting_pressure: float
    continuous: float
    service: float
    emergency: float
    vent: float
    vent_time: float
    detector_lag: float
    detector_difference: float
    exhaust: float
    slow_direct: float
    accelerated_release: float
    auxiliary_charging: float
    emergency_charging: float
    emergency_reset: float
    auxiliary_volume: float
    emergency_volume: float
    cylinder_clearance: float
    branch_volume: float


def valve_figures(valve: ControlValve, *, temperature: float, atmosphere: float) -> ValveFigures:
    """Convert one table; pressures become absolute, differences of pressure stay differences."""

    def conductance_of(diameter: float) -> float:
        return hole(diameter, temperature=temperature)

    return ValveFigures(
        service_friction=valve.service_friction,
        service_delay=valve.service_delay,
        release_friction=valve.release_friction,
        graduating_range=valve.graduating_range * PSI,
        piston_lag=valve.piston_lag,
        bulb_volume=valve.bulb_volume * CUBIC_INCH,
        bulb=conductance_of(valve.bulb_hole),
        bulb_cut_off=valve.bulb_cut_off,
        bulb_vent_lag=valve.bulb_vent_lag,
        limiting=conductance_of(valve.limiting_hole),
        limiting_pressure=valve.limiting_pressure * PSI + atmosphere,
        continuous=conductance_of(valve.continuous_hole),
        service=conductance_of(valve.service_hole),
        emergency=conductance_of(valve.emergency_hole),
        vent=conductance_of(valve.vent_hole),
        vent_time=valve.vent_time,
        detector_lag=valve.detector_lag,
        detector_difference=valve.detector_difference * PSI,
        exhaust=conductance_of(valve.exhaust_hole),
        slow_direct=conductance_of(valve.slow_direct_hole),
        accelerated_release=conductance_of(valve.accelerated_release_hole),
        auxiliary_charging=conductance_of(valve.auxiliary_charging_hole),
        emergency_charging=conductance_of(valve.emergency_charging_hole),
        emergency_reset=valve.emergency_reset * PSI + atmosphere,
        auxiliary_volume=valve.auxiliary_volume * CUBIC_INCH,
        emergency_volume=valve.emergency_volume * CUBIC_INCH,
        cylinder_clearance=valve.cylinder_clearance * CUBIC_INCH,
        branch_volume=valve.branch_volume * CUBIC_INCH,
    )


@dataclass(frozen=True, slots=True)
class RelayFigures:
    """A `BrakeValve` and its `AirSupply` in SI, for so many locomotives."""

    setting: float
    service_lag: float
    emergency_lag: float
    charging_rate: float
    supply: float
    supply_seconds: float
    exhaust: float
    emergency: float
    dead_band: float
    full_opening: float
    reservoir_volume: float
    compressor: float
    compressor_starts: float
    compressor_stops: float


def relay_figures(train: Train, *, locomotives: int) -> RelayFigures:
    """Convert the brake valve's table and add up the air supply of its locomotives."""
    atmosphere = train.atmosphere * PSI
    temperature = kelvin(train.temperature)
    valve, supply = train.brake_valve, train.air_supply
    return RelayFigures(
        setting=train.brake_pipe_setting * PSI + atmosphere,
        service_lag=valve.service_lag,
        emergency_lag=valve.emergency_lag,
        charging_rate=valve.charging_rate * PSI,
        supply=hole(valve.supply_hole, temperature=temperature),
        supply_seconds=valve.supply_seconds,
        exhaust=hole(valve.exhaust_hole, temperature=temperature),
        emergency=hole(valve.emergency_hole, temperature=temperature),
        dead_band=valve.dead_band * PSI,
        full_opening=valve.full_opening * PSI,
        reservoir_volume=supply.reservoir_volume * CUBIC_INCH * locomotives,
        compressor=content_flow_of_cfm(
            supply.compressor_delivery * locomotives, atmosphere=atmosphere
        ),
        compressor_starts=supply.compressor_starts * PSI + atmosphere,
        compressor_stops=supply.compressor_stops * PSI + atmosphere,
    )
