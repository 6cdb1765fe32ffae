"""The locomotive's 26-L type brake at rest: every pressure once no air moves any more.

The chain of command, each link a function: handle, equalizing reservoir, brake pipe, control
valve, pipe 16, double check valve, relay valve, brake cylinder. All pressures are gauge psi.
"""

from __future__ import annotations

from typing import Literal

Winner = Literal["pipe 16", "pipe 20", "neither"]

# The cut-off valve feeds the brake pipe only once the air behind it has reached this pressure
# [S*: ARMY-224-34]. Below it an equalizing reservoir that rises brings no brake pipe with it.
CUT_OFF_OPENS = 25.0

# The main reservoir must stay this far above the brake pipe [S: ARRC-96 63-6; 49 CFR 229.49(c)].
MAIN_RESERVOIR_MARGIN = 15.0


def control_valve_demand(*, control_reservoir: float, brake_pipe: float, multiplier: float) -> float:
    """Pressure the control valve asks for in pipe 16 before any limit. [psi]

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
    """Brake cylinder pressure the relay valve builds, and the pipe that decided it. [psi]

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
    """Brake pipe at rest behind a brake valve that is cut in. [psi]

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


def reduction_at_limit(*, service_limit: float, multiplier: float) -> float:
    """The reduction at which the service limiting valve takes over. [psi]

    Examples
    --------
    >>> reduction_at_limit(service_limit=60, multiplier=2.5)
    24.0
    """
    return service_limit / multiplier
