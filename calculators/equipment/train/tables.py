"""Valves, pipe and air supply as data: every threshold and hole size of the train model.

None of it comes from a drawing: no dimension was found in any document that was read. Each
figure carries a mark:

read
    read in the source named;
nominal
    nominal, from memory: common in the trade, no document read; change it where it is known;
fitted
    chosen so that the model meets the figure named.

Holes are given as the diameter of a hole with discharge coefficient 1 that passes the same air,
so the drilled ones would be a little larger. Pressures are gauge psi or differences of psi,
lengths inches or feet, volumes cubic inches, times seconds, air flows cubic feet of free air per
minute.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log, sqrt

from calculators.base.units import ATMOSPHERE
from calculators.equipment.car import AUXILIARY_VOLUME, EMERGENCY_VOLUME


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlValve:
    """One type of direct-release car control valve, with its reservoirs.

    The valve is a piston with the auxiliary reservoir's pressure on one side and the brake
    pipe's on the other. It drags a slide valve which the auxiliary pressure holds on its seat,
    so the difference that moves it is friction in proportion to that pressure. Within the
    applied position a small graduating valve, with hardly any friction, meters the air: it opens
    with the excess of auxiliary over pipe, and the piston follows that excess with a short lag.
    """

    name: str

    service_friction: float
    """Excess of auxiliary over pipe that applies the brake, per psi in the auxiliary. [-]"""
    service_delay: float
    """From that moment until the quick-service passages are open. [s]"""
    release_friction: float
    """Excess of pipe over auxiliary that releases the brake, per psi in the auxiliary. [-]"""
    graduating_range: float
    """Excess of auxiliary over pipe at which the graduating valve is fully open. [psi]"""
    piston_lag: float
    """Time constant of piston and graduating valve. [s]"""

    bulb_volume: float
    """Chamber that takes pipe air when the slide valve first moves. [cu in]"""
    bulb_hole: float
    """Passage from the pipe to that chamber. [in]"""
    bulb_cut_off: float
    """Excess of auxiliary over pipe, per psi in the auxiliary, that takes the slide valve past
    the first quick-service position and shuts that passage until the next release. [-]"""
    bulb_vent_lag: float
    """Time constant with which the chamber empties to atmosphere in release. [s]"""
    limiting_hole: float
    """Passage from the pipe to the cylinder while the brake is applied. [in]"""
    limiting_pressure: float
    """Cylinder pressure at which that passage shuts until the next release. [psi]"""
    continuous_hole: float
    """Pipe to atmosphere while the graduating valve feeds the cylinder, in step with it. [in]"""

    service_hole: float
    """Auxiliary reservoir to cylinder, metered by the graduating valve. [in]"""
    emergency_hole: float
    """Both reservoirs, joined, to cylinder in emergency. [in]"""
    vent_hole: float
    """Pipe to atmosphere at the vent valve. [in]"""
    vent_time: float
    """How long the vent valve stays open. [s]"""
    detector_lag: float
    """Time constant of the chamber that remembers pipe pressure for the emergency piston. [s]"""
    detector_difference: float
    """Excess of that chamber over the pipe that fires: a fall of difference over lag. [psi]"""

    exhaust_hole: float
    """Cylinder to atmosphere in release. [in]"""
    slow_direct_hole: float
    """The same through a retaining valve set to slow direct. [in]"""
    accelerated_release_hole: float
    """Emergency reservoir to pipe when the valve goes to release. [in]"""
    auxiliary_charging_hole: float
    """Pipe to auxiliary reservoir in release, either way. [in]"""
    emergency_charging_hole: float
    """Pipe to emergency reservoir in release, checked against flowing back. [in]"""
    emergency_reset: float
    """Pipe pressure at which a valve in emergency lets its cylinder and auxiliary into the pipe.
    [psi]"""

    auxiliary_volume: float
    emergency_volume: float
    cylinder_clearance: float
    """Cylinder space that is not swept, with its piping. [cu in]"""
    branch_volume: float
    """Branch pipe and passages always open to the brake pipe. [cu in]"""


FREIGHT_VALVE = ControlValve(
    name="freight control valve: direct release, quick service, quick action",
    # Fitted, within the nominal 1.5 to 2.5 psi at 90, to the service speed and to the stability
    # of all trains. (M5, read: about 2 psi for older equipment, 4 for newer.)
    service_friction=1.8 / 90.0,
    service_delay=0.075,  # fitted with it
    release_friction=2.0 / 90.0,  # fitted; nominal 1.5 to 3 psi, and under 3 at 110 psi
    graduating_range=0.34,  # fitted: scatter of settled cylinder pressures
    piston_lag=0.25,  # fitted: see the text of `car_valves`
    bulb_volume=57.0,  # fitted: local drop of 3 to 6 psi
    bulb_hole=0.075,  # fitted: service speed
    bulb_cut_off=2.17 / 90.0,  # fitted: bounds the local drop where pipe a car is short
    bulb_vent_lag=1.0,  # nominal
    limiting_hole=0.018,  # fitted: slow enough that a set of 5 psi does not overshoot
    limiting_pressure=10.0,  # nominal: 8 to 12
    continuous_hole=0.019,  # fitted
    service_hole=0.13,  # fitted: the first car keeps up with the equalizing reservoir
    emergency_hole=0.118,  # fitted: 90 percent in 8 to 10 s (nominal)
    vent_hole=0.75,  # nominal
    vent_time=60.0,  # nominal
    detector_lag=0.06,  # nominal
    detector_difference=1.5,  # nominal: with the lag, a fall of 25 psi/s
    exhaust_hole=0.13,  # nominal
    slow_direct_hole=0.052,  # fitted: about 86 s to blow down (H30, ARRC-96 67-12)
    accelerated_release_hole=0.15,  # nominal
    auxiliary_charging_hole=0.072,  # fitted: 0 to 70 psi in 45 to 60 s, pipe at 90 (H16, MCB-06)
    emergency_charging_hole=0.07,  # nominal
    emergency_reset=22.0,  # nominal
    auxiliary_volume=AUXILIARY_VOLUME,  # nominal (H23)
    emergency_volume=EMERGENCY_VOLUME,  # nominal (H23)
    cylinder_clearance=243.0,  # fitted: 64 psi from 26 off 90 (H2, H9)
    branch_volume=60.0,  # nominal
)
"""The valve of the cars unless a train says otherwise."""


FITTED_CAR = 50.0
"""Length of car that the freight valve's quick service was fitted on. [ft]"""


def with_reduction_relay(length: float, valve: ControlValve = FREIGHT_VALVE) -> ControlValve:
    """The valve of a long car that has a reduction relay valve as well.

    Such a valve lets out pipe air besides the control valve's own quick service (ARRC-96, glossary).
    How much was not found: here all quick service grows with the length of pipe that one valve has
    to serve, which keeps the local fall about that of the car the valve was fitted on.

    Parameters
    ----------
    length
        Pipe of the car, above zero. [ft]
    valve
        The control valve itself.

    Examples
    --------
    >>> with_reduction_relay(100.0).bulb_volume / FREIGHT_VALVE.bulb_volume
    2.0
    """
    share = length / FITTED_CAR
    wider = sqrt(share)
    return replace(
        valve,
        bulb_volume=valve.bulb_volume * share,
        bulb_hole=valve.bulb_hole * wider,
        continuous_hole=valve.continuous_hole * wider,
        limiting_hole=valve.limiting_hole * wider,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class BrakeValve:
    """The engineer's automatic brake valve: equalizing reservoir and relay."""

    service_lag: float
    """Time constant of the equalizing reservoir blowing down in service. [s]"""
    emergency_lag: float
    """The same in emergency. [s]"""
    charging_rate: float
    """Rise of the equalizing reservoir in release. [psi/s]"""
    supply_hole: float
    """Relay supply, main reservoir to pipe, fully open. [in]"""
    supply_seconds: float
    """Time the relay's supply valve takes from shut to fully open. [s]"""
    exhaust_hole: float
    """Relay exhaust, pipe to atmosphere, fully open. [in]"""
    emergency_hole: float
    """Direct exhaust of the pipe in emergency. [in]"""
    dead_band: float
    """Difference of pipe and equalizing reservoir within which the relay stays shut. [psi]"""
    full_opening: float
    """Further difference at which it is fully open. [psi]"""


SERVICE_LAG = 5.75 / log((110.0 + ATMOSPHERE) / (90.0 + ATMOSPHERE))
"""Time constant of the service choke, for every answer. [s]

Three figures were at hand. Read: 110 to 90 psi in 5.5 to 6 s (RLE, H17), which makes 31.5
to 34.3 s, of a valve older than the 26-L type. From memory, rough: 20 psi off 90 in 5 to 6 s, 23.6
to 28.3 s. From memory, nominal: a 1/16-in hole and 220 cu in, a law of 26 s or so. What was read
goes before what is remembered; its middle is taken. With the others a set starts up to a quarter
sooner at the head, and hardly at the rear, where the cars' own quick service carries it.
"""

BRAKE_VALVE = BrakeValve(
    service_lag=SERVICE_LAG,
    emergency_lag=1.7,  # read: to zero in 3 to 5 s (H84, ARMY-223)
    charging_rate=10.0,  # nominal
    supply_hole=0.4,  # nominal
    supply_seconds=0.3,  # nominal: some wave steps, so that the front of a fall is felt first
    exhaust_hole=0.4,  # nominal
    emergency_hole=1.0,  # nominal
    dead_band=0.05,  # nominal: what the pipe stops short of, a control valve and relay multiply
    full_opening=1.2,  # nominal
)


@dataclass(frozen=True, slots=True, kw_only=True)
class AirSupply:
    """Main reservoir and compressor of one locomotive."""

    reservoir_volume: float
    """[cu in]"""
    compressor_delivery: float
    """Free air delivered while pumping. [cfm]"""
    compressor_starts: float
    """[psi]"""
    compressor_stops: float
    """[psi]"""


AIR_SUPPLY = AirSupply(
    reservoir_volume=50000.0,  # nominal
    compressor_delivery=100.0,  # nominal: idling; far more at full speed
    compressor_starts=130.0,  # nominal
    compressor_stops=140.0,  # nominal
)


@dataclass(frozen=True, slots=True, kw_only=True)
class PipeLine:
    """The brake pipe itself and the openings at its end."""

    bore: float
    """[in]"""
    friction_factor: float
    """Darcy friction factor in turbulent flow. [-]"""
    length_factor: float
    """Equivalent length over real length: hoses, cocks, tees. [-]"""
    rear_vent_hole: float
    """Vent of a two-way rear device. [in]"""
    vent_valve_hole: float
    """Vent valve of a locomotive, or the extra one of a long car. [in]"""
    extra_vent_from: float
    """Car length from which there is an extra vent valve. [ft]"""


PIPE_LINE = PipeLine(
    bore=1.278,  # nominal: 1 1/4 in extra-heavy pipe (H24)
    friction_factor=0.028,  # nominal: rough steel 0.024 to 0.028
    length_factor=1.15,  # nominal, a guess
    rear_vent_hole=0.75,  # nominal
    vent_valve_hole=0.75,  # nominal
    extra_vent_from=75.0,  # read: H22, AAR S-401 (2018) 2.3
)
