"""The inputs of your locomotive that several questions share, each worded once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.base.quantities import Choice, Mark, Option, Quantity
from calculators.base.results import Display
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.law.limit_list import find_limit

YOURS = "Your locomotive"
STATE = "How it is set up now"

LEAST_RESERVOIR = (
    "No pipe or cylinder can be above it. The example's is the least that its compressor lets "
    f"stand: it starts at {AIR_SUPPLY.compressor_starts:g} psi and stops at "
    f"{AIR_SUPPLY.compressor_stops:g}."
)

HANDLE = Choice(
    term="Automatic brake handle",
    options=(
        Option(value="release", words="release"),
        Option(value="minimum-reduction", words="minimum reduction"),
        Option(value="service", words="service zone"),
        Option(value="suppression", words="suppression"),
        Option(value="handle-off", words="handle off"),
        Option(value="emergency", words="emergency"),
    ),
    help="On a trailing or dead unit this is the lead unit's handle.",
)
HandleChoice = Annotated[str, HANDLE]
BAIL_OFF = Choice(
    term="Bail-off",
    options=(
        Option(value="none", words="not used"),
        Option(value="held", words="handle pressed and held"),
        Option(value="released", words="pressed, then let go"),
    ),
    help="Takes the automatic application off this locomotive. It never touches the cars.",
)
BailOffChoice = Annotated[str, BAIL_OFF]
CUT_OFF = Choice(
    term="Cut-off selector of the brake valve",
    options=(
        Option(value="freight", words="freight: rises only in release"),
        Option(value="passenger", words="passenger: follows the handle both ways"),
        Option(value="out", words="OUT: the brake pipe does not follow"),
    ),
    mark="M",
    group=STATE,
)
CutOffChoice = Annotated[str, CUT_OFF]


def pressure(
    term: str,
    help: str,
    *,
    mark: Mark = "",
    group: str = "",
    high: float = 200,
    blank: str = "",
    setting: str = "",
) -> Quantity:
    """A pressure input of the locomotive; they differ in little but their words."""
    return Quantity(
        term=term,
        unit="psi",
        low=0,
        high=high,
        help=help,
        mark=mark,
        group=group,
        blank=blank,
        setting=setting,
    )


def full_independent(*, low: float, high: float) -> Quantity:
    """The input of a full independent, with what the only text that was read has for it. [psi]."""
    older = find_limit("older-independent-full").words().text(Display())
    return Quantity(
        term="Full independent",
        unit="psi",
        low=low,
        high=high,
        help=f"Pipe 20 pressure with the independent handle full on; the rules of before 2001 have {older}.",
        mark="M",
    )


ServiceLimit = Annotated[
    float,
    pressure(
        "Service limiting valve set at",
        "Caps pipe 16 in service; 55 to 62 is common.",
        setting="service_limit",
        mark="P",
        group=YOURS,
        high=150,
    ),
]
EmergencyLimit = Annotated[
    float,
    pressure(
        "Emergency limit at the cylinder",
        "68 to 72 where it was read, on related equipment.",
        setting="emergency_limit",
        mark="S*",
        group=YOURS,
        high=150,
    ),
]
Multiplier = Annotated[
    float,
    Quantity(
        term="Control valve multiplier",
        setting="multiplier",
        unit="",
        low=0.5,
        high=5,
        digits=1,
        help="Psi in pipe 16 for each psi of reduction.",
        mark="P",
        group=YOURS,
    ),
]
RelayRatioAutomatic = Annotated[
    float,
    Quantity(
        term="Relay ratio, automatic",
        setting="relay_ratio_automatic",
        unit="",
        low=0.2,
        high=4,
        digits=1,
        help="Cylinder psi for each psi of pilot from pipe 16.",
        mark="S*",
        group=YOURS,
    ),
]
RelayRatioIndependent = Annotated[
    float,
    Quantity(
        term="Relay ratio, independent",
        setting="relay_ratio_independent",
        unit="",
        low=0.2,
        high=4,
        digits=1,
        help="Cylinder psi for each psi of pilot from pipe 20; 1.6 turns 45 into 72 on some units (from memory).",
        mark="P",
        group=YOURS,
    ),
]
MainReservoir = Annotated[
    float,
    pressure(
        "Main reservoir",
        LEAST_RESERVOIR,
        setting="main_reservoir",
        mark="P",
        group=YOURS,
    ),
]
MinimumReduction = Annotated[
    float,
    pressure(
        "Minimum reduction takes off",
        "The first notch: 5 to 8 psi by the books read.",
        setting="minimum_reduction",
        mark="S",
        group=YOURS,
        high=20,
    ),
]
SuppressionReduction = Annotated[
    float,
    pressure(
        "Suppression takes off",
        "A fixed full-service reduction.",
        setting="suppression_reduction",
        mark="M",
        group=YOURS,
        high=60,
    ),
]
EmergencyThreshold = Annotated[
    float,
    pressure(
        "Emergency limit also applies below a brake pipe of",
        "For a pipe that fell at service rate (handle off, penalty). 0 means never.",
        setting="emergency_threshold",
        mark="M",
        group=YOURS,
        high=60,
    ),
]
Pipe16Volume = Annotated[
    float,
    Quantity(
        term="Volume on pipe 16",
        setting="pipe_16_volume",
        unit="cu in",
        low=1,
        high=2000,
        help="Steadies build-up and release; at rest it counts only where the setting is near the limit.",
        mark="P",
        group=YOURS,
    ),
]
DeadEngineSetting = Annotated[
    float,
    pressure(
        "Dead-engine device feeds the main reservoir to",
        "Counts only on a unit hauled dead.",
        setting="dead_engine_setting",
        mark="M",
        group=YOURS,
    ),
]


REDUCTION_AT_BAIL_OFF = pressure(
    "Reduction at the time of the bail-off",
    "After a bail-off let go, only what comes after it counts on this locomotive.",
    group=STATE,
    high=130,
    blank="the present reduction",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class LocomotiveInputs:
    """Your locomotive: pressures [psi], ratios, and a volume [cu in]."""

    service_limit: ServiceLimit = 60.0
    emergency_limit: EmergencyLimit = 70.0
    multiplier: Multiplier = 2.5
    relay_ratio_automatic: RelayRatioAutomatic = 1.0
    relay_ratio_independent: RelayRatioIndependent = 1.0
    main_reservoir: MainReservoir = AIR_SUPPLY.compressor_starts
    minimum_reduction: MinimumReduction = 6.0
    suppression_reduction: SuppressionReduction = 26.0
    emergency_threshold: EmergencyThreshold = 20.0
    pipe_16_volume: Pipe16Volume = 90.0
    dead_engine_setting: DeadEngineSetting = 25.0


EXAMPLE = LocomotiveInputs()
"""The locomotive of the examples, as both trains have it."""
