"""What the `circuit` question asks for."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Annotated

from calculators.base.quantities import Choice, Option, Quantity
from calculators.circuits.asking import AS_SHOWN
from calculators.circuits.catalog import CIRCUITS
from calculators.declaring.vocabulary import ReleaseType
from calculators.equipment.running import Volumes
from calculators.equipment.train.consist import SETTINGS
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.figures.thresholds import EMERGENCY_NEEDS
from calculators.questions.shared.followed import (
    FOLLOWED_EXAMPLE,
    FollowedCarLength,
    FollowedLocomotive,
    FollowedSetting,
)
from calculators.questions.shared.locomotive import (
    BAIL_OFF,
    CUT_OFF,
    HANDLE,
    REDUCTION_AT_BAIL_OFF,
    YOURS,
)
from calculators.questions.shared.low_emergency import in_group
from calculators.questions.shared.train import JF_3

BEFORE = "Before this move"
TRAIN = "Your train"

_SHOWN = Option(value=AS_SHOWN, words="as the circuit shows")


def _operated(theirs: Choice, group: str = "") -> Choice:
    """A choice of the locomotive brake calculator, with the circuit's own place as default."""
    return Choice(
        term=theirs.term, options=(_SHOWN, *theirs.options), help=theirs.help, group=group
    )


LONGEST_ASKED = 14_400.0
"""How long a move can be followed. [s]"""

_CIRCUIT = Choice(
    term="Circuit",
    options=tuple(Option(value=c.id, words=c.title) for c in CIRCUITS.values()),
)
_STAGE = Quantity(
    term="Move of the circuit",
    unit="",
    low=1,
    high=max(len(c.stages) for c in CIRCUITS.values()),
    whole=True,
    help="Some circuits go on: recovery, release.",
)

_EVENTS = Choice(
    term="What else happens",
    options=(
        _SHOWN,
        Option(value="none", words="nothing"),
        Option(value="penalty", words="a penalty: a safety device takes the brake"),
        Option(value="emergency-from-train", words="a hose parts in the train"),
        Option(value="emergency-from-rear", words="the end-of-train device vents the pipe"),
    ),
)

_PENALTY_SOURCE = Choice(
    term="What asks for the penalty",
    options=(
        Option(value="pedal", words="the pedal"),
        Option(value="overspeed", words="overspeed"),
        Option(value="alerter", words="the alerter"),
        Option(value="train-control", words="train control"),
    ),
    help="Counts where suppression was set before the penalty comes.",
    group=YOURS,
)
_SUPPRESSION_COVERS = Choice(
    term="Suppression holds off",
    options=(
        Option(value="pedal-and-overspeed", words="pedal and overspeed (from memory)"),
        Option(value="every-source", words="every source"),
        Option(value="none", words="none of them"),
    ),
    help="A setting of your unit. Set before the penalty comes; one that has begun runs on.",
    group=YOURS,
)


_DYNAMIC = Choice(
    term="Dynamic brake",
    options=(_SHOWN, Option(value="off", words="off"), Option(value="on", words="on")),
    help="While it is on, the automatic application is held off this locomotive.",
)
_CHARGED_TO = Quantity(
    term="Brake had been charged to",
    unit="psi",
    low=0,
    high=SETTINGS[1],
    help="By another unit, or at another setting: over the setting it is an overcharge.",
    blank="the setting",
    group=BEFORE,
)
_WRONG = Choice(
    term="Set up wrongly",
    options=(
        Option(value="nothing", words="nothing"),
        Option(value="trailing-cut-in", words="a second brake valve is cut in behind, in release"),
        Option(value="not-drained", words="hauled dead with its main reservoir not let down"),
    ),
    help="A second valve holds the pipe at the setting; not drained counts on a unit hauled dead.",
    group=YOURS,
)
_LOCOMOTIVES = Quantity(
    term="Locomotives at the head",
    unit="",
    low=1,
    high=4,
    whole=True,
    help="Each brings its pipe, its main reservoir and its compressor.",
    group=TRAIN,
)
_FOLLOW_FOR = Quantity(
    term="Follow it for",
    unit="min",
    low=0.1,
    high=240,
    digits=1,
    help="At most; it ends where all rests.",
    blank="to rest",
    group=TRAIN,
)


def _taken_off(help: str, group: str = "") -> Quantity:
    return Quantity(
        term="Reduction",
        unit="psi",
        low=0,
        high=130,
        help=help,
        blank="as the circuit shows",
        group=group,
    )


def _by_hand(group: str = "") -> Quantity:
    return Quantity(
        term="Independent brake",
        unit="psi",
        low=0,
        high=200,
        help="Pipe 20 pressure the independent handle asks for; 0 is release.",
        blank="as the circuit shows",
        group=group,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitInputs:
    """The inputs of `circuit`, in their published order."""

    circuit: Annotated[str, _CIRCUIT] = "service-application"
    stage: Annotated[float, _STAGE] = 1.0
    handle: Annotated[str, _operated(HANDLE)] = AS_SHOWN
    reduction: Annotated[
        float | None, _taken_off("How far the handle is taken into the service zone.")
    ] = None
    independent: Annotated[float | None, _by_hand()] = None
    bail_off: Annotated[str, _operated(BAIL_OFF)] = AS_SHOWN
    cut_off: Annotated[str, _operated(CUT_OFF)] = AS_SHOWN
    event: Annotated[str, _EVENTS] = AS_SHOWN
    moment: Annotated[
        float | None,
        Quantity(
            term="Moment",
            unit="s",
            low=0,
            high=LONGEST_ASKED,
            digits=1,
            help="Time since the move.",
            blank="at rest",
        ),
    ] = None
    brake_pipe_setting: FollowedSetting = JF_3.brake_pipe_setting
    cars: Annotated[
        float,
        Quantity(
            term="Cars",
            setting="cars",
            unit="",
            low=0,
            high=250,
            whole=True,
            help="Cars behind the locomotive; 0 is a light locomotive.",
            group=TRAIN,
        ),
    ] = JF_3.cars
    car_length: FollowedCarLength = JF_3.car_length
    leakage: Annotated[
        float | None,
        Quantity(
            term="Brake pipe leakage",
            unit="psi/min",
            low=0,
            high=30,
            digits=1,
            help="As read with the valve cut out, at the setting.",
            blank="as the circuit shows",
            group=TRAIN,
        ),
    ] = None
    locomotive: FollowedLocomotive = FOLLOWED_EXAMPLE
    release_type: ReleaseType = "direct"
    cylinders: Annotated[
        float,
        Quantity(
            term="Brake cylinders",
            unit="",
            low=1,
            high=24,
            whole=True,
            help="On this locomotive.",
            mark="P",
            group=YOURS,
        ),
    ] = Volumes().cylinders
    cylinder_volume: Annotated[
        float,
        Quantity(
            term="Volume of one cylinder, piston out",
            unit="cu in",
            low=50,
            high=3000,
            help="Only decides how long it takes.",
            mark="M",
            group=YOURS,
        ),
    ] = Volumes().cylinder
    compressor_delivery: Annotated[
        float,
        Quantity(
            term="Compressor delivers",
            unit="cfm",
            low=10,
            high=600,
            help="Only decides how long it takes.",
            mark="M",
            group=YOURS,
        ),
    ] = AIR_SUPPLY.compressor_delivery
    from_handle: Annotated[str, _operated(HANDLE, BEFORE)] = AS_SHOWN
    from_reduction: Annotated[
        float | None, _taken_off("Counts only if the handle's place before is given.", BEFORE)
    ] = None
    from_independent: Annotated[float | None, _by_hand(BEFORE)] = None
    from_bail_off: Annotated[str, _operated(BAIL_OFF, BEFORE)] = AS_SHOWN
    from_cut_off: Annotated[str, _operated(CUT_OFF, BEFORE)] = AS_SHOWN
    from_event: Annotated[
        str, Choice(term="What else had happened", options=_EVENTS.options, group=BEFORE)
    ] = AS_SHOWN
    earlier_reduction: Annotated[
        float | None,
        Quantity(
            term="Deepest set since the last release",
            unit="psi",
            low=0,
            high=130,
            help="Before the state this move starts from.",
            blank="none",
            group=BEFORE,
        ),
    ] = None
    reduction_at_bail_off: Annotated[float | None, replace(REDUCTION_AT_BAIL_OFF, group=BEFORE)] = (
        None
    )
    penalty_source: Annotated[str, _PENALTY_SOURCE] = "pedal"
    suppression_covers: Annotated[str, _SUPPRESSION_COVERS] = "pedal-and-overspeed"
    dynamic_brake: Annotated[str, _DYNAMIC] = AS_SHOWN
    from_dynamic_brake: Annotated[str, replace(_DYNAMIC, group=BEFORE)] = AS_SHOWN
    charged_to: Annotated[float | None, _CHARGED_TO] = None
    wrong: Annotated[str, _WRONG] = "nothing"
    locomotives: Annotated[float, _LOCOMOTIVES] = 2.0
    follow_for: Annotated[float | None, _FOLLOW_FOR] = None
    emergency_needs: Annotated[float, in_group(YOURS)] = EMERGENCY_NEEDS.value
