"""The locomotive's 26-L type brake at rest: every pressure once no air moves any more.

The chain of command, each link a function: handle, equalizing reservoir, brake pipe, control
valve, pipe 16, double check valve, relay valve, brake cylinder. All pressures are gauge psi.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calculators.air.gas import shared_pressure
from calculators.base.units import ATMOSPHERE
from calculators.figures import nominal, thresholds
from calculators.law.limit_list import find_limit

Winner = Literal["pipe 16", "pipe 20", "neither"]
Handle = Literal[
    "release", "minimum-reduction", "service", "suppression", "handle-off", "emergency"
]
BailOff = Literal["none", "held", "released"]
CutOff = Literal["freight", "passenger", "out"]
ReleaseType = Literal["direct", "graduated"]
UnitStanding = Literal["lead", "trailing", "dead"]
Vented = Literal["nowhere", "train", "rear"]
Decisive = Literal[
    "demand", "limit", "independent", "supply", "bail-off", "dynamic brake", "nothing"
]


# A direct-release valve lets go once the pipe has risen about this far over its own reservoir [M];
# the smaller end of the range stands here, so that a release that may happen is not hidden.
RELEASING_RISE = thresholds.RELEASING_RISE.value

# The cut-off valve feeds the brake pipe only once the air behind it has reached this pressure
# [S*: ARMY-224]. Below it an equalizing reservoir that rises brings no brake pipe with it.
CUT_OFF_OPENS = nominal.CUT_OFF_OPENS.value

# The main reservoir must stay this far above the brake pipe [S: ARRC-96 63-6; 49 CFR 229.49(c)].
MAIN_RESERVOIR_MARGIN = find_limit("main-reservoir-over-brake-pipe").figure
EQUALIZATION = "equalization of the control valve's reservoir"
"""What holds pipe 16 where its limiting valve is set higher than there is air for."""


def control_valve_demand(
    *, control_reservoir: float, brake_pipe: float, multiplier: float
) -> float:
    """Pressure the control valve asks for in pipe 16 before any limit [psi].

    Parameters
    ----------
    control_reservoir
        The charged pressure shut in the control reservoir. [psi]
    brake_pipe
        The brake pipe now. [psi]
    multiplier
        Psi in pipe 16 for each psi of difference; 2.5 is common practice.

    Returns
    -------
    float
        multiplier x (control reservoir - brake pipe), never below zero. [psi]

    Examples
    --------
    >>> control_valve_demand(control_reservoir=85, brake_pipe=73, multiplier=2.5)
    30.0
    """
    return max(0.0, multiplier * (control_reservoir - brake_pipe))


def double_check(*, pipe_16: float, pipe_20: float) -> tuple[float, Winner]:
    """Pilot pressure that reaches the relay valve, and the pipe it comes from.

    The valve has no spring: the greater pressure wins [S*], and with nothing on either side
    neither does. The two are never added. Pressures in psi.

    Examples
    --------
    >>> double_check(pipe_16=30, pipe_20=20)
    (30, 'pipe 16')
    """
    if pipe_16 <= 0 and pipe_20 <= 0:
        return 0.0, "neither"
    if pipe_20 > pipe_16:
        return pipe_20, "pipe 20"
    return pipe_16, "pipe 16"


def relay(
    *,
    pipe_16: float,
    pipe_20: float,
    ratio_automatic: float,
    ratio_independent: float,
    supply: float,
) -> tuple[float, Winner]:
    """Brake cylinder pressure the relay valve builds, and the pipe that decided it [psi].

    cylinder = ratio x pilot with a ratio for each input; the higher product wins and no cylinder
    exceeds the air that supplies it.

    Examples
    --------
    >>> relay(pipe_16=30, pipe_20=45, ratio_automatic=1.0, ratio_independent=1.6, supply=130)
    (72.0, 'pipe 20')
    """
    wanted, winner = double_check(
        pipe_16=ratio_automatic * pipe_16, pipe_20=ratio_independent * pipe_20
    )
    return min(wanted, max(0.0, supply)), winner


def brake_pipe_following(*, equalizing_reservoir: float, brake_pipe: float, supply: float) -> float:
    """Brake pipe at rest behind a brake valve that is cut in [psi].

    The relay part of the brake valve brings the pipe to the equalizing reservoir from either
    side, but cannot feed it above the main reservoir, nor at all while the equalizing reservoir
    stands below the pressure that opens the cut-off valve.

    Parameters
    ----------
    equalizing_reservoir
        Pressure over the equalizing piston. [psi]
    brake_pipe
        The pipe before. [psi]
    supply
        Main reservoir. [psi]

    Examples
    --------
    >>> brake_pipe_following(equalizing_reservoir=90, brake_pipe=70, supply=130)
    90
    >>> brake_pipe_following(equalizing_reservoir=20, brake_pipe=0, supply=130)
    0
    """
    if equalizing_reservoir <= brake_pipe:
        return equalizing_reservoir
    if equalizing_reservoir < CUT_OFF_OPENS:
        return brake_pipe
    return max(brake_pipe, min(equalizing_reservoir, supply))


def reduction_at_limit(*, limit: float, multiplier: float) -> float:
    """The reduction at which pipe 16 is at its limit in service [psi].

    Examples
    --------
    >>> reduction_at_limit(limit=60, multiplier=2.5)
    24.0
    """
    return limit / multiplier


@dataclass(frozen=True, slots=True, kw_only=True)
class Equipment:
    """One locomotive as it is set up; pressures in psi, volumes in cu in.

    ``emergency_limit`` is read at the brake cylinder. ``emergency_threshold`` is the brake pipe
    pressure under which the emergency limit also stands for a pipe that fell at service rate; 0
    means never. ``auxiliary_volume`` None is the nominal one, as in the running brake: the control
    valve's own reservoir fills pipe 16 no further than both come to, which decides only where the
    setting is near the limit.
    """

    brake_pipe_setting: float
    minimum_reduction: float
    suppression_reduction: float
    multiplier: float
    service_limit: float
    emergency_limit: float
    emergency_threshold: float
    relay_ratio_automatic: float
    relay_ratio_independent: float
    main_reservoir: float
    cut_off: CutOff
    release_type: ReleaseType
    unit: UnitStanding
    dead_engine_setting: float
    auxiliary_volume: float | None
    pipe_16_volume: float
    emergency_drops_dynamic: bool

    @property
    def own_reservoir(self) -> float:
        """Volume of the control valve's own reservoir, nominal where none is given. [cu in]."""
        return self.auxiliary_volume or nominal.AUXILIARY_VOLUME.value


@dataclass(frozen=True, slots=True, kw_only=True)
class HandleDemand:
    """What the handles ask for. On a trailing or dead unit these are the lead unit's handles.

    ``earlier_reduction`` is the deepest set since the last release; ``reduction_at_bail_off`` is
    the reduction that stood when the automatic application was bailed off. ``vented`` says where
    in the train the brake pipe was opened: an emergency that no handle asked for.
    """

    handle: Handle
    reduction: float
    earlier_reduction: float
    independent: float
    bail_off: BailOff
    reduction_at_bail_off: float | None
    dynamic_brake: bool
    control_reservoir: float | None
    vented: Vented = "nowhere"


@dataclass(frozen=True, slots=True, kw_only=True)
class AskedOfPipe16:
    """What the automatic brake asks for in pipe 16 and what caps it [psi]."""

    demand: float
    limit: float
    limited_by: str
    pipe_16: float


@dataclass(frozen=True, slots=True, kw_only=True)
class AtRest:
    """Every pressure of the locomotive once no air moves, and what settled it [psi]."""

    equalizing_reservoir: float
    brake_pipe: float
    control_reservoir: float
    demand: float
    limit: float
    limited_by: str
    pipe_16: float
    pipe_20: float
    pilot: float
    supply: float
    brake_cylinder: float
    decided_by: Winner
    decisive: Decisive
    train_reduction: float
    train_released: bool


def asked_reduction(equipment: Equipment, command: HandleDemand) -> float:
    """The reduction that the handle's position stands for [psi]."""
    return {
        "release": 0.0,
        "minimum-reduction": equipment.minimum_reduction,
        "service": command.reduction,
        "suppression": equipment.suppression_reduction,
        "handle-off": equipment.brake_pipe_setting,
        "emergency": equipment.brake_pipe_setting,
    }[command.handle]


def equalizing_reservoir(equipment: Equipment, command: HandleDemand) -> float:
    """The controlling unit's equalizing reservoir at rest [psi].

    Release alone brings it back to the setting. With the cut-off in freight it never rises
    otherwise; in passenger it follows the handle both ways.
    """
    asked = asked_reduction(equipment, command)
    if command.handle != "release" and equipment.cut_off != "passenger":
        asked = max(asked, command.earlier_reduction)
    # The regulating valve is fed from the main reservoir and cannot set more than is there.
    charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
    return max(0.0, min(charged, equipment.brake_pipe_setting - asked))


def at_rest(equipment: Equipment, command: HandleDemand) -> AtRest:
    """Work out every pressure of the locomotive at rest.

    Follows the chain of command link by link; see the functions above for each link's rule and
    source. A trailing unit's cylinder follows the brake pipe through its own control valve and
    pipe 20 from the lead; a dead unit's air comes from the brake pipe at a reduced pressure.
    """
    charged = min(equipment.brake_pipe_setting, equipment.main_reservoir)
    er = equalizing_reservoir(equipment, command)
    bp, released = _brake_pipe(equipment, command, er, charged)
    control_reservoir = charged if command.control_reservoir is None else command.control_reservoir
    supply = _supply(equipment, charged)
    asked = automatic(
        equipment,
        command,
        control_reservoir=control_reservoir,
        brake_pipe=bp,
        released=released,
        supply=supply,
    )
    pipe_16 = asked.pipe_16
    pipe_20 = independent_pressure(equipment, command, supply=supply)
    cylinder, winner = relay(
        pipe_16=pipe_16,
        pipe_20=pipe_20,
        ratio_automatic=equipment.relay_ratio_automatic,
        ratio_independent=equipment.relay_ratio_independent,
        supply=supply,
    )
    pilot = {"pipe 16": pipe_16, "pipe 20": pipe_20, "neither": 0.0}[winner]
    return AtRest(
        equalizing_reservoir=er if equipment.unit == "lead" else 0.0,
        brake_pipe=bp,
        control_reservoir=control_reservoir,
        demand=asked.demand,
        limit=asked.limit,
        limited_by=asked.limited_by,
        pipe_16=pipe_16,
        pipe_20=pipe_20,
        pilot=pilot,
        supply=supply,
        brake_cylinder=cylinder,
        decided_by=winner,
        decisive=_decisive(
            equipment, command, winner, pipe_16, pipe_20, asked.demand, asked.limit, supply
        ),
        train_reduction=charged - bp,
        train_released=released,
    )


def automatic(
    equipment: Equipment,
    command: HandleDemand,
    *,
    control_reservoir: float,
    brake_pipe: float,
    released: bool,
    supply: float,
) -> AskedOfPipe16:
    """What pipe 16 comes to for a brake pipe, at rest or on the way there.

    Parameters
    ----------
    control_reservoir, brake_pipe, supply
        The charged pressure, the brake pipe now, the air that feeds the relay. [psi]
    released
        Whether a rise of the brake pipe has released a direct-release valve.
    """
    demand = _demand(equipment, command, control_reservoir, brake_pipe, released)
    limit, limited_by = _limit(equipment, command, control_reservoir, brake_pipe)
    nullified = _nullified(equipment, command)
    if command.handle == "emergency" and not nullified:
        # The emergency limiting valve feeds pipe 16 whatever the control valve asked for.
        demand = max(demand, limit)
    return AskedOfPipe16(
        demand=demand,
        limit=limit,
        limited_by=limited_by,
        pipe_16=0.0 if nullified else min(demand, limit, supply),
    )


def independent_pressure(equipment: Equipment, command: HandleDemand, *, supply: float) -> float:
    """Pipe 20 at rest: what the independent handle asks for; a dead unit has none [psi]."""
    return min(command.independent, supply) if equipment.unit != "dead" else 0.0


def _brake_pipe(
    equipment: Equipment, command: HandleDemand, er: float, charged: float
) -> tuple[float, bool]:
    """The brake pipe at rest, and whether a rise has released direct-release valves."""
    if command.handle == "emergency" or command.vented != "nowhere":
        return 0.0, False
    before = max(0.0, charged - command.earlier_reduction)
    if equipment.cut_off == "out" and equipment.unit == "lead":
        return before, False
    bp = brake_pipe_following(
        equalizing_reservoir=er, brake_pipe=before, supply=equipment.main_reservoir
    )
    risen = command.earlier_reduction > 0 and bp - before > RELEASING_RISE
    return bp, risen


def _supply(equipment: Equipment, charged: float) -> float:
    """Air that feeds the relay: the main reservoir, or on a dead unit what the pipe left it."""
    if equipment.unit == "dead":
        return min(equipment.dead_engine_setting, charged)
    return equipment.main_reservoir


def _demand(
    equipment: Equipment,
    command: HandleDemand,
    control_reservoir: float,
    brake_pipe: float,
    released: bool,
) -> float:
    """What the control valve asks for in pipe 16, after a bail-off or a direct release."""
    overcharged = control_reservoir > equipment.brake_pipe_setting
    if released and equipment.release_type == "direct" and not overcharged:
        return 0.0
    reference = control_reservoir
    if command.bail_off == "released":
        # Bailing off leaves the control reservoir at the brake pipe of that moment [M]; a test
        # in print agrees (5 psi further after 10 gave about 12.5) [S*, derived].
        at_bail_off = command.reduction_at_bail_off
        reference = (
            brake_pipe
            if at_bail_off is None
            else max(brake_pipe, equipment.brake_pipe_setting - at_bail_off)
        )
    return control_valve_demand(
        control_reservoir=reference, brake_pipe=brake_pipe, multiplier=equipment.multiplier
    )


def _limit(
    equipment: Equipment, command: HandleDemand, control_reservoir: float, brake_pipe: float
) -> tuple[float, str]:
    """The cap on pipe 16 that is in force, and its name."""
    if command.handle == "emergency" or brake_pipe < equipment.emergency_threshold:
        return equipment.emergency_limit / equipment.relay_ratio_automatic, "emergency limit"
    return limit_in_service(equipment, control_reservoir=control_reservoir)


def limit_in_service(equipment: Equipment, *, control_reservoir: float) -> tuple[float, str]:
    """What pipe 16 comes to at most in a service set [psi], and what holds it there.

    The service limiting valve, or the control valve's own reservoir: charged to the control
    reservoir's pressure [psi] it fills pipe 16 until both are alike (Boyle's law).
    """
    equalized = shared_pressure(
        (
            (control_reservoir + ATMOSPHERE, equipment.own_reservoir),
            (ATMOSPHERE, equipment.pipe_16_volume),
        )
    )
    if equalized - ATMOSPHERE < equipment.service_limit:
        return max(0.0, equalized - ATMOSPHERE), EQUALIZATION
    return equipment.service_limit, "service limiting valve"


def _nullified(equipment: Equipment, command: HandleDemand) -> bool:
    """Whether bail-off or the dynamic brake takes the automatic application away here."""
    if command.bail_off == "held" and equipment.unit != "dead":
        return True
    if not command.dynamic_brake or equipment.unit == "dead":
        return False
    return command.handle != "emergency" or not equipment.emergency_drops_dynamic


def _decisive(
    equipment: Equipment,
    command: HandleDemand,
    winner: Winner,
    pipe_16: float,
    pipe_20: float,
    demand: float,
    limit: float,
    supply: float,
) -> Decisive:
    """The link of the chain that settled the cylinder."""
    ratios = (equipment.relay_ratio_automatic, equipment.relay_ratio_independent)
    if winner != "neither" and max(ratios[0] * pipe_16, ratios[1] * pipe_20) > supply:
        return "supply"
    if winner == "pipe 20":
        return "independent"
    if winner == "pipe 16":
        if pipe_16 == supply < min(demand, limit):
            return "supply"
        return "limit" if demand >= limit else "demand"
    if _nullified(equipment, command) and demand > 0:
        return "bail-off" if command.bail_off == "held" else "dynamic brake"
    if command.bail_off == "released" and command.handle != "release":
        return "bail-off"
    return "nothing"
