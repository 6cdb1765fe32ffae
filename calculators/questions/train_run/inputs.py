"""What the `train-run` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.equipment.train.consist import LEAKAGE_READ_AT, RESERVOIRS
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.figures.thresholds import EMERGENCY_NEEDS
from calculators.questions.shared.car import CAR
from calculators.questions.shared.followed import (
    FOLLOWED_EXAMPLE,
    FollowedCarLength,
    FollowedSetting,
)
from calculators.questions.shared.low_emergency import in_group
from calculators.questions.shared.train import JF_3
from calculators.questions.shared.train_model import LONGEST_RUN
from calculators.questions.train_run.lengths import CAR_LENGTHS_FIELD
from calculators.questions.train_run.moves import MOVES

THE_MOVE = "More of the move"
THE_TRAIN = "More of the train"
LEAKS_AND_COCKS = "Leaks and angle cocks"
REMOTE = "A remote locomotive"
THE_AIR = "The air"
SHOWN = "What is shown"

_BY_NUMBER = "By number, counted from the head."

Cars = Annotated[
    float,
    Quantity(
        term="Cars",
        setting="cars",
        unit="",
        low=1,
        high=250,
        whole=True,
        help="Cars behind the locomotives.",
    ),
]

FirstMove = Annotated[
    str,
    Choice(
        term="Move",
        options=(
            Option(value="service", words="service, by the reduction below"),
            Option(value="emergency", words="emergency"),
            Option(value="release", words="release, after a set by the reduction below"),
            Option(value="charge", words="charge"),
        ),
    ),
]

Reduction = Annotated[
    float,
    Quantity(term="Reduction", unit="psi", low=1, high=110, help="The total off the setting."),
]

Seconds = Annotated[
    float | None,
    Quantity(
        term="Followed for",
        unit="s",
        low=1,
        high=LONGEST_RUN,
        help="From the first move. A charge of a long train takes an hour or more.",
        blank="as long as the move needs",
    ),
]

Leakage = Annotated[
    float,
    Quantity(
        term="Leakage, as the air flow of the charged train",
        unit="cfm",
        low=0,
        high=150,
        help="With all the pipe at its setting; 0 is a tight train.",
    ),
]

RearDevice = Annotated[
    str,
    Choice(
        term="End-of-train device",
        options=(
            Option(value="two-way", words="two-way: opens the rear too"),
            Option(value="none", words="none, or it only reports"),
        ),
    ),
]

Held = Annotated[
    float,
    Quantity(
        term="The set is held before the release for",
        unit="s",
        low=1,
        high=1800,
        group=THE_MOVE,
    ),
]

EmergencyFrom = Annotated[
    str,
    Choice(
        term="The emergency comes from",
        options=(
            Option(value="head", words="the head: the brake valve"),
            Option(value="rear", words="the rear"),
            Option(value="car", words="a car, as by a parted hose there"),
        ),
        group=THE_MOVE,
    ),
]

EmergencyCar = Annotated[
    float | None,
    Quantity(
        term="That car",
        unit="",
        low=1,
        high=250,
        whole=True,
        help=_BY_NUMBER,
        blank="the middle one",
        group=THE_MOVE,
    ),
]

RearDelay = Annotated[
    float,
    Quantity(
        term="Until the end-of-train device opens",
        unit="s",
        low=0,
        high=60,
        digits=1,
        mark="M",
        group=THE_MOVE,
    ),
]

Moves = Annotated[str, MOVES]

Locomotives = Annotated[
    float,
    Quantity(term="Locomotives at the head", unit="", low=1, high=4, whole=True, group=THE_TRAIN),
]

CarLengths = Annotated[str, CAR_LENGTHS_FIELD]

CutOutCars = Annotated[
    tuple[float, ...] | None,
    Quantity(
        term="Cars cut out",
        unit="",
        low=1,
        high=250,
        whole=True,
        many=True,
        help=_BY_NUMBER,
        blank="none",
        group=THE_TRAIN,
    ),
]

RetainingValve = Annotated[
    str,
    Choice(
        term="Retaining valves",
        options=(
            Option(value="direct", words="direct: none set up"),
            Option(value="high-pressure", words="high pressure"),
            Option(value="low-pressure", words="low pressure"),
            Option(value="slow-direct", words="slow direct"),
        ),
        group=THE_TRAIN,
    ),
]

RetainedCars = Annotated[
    float | None,
    Quantity(
        term="Set up on so many cars from the head",
        unit="",
        low=1,
        high=250,
        whole=True,
        blank="all",
        group=THE_TRAIN,
    ),
]

PistonTravel = Annotated[
    float,
    Quantity(
        term="Piston travel",
        setting="piston_travel",
        unit="in",
        low=4,
        high=12,
        digits=1,
        help="The same on every car.",
        mark="S",
        group=THE_TRAIN,
    ),
]

LeakCar = Annotated[
    float | None,
    Quantity(
        term="All the leakage is at car",
        unit="",
        low=1,
        high=250,
        whole=True,
        blank="spread evenly",
        group=LEAKS_AND_COCKS,
    ),
]

CylinderLeakage = Annotated[
    float,
    Quantity(
        term="Leakage of each brake cylinder",
        unit="psi/min",
        low=0,
        high=50,
        digits=2,
        help=f"As read with {LEAKAGE_READ_AT:g} psi in it, the same on every car.",
        group=LEAKS_AND_COCKS,
    ),
]

CockCar = Annotated[
    float | None,
    Quantity(
        term="Angle cock closed behind car",
        unit="",
        low=0,
        high=250,
        whole=True,
        help="From the first move on; 0 is the last locomotive.",
        blank="none",
        group=LEAKS_AND_COCKS,
    ),
]

CockOpening = Annotated[
    float,
    Quantity(
        term="Left open there",
        unit="%",
        low=0,
        high=99,
        help="Of the bore's area: a partly blocked pipe.",
        group=LEAKS_AND_COCKS,
    ),
]

RemoteAfter = Annotated[
    float | None,
    Quantity(
        term="Behind car",
        unit="",
        low=1,
        high=250,
        whole=True,
        blank="no remote locomotive",
        group=REMOTE,
    ),
]

RemoteLocomotives = Annotated[
    float,
    Quantity(term="Locomotives there", unit="", low=1, high=4, whole=True, group=REMOTE),
]

LinkDelay = Annotated[
    float,
    Quantity(
        term="Delay of the radio link",
        unit="s",
        low=0,
        high=60,
        digits=1,
        mark="M",
        group=REMOTE,
    ),
]

RadioLink = Annotated[
    str,
    Choice(
        term="The radio link",
        options=(
            Option(value="works", words="works"),
            Option(value="lost-feeds-on", words="lost, and the remote goes on feeding"),
            Option(
                value="lost-cuts-out",
                words="lost, and the remote cuts out once the brake pipe falls unasked",
            ),
        ),
        help="Which of the two a remote unit does is from memory: look at both.",
        mark="M",
        group=REMOTE,
    ),
]

FromPressure = Annotated[
    float | None,
    Quantity(
        term="Charged so far to",
        unit="psi",
        low=0,
        high=110,
        help="Pipe and reservoirs at the first move; 0 is a dry train.",
        blank="the setting; for a charge, dry",
        group=THE_AIR,
    ),
]

MainReservoir = Annotated[
    float,
    Quantity(
        term="Main reservoir",
        setting="main_reservoir",
        unit="psi",
        low=RESERVOIRS[0],
        high=RESERVOIRS[1],
        help="At the first move. The compressors are taken to start at "
        f"{AIR_SUPPLY.compressor_starts:g} psi and to stop at {AIR_SUPPLY.compressor_stops:g}.",
        mark="M",
        group=THE_AIR,
    ),
]

Delivery = Annotated[
    float,
    Quantity(
        term="Compressor of each locomotive delivers",
        unit="cfm",
        low=1,
        high=500,
        help="Idling; more at full speed.",
        mark="M",
        group=THE_AIR,
    ),
]

ReservoirVolume = Annotated[
    float,
    Quantity(
        term="Main reservoirs of each locomotive hold",
        unit="cu in",
        low=5000,
        high=200000,
        mark="M",
        group=THE_AIR,
    ),
]

Temperature = Annotated[
    float,
    Quantity(term="Temperature of the air", unit="°F", low=-40, high=120, group=THE_AIR),
]

ShowCars = Annotated[
    tuple[float, ...] | None,
    Quantity(
        term="Cars in the curves",
        unit="",
        low=1,
        high=250,
        whole=True,
        many=True,
        help="Up to five, by number; the car-by-time pictures show all.",
        blank="first, middle and last",
        group=SHOWN,
    ),
]

ReductionRelay = Annotated[
    str,
    Choice(
        term="Cars of 75 ft or more",
        options=(
            Option(value="without", words="have the control valve alone"),
            Option(value="with", words="have a reduction relay valve too"),
        ),
        help="It helps quick service along in the longer pipe. Read it on the car.",
        group=THE_TRAIN,
    ),
]

Atmosphere = Annotated[
    float,
    Quantity(
        term="Pressure of the atmosphere",
        setting="atmosphere",
        unit="psi",
        low=9,
        high=15.5,
        digits=1,
        help="14.7 at sea level, about 12.2 at 5,000 ft. Not a gauge reading: it counts from a vacuum.",
        mark="S",
        group=THE_AIR,
    ),
]


@dataclass(frozen=True, slots=True, kw_only=True)
class TrainRunInputs:
    """The inputs of `train-run`, in their published order."""

    cars: Cars = JF_3.cars
    car_length: FollowedCarLength = JF_3.car_length
    brake_pipe_setting: FollowedSetting = JF_3.brake_pipe_setting
    command: FirstMove = "service"
    reduction: Reduction = 10.0
    seconds: Seconds = None
    leakage: Leakage = 0.0
    rear_device: RearDevice = "two-way"
    held: Held = 60.0
    emergency_from: EmergencyFrom = "head"
    emergency_car: EmergencyCar = None
    rear_delay: RearDelay = 1.0
    moves: Moves = ""
    locomotives: Locomotives = 2.0
    car_lengths: CarLengths = ""
    cut_out_cars: CutOutCars = None
    retaining_valve: RetainingValve = "direct"
    retained_cars: RetainedCars = None
    piston_travel: PistonTravel = 8.0
    leak_car: LeakCar = None
    cock_car: CockCar = None
    cock_opening: CockOpening = 0.0
    remote_after: RemoteAfter = None
    remote_locomotives: RemoteLocomotives = 1.0
    link_delay: LinkDelay = 2.0
    radio_link: RadioLink = "works"
    from_pressure: FromPressure = None
    main_reservoir: MainReservoir = FOLLOWED_EXAMPLE.main_reservoir
    delivery: Delivery = AIR_SUPPLY.compressor_delivery
    reservoir_volume: ReservoirVolume = AIR_SUPPLY.reservoir_volume
    temperature: Temperature = 68.0
    atmosphere: Atmosphere = CAR.atmosphere
    show_cars: ShowCars = None
    emergency_needs: Annotated[float, in_group(THE_TRAIN)] = EMERGENCY_NEEDS.value
    reduction_relay: ReductionRelay = "without"
    cylinder_leakage: CylinderLeakage = 0.0

    @property
    def move(self) -> str:
        """The single move that was chosen; empty where a list of moves takes its place."""
        return "" if self.moves else self.command
