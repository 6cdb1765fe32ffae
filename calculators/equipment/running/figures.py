"""What a running brake is made of, as frozen values: holes, volumes, held valves, leaks, sources.

Nothing comes from a drawing. Holes are diameters with discharge coefficient 1 [in]; all figures are
nominal, from memory, but for the service choke and the emergency vent of the equalizing reservoir
(`calculators.equipment.train.tables.BRAKE_VALVE`) and the cars' charging choke used for the
control valve's own reservoir.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from calculators.base.units import ATMOSPHERE, CUBIC_FOOT
from calculators.equipment.locomotive import Equipment
from calculators.equipment.running.places import ATMOSPHERE as TO_ATMOSPHERE
from calculators.equipment.running.places import PASSAGES, PILOT, PLACES, REGULATED
from calculators.equipment.train.consist import Car, Remote, Train
from calculators.equipment.train.consist import Leak as PipeLeak
from calculators.equipment.train.stepping.grid import lay_out
from calculators.equipment.train.tables import (
    AIR_SUPPLY,
    BRAKE_VALVE,
    FREIGHT_VALVE,
    AirSupply,
    BrakeValve,
    ControlValve,
)

EXAMPLE = Equipment(
    brake_pipe_setting=90.0,
    minimum_reduction=6.0,
    suppression_reduction=26.0,
    multiplier=2.5,
    service_limit=60.0,
    emergency_limit=70.0,
    emergency_threshold=20.0,
    relay_ratio_automatic=1.0,
    relay_ratio_independent=1.0,
    main_reservoir=AIR_SUPPLY.compressor_starts,
    cut_off="freight",
    release_type="direct",
    unit="lead",
    dead_engine_setting=25.0,
    auxiliary_volume=None,
    pipe_16_volume=90.0,
    emergency_drops_dynamic=True,
)
"""A locomotive as the locomotive brake calculator starts with it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Holes:
    """Passages of the locomotive as diameters. [in]."""

    pipe_16: float = 0.06
    """Control valve to pipe 16 and back to atmosphere."""
    limiting: float = 0.08
    """Emergency limiting valve: main reservoir to pipe 16."""
    pipe_20: float = 0.08
    pipe_13: float = 0.08
    pipe_12: float = 0.08
    pipe_53: float = 0.08
    control_reservoir: float = 0.03
    """Brake pipe to control reservoir in release, and back after a release."""
    auxiliary: float = FREIGHT_VALVE.auxiliary_charging_hole
    """Brake pipe to the control valve's own reservoir, checked."""
    bail_off: float = 0.08
    """Control reservoir to atmosphere."""
    truck: float = 0.212
    """Relay valve to the cylinders of one truck and from them; two pass what one of 0.3 does."""
    dead_engine: float = 0.06


@dataclass(frozen=True, slots=True, kw_only=True)
class Volumes:
    """Spaces of the locomotive. [cu in]."""

    equalizing_reservoir: float = 220.0
    control_reservoir: float = 300.0
    pipe_20: float = 60.0
    pipe_13: float = 60.0
    pipe_12: float = 30.0
    pipe_53: float = 30.0
    cylinders: float = 8.0
    cylinder: float = 300.0
    """One of them with the piston out, and its share of the piping."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leak:
    """A hole between two places, or from one to the atmosphere; both ways, whichever is higher.

    Places are those of `places.PLACES`, with ``atmosphere``, ``regulated`` and ``pilot``. The two
    last can only be where air comes from.
    """

    source: str
    sink: str
    hole: float
    """[in]"""

    def __post_init__(self) -> None:
        """Refuse a place that is none."""
        if self.source not in (*PLACES, REGULATED, PILOT):
            raise ValueError(f"{self.source} is no place that holds air")
        if self.sink not in (*PLACES, TO_ATMOSPHERE):
            raise ValueError(f"{self.sink} is no place that takes air")
        if self.hole < 0.0:
            raise ValueError(f"hole is {self.hole} in; it must be zero or more")


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """A second brake valve that feeds or draws the pipe at a car, held at one pressure. [psi]."""

    at_car: int
    pressure: float


HELD = {
    "handle": ("stuck",),
    "pipe_relay_feed": ("shut",),
    "pipe_relay_exhaust": ("shut",),
    "charging_cut_off": ("shut",),
    "control_valve": ("cut-out",),
    "double_check": ("pipe 16", "pipe 20"),
    "independent": ("trail",),
    "bail_off": ("lost", "pressed"),
    "dynamic_interlock": ("on", "off"),
    "truck_2": ("cut-out",),
}
"""Valves that a change can hold, and the places it can hold them in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """What is other than it should be: a fault as data. The empty change is a sound brake."""

    leaks: tuple[Leak, ...] = ()
    scaled: tuple[tuple[str, float], ...] = ()
    """Passages by name and the factor on what they pass."""
    held: tuple[tuple[str, str], ...] = ()
    sources: tuple[Source, ...] = ()

    def __post_init__(self) -> None:
        """Refuse names that nothing has."""
        for name, factor in self.scaled:
            if name not in PASSAGES or factor < 0.0:
                raise ValueError(f"{name} cannot be scaled by {factor}")
        for name, where in self.held:
            if where not in HELD.get(name, ()):
                raise ValueError(f"{name} cannot be held in {where}")


SOUND = Change()


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """A locomotive and its train, ready to be started.

    Parameters
    ----------
    equipment
        Settings of the locomotive.
    cars, car_length
        The train: 0 to 250 cars, each so long [ft].
    leakage
        Fall of the brake pipe standing alone at the setting, spread along it. [psi/min]
    starting_pressure
        Pressure in pipe and reservoirs at the start; None is charged to the setting. [psi]
    change
        What is wrong with it.
    consist
        The train itself, where its cars are not all alike (`Setup.of`); what else says how it is
        made up is then not read.
    in_release
        The handle has stood in release: the equalizing reservoir is up, whatever the pipe holds.
    """

    equipment: Equipment
    cars: int = 0
    car_length: float = 55.0
    car_valve: ControlValve = FREIGHT_VALVE
    locomotives: int = 1
    leakage: float = 0.0
    starting_pressure: float | None = None
    remote: Remote | None = None
    temperature: float = 68.0
    atmosphere: float = ATMOSPHERE
    holes: Holes = field(default_factory=Holes)
    volumes: Volumes = field(default_factory=Volumes)
    brake_valve: BrakeValve = BRAKE_VALVE
    air_supply: AirSupply | None = None
    """None is the usual reservoir and compressor, kept at `Equipment.main_reservoir`."""
    change: Change = SOUND
    other_cars: tuple[tuple[int, Car], ...] = ()
    """Cars that are not like the rest, by number from the head."""
    pipe_leaks: tuple[PipeLeak, ...] = ()
    """Leaks of the brake pipe at cars, beside the spread ``leakage``."""
    consist: Train | None = None
    in_release: bool = False

    @classmethod
    def of(cls, train: Train, *, equipment: Equipment = EXAMPLE) -> Setup:
        """The locomotive at the head of a train that is made up already, its handle in release."""
        return cls(
            equipment=replace(
                equipment,
                brake_pipe_setting=train.brake_pipe_setting,
                main_reservoir=train.main_reservoir,
            ),
            cars=len(train.cars),
            locomotives=train.locomotives,
            starting_pressure=train.starting_pressure,
            remote=train.remote,
            temperature=train.temperature,
            atmosphere=train.atmosphere,
            brake_valve=train.brake_valve,
            air_supply=train.air_supply,
            consist=train,
            in_release=True,
        )

    def train(self) -> Train:
        """The train for the train model, its leaks as a flow."""
        if self.consist is not None:
            return self.consist
        supply = self.air_supply or replace(
            AIR_SUPPLY,
            compressor_starts=self.equipment.main_reservoir,
            compressor_stops=self.equipment.main_reservoir,
        )
        usual, other = Car(length=self.car_length, valve=self.car_valve), dict(self.other_cars)
        train = Train(
            cars=tuple(other.get(number, usual) for number in range(1, self.cars + 1)),
            brake_pipe_setting=self.equipment.brake_pipe_setting,
            locomotives=self.locomotives,
            remote=self.remote,
            starting_pressure=self.starting_pressure,
            main_reservoir=self.equipment.main_reservoir,
            temperature=self.temperature,
            atmosphere=self.atmosphere,
            brake_valve=self.brake_valve,
            air_supply=supply,
        )
        leaks = self.pipe_leaks
        if self.leakage > 0.0:
            pipe = sum(lay_out(train).volume) / CUBIC_FOOT
            leaks = (*leaks, PipeLeak(flow=pipe * self.leakage / self.atmosphere))
        return replace(train, leaks=leaks)

    def holds(self, valve: str) -> str:
        """Where a valve is held, or an empty text."""
        held = self.change.held
        return dict(held).get(valve, "") if held else ""
