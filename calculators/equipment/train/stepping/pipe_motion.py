"""How the air in the pipe moves on by one step, in two ways.

Equations (isothermal, convection neglected), for the pressure p of a cell and the content flow w
through a face:

    V dp/dt = w_left - w_right
    dw/dt   = (A R T / Δx) (p_left - p_right) - r w
    r       = (f k |w| / (2 D A) + 32 μ R T / D²) / p_mean

`wave_step` takes them by turns, flows then pressures (leapfrog), friction point-implicit. At the
full wave step, in which a wave crosses exactly one cell, it carries waves without dispersion and
never faster than sound. `long_step` solves both together (theta scheme, one tridiagonal system)
and has no stability limit, but smears waves: it serves when none are about.

Content is moved from cell to cell by one and the same number, so it is conserved to rounding.
"""

from __future__ import annotations

from math import inf, sqrt

from calculators.equipment.train.stepping.flows import factor
from calculators.equipment.train.stepping.relays import Line
from calculators.equipment.train.stepping.state import State

SHORT_WAVE_DAMPING = 0.02
"""Share of its last change by which a difference of pressures pushes the flow ahead of itself. [-]

It wears down the shortest waves the cells can carry by 4 percent a step, 0.7 a second at 50 ft, and
waves of a few hundred feet hardly at all. That is about what the wall does: at the 9 Hz of those
waves the boundary layer on it is 0.3 mm, and takes ω δ / D, 0.5 a second, with as much again in
heat shared between two terms. Without it a ripple from cell to cell would live on in a pipe at rest.
"""


STRONG_DRAG = 0.5
"""Damping in a wave step, over the flow, from which the mean flow is too crude a measure. [-]"""


def _against_strong_drag(flow: float, pushed: float, both: float, turbulent: float) -> float:
    """Flow where friction rules over inertia, as next to an open vent or behind a wide-open feed.

    There the mean of the flow before and the flow without friction is mostly the latter, a flow
    that never is, and its friction would hold the flow to a bound whatever pushes it: a vent could
    not draw down the pipe behind it. The flow that friction at that flow leaves has the right
    balance, and is the larger of the two just where the mean is too small.
    """
    grip = 4.0 * turbulent / both
    size = (sqrt(1.0 + 2.0 * grip * abs(pushed)) - 1.0) / grip
    return max(flow, size) if pushed > 0.0 else min(flow, -size)


def _through_cock(
    state: State, face: int, extra: float, flow: float, step: float
) -> tuple[float, float]:
    """Flow at a partly closed cock, and what a unit of push then adds to it.

    There the square of the flow rules: it is solved for exactly, where the open pipe takes the
    friction of the flow before.
    """
    p = state.pressure
    grid = state.grid
    both = p[face - 1] + p[face]
    square = step * 2.0 * (grid.turbulent + extra) / both
    damping = 1.0 + step * 2.0 * grid.laminar / both
    push = flow + step * grid.pull[face] * (p[face - 1] - p[face])
    size = (sqrt(damping * damping + 4.0 * square * abs(push)) - damping) / (2.0 * square)
    return (size if push > 0.0 else -size), 1.0 / (damping + square * size)


def wave_step(state: State, step: float) -> None:
    """Move flows, then pressures, on by a step no longer than `Grid.wave_step`."""
    grid = state.grid
    p, w, pull = state.pressure, state.flow, grid.pull
    cells = grid.cells
    # Friction by the mean of the flow before and the flow it would be without friction: a front
    # that reaches a face at rest must feel it at once, or it would never wear down.
    turbulent = step * grid.turbulent
    laminar = step * grid.laminar * 2.0
    before = [w[face] for face in state.cocks]
    ahead = 1.0 + SHORT_WAVE_DAMPING
    differences = state.difference
    left = p[0]
    for i in range(1, cells):
        right = p[i]
        flow = w[i]
        difference = left - right
        pushed = flow + step * pull[i] * (ahead * difference - SHORT_WAVE_DAMPING * differences[i])
        differences[i] = difference
        both = left + right
        drag = turbulent * (abs(flow) + abs(pushed))
        flow = pushed * both / (both + drag + laminar)
        if drag > STRONG_DRAG * both:
            flow = _against_strong_drag(flow, pushed, both, turbulent)
        w[i] = flow
        left = right
    for (face, extra), flow in zip(state.cocks.items(), before, strict=True):
        w[face] = 0.0 if extra is None else _through_cock(state, face, extra, flow, step)[0]
    if state.vents:
        _choke(state)
    volume = grid.volume
    p[:] = [
        pressure + step * (entering - leaving) / room
        for pressure, entering, leaving, room in zip(p, w[:-1], w[1:], volume, strict=True)
    ]
    if state.leaks:
        atmosphere = grid.atmosphere
        for cell, conductance in state.leaks:
            pressure = p[cell]
            if pressure > atmosphere:
                rate = step * conductance * factor(atmosphere / pressure) / volume[cell]
                lost = pressure * rate / (1.0 + rate)
                p[cell] = pressure - lost
                state.vented += lost * volume[cell]


def _choke(state: State) -> None:
    """Hold every flow to half of what its source cell would pass at the speed of sound.

    Isothermal flow out of a pipe at rest chokes at 0.61 of that. Without convection the equations
    do not know it: where two emergencies meet, their falls would add up to less than nothing. At
    half, a cell that loses air both ways in one wave step still has some left.
    """
    grid = state.grid
    p, w = state.pressure, state.flow
    half = 0.5 * grid.area * grid.wave_speed
    for i in range(1, grid.cells):
        flow = w[i]
        if flow > 0.0:
            most = half * p[i - 1]
            if flow > most:
                w[i] = most
        elif flow < -half * p[i]:
            w[i] = -half * p[i]


def fill_up(state: State, step: float) -> None:
    """Bring cells that a step left under the atmosphere back to it; no gauge reads under 0.

    In a pipe that is as good as empty the flow of the step before can take more out of a cell than
    stands in it above the atmosphere. The neighbors give it back, and the flow through the face
    between is made less by that. What they lack too has gone out through a vent, a leak or the
    brake valve's exhaust within the step, and comes back in by the same way.
    """
    grid = state.grid
    p, w, volume, atmosphere = state.pressure, state.flow, grid.volume, grid.atmosphere
    cells = grid.cells
    for toward in (1, -1):
        for i in range(cells) if toward > 0 else range(cells - 1, -1, -1):
            other = i + toward
            if p[i] >= atmosphere or not 0 <= other < cells:
                continue
            face = max(i, other)
            if state.cocks.get(face, 0.0) is None:
                continue
            content = (atmosphere - p[i]) * volume[i]
            p[i] = atmosphere
            p[other] -= content / volume[other]
            w[face] -= toward * content / step
    for i in range(cells):
        if p[i] < atmosphere:
            state.vented -= (atmosphere - p[i]) * volume[i]
            p[i] = atmosphere


def long_step(
    state: State,
    step: float,
    sources: dict[int, list[Line]],
    before: list[float],
    *,
    theta: float,
) -> dict[int, float]:
    """Move flows and pressures on together; returns the content each source fed its cell.

    Parameters
    ----------
    state
        Changed in place.
    step
        Any length. [s]
    sources
        For each cell with a relay, its flow as a function of the pressure there: straight lines
        to be tried in order until one holds at the pressure it leads to.
    before
        Pressures at the start of the step, before the valves drew on the cells.
    theta
        Weight of the end of the step, 0.5 to 1.
    """
    grid = state.grid
    p, w, pull, volume = state.pressure, state.flow, grid.pull, grid.volume
    cells = grid.cells
    turbulent = step * grid.turbulent * 2.0
    laminar = step * grid.laminar * 2.0
    rest = 1.0 - theta
    # Content through face i: passing[i] + gain[i] * (change on the left - change on the right).
    passing = [0.0] * (cells + 1)
    gain = [0.0] * (cells + 1)
    weight = theta * theta * step * step
    left = before[0]
    for i in range(1, cells):
        right = before[i]
        flow = w[i]
        both = left + right
        kept = both / (both + turbulent * (flow if flow > 0.0 else -flow) + laminar)
        push = step * pull[i] * rest * (left - right)
        gain[i] = weight * pull[i] * kept
        passing[i] = step * (theta * kept * (flow + push) + rest * flow) + gain[i] * (
            p[i - 1] - p[i]
        )
        left = right
    for face, extra in state.cocks.items():
        if extra is None:
            gain[face] = passing[face] = 0.0
            continue
        flow = w[face]
        kept = _through_cock(state, face, extra, flow, step)[1]
        push = step * pull[face] * rest * (before[face - 1] - before[face])
        gain[face] = weight * pull[face] * kept
        passing[face] = step * (theta * kept * (flow + push) + rest * flow) + gain[face] * (
            p[face - 1] - p[face]
        )

    diagonal = [volume[i] + gain[i] + gain[i + 1] for i in range(cells)]
    right_side = [passing[i] - passing[i + 1] for i in range(cells)]
    atmosphere = grid.atmosphere
    leaking: list[tuple[int, float]] = []
    for cell, conductance in state.leaks:
        pressure = p[cell]
        if pressure > atmosphere:
            rate = step * conductance * factor(atmosphere / pressure)
            leaking.append((cell, rate))
            diagonal[cell] += rate
            right_side[cell] -= rate * pressure
    # The lines count from the pressure before; what the valves drew is part of the change.
    drawn = {cell: before[cell] - p[cell] for cell in sources}
    chosen = {cell: lines[0] for cell, lines in sources.items()}
    change = _changes(diagonal, gain, right_side, chosen, drawn, step)
    misfits = [
        cell for cell, line in chosen.items() if not line.low <= p[cell] + change[cell] <= line.high
    ]
    if misfits:
        for cell in misfits:
            chosen[cell] = sources[cell][-1]
        change = _changes(diagonal, gain, right_side, chosen, drawn, step)

    losses = [(cell, rate * (p[cell] + change[cell])) for cell, rate in leaking]
    for i in range(1, cells):
        state.difference[i] = p[i - 1] + change[i - 1] - p[i] - change[i]
    entering = 0.0
    last = cells - 1
    for i in range(cells):
        if i < last:
            leaving = passing[i + 1] + gain[i + 1] * (change[i] - change[i + 1])
            w[i + 1] = (leaving / step - rest * w[i + 1]) / theta
        else:
            leaving = 0.0
        p[i] += (entering - leaving) / volume[i]
        entering = leaving
    for cell, lost in losses:
        p[cell] -= lost / volume[cell]
        state.vented += lost
    fed: dict[int, float] = {}
    for cell, line in chosen.items():
        content = step * (line.flow - line.slope * (change[cell] - drawn[cell]))
        p[cell] += content / volume[cell]
        fed[cell] = content
    return fed


def longest_settled_step(state: State) -> float:
    """The longest step in which friction still settles the flows instead of turning them about. [s].

    `long_step` takes friction by the flow before the step. Where a strong steady flow would lose more
    than itself in a step, the next one overshoots, and the pressures with it.
    """
    p, w = state.pressure, state.flow
    most = max((abs(w[i]) / (p[i - 1] + p[i]) for i in range(1, state.grid.cells)), default=0.0)
    return inf if most <= 0.0 else 1.0 / (2.0 * state.grid.turbulent * most)


def _changes(
    diagonal: list[float],
    gain: list[float],
    right_side: list[float],
    sources: dict[int, Line],
    drawn: dict[int, float],
    step: float,
) -> list[float]:
    """Changes of pressure over a long step, with the sources' lines."""
    diagonal = diagonal[:]
    right_side = right_side[:]
    for cell, line in sources.items():
        diagonal[cell] += step * line.slope
        right_side[cell] += step * (line.flow + line.slope * drawn[cell])
    return solve_tridiagonal(diagonal, gain, right_side)


def solve_tridiagonal(
    diagonal: list[float], coupling: list[float], right_side: list[float]
) -> list[float]:
    """Solve a symmetric tridiagonal system by elimination and substitution.

    Parameters
    ----------
    diagonal, right_side
        Of the n equations.
    coupling
        n + 1 numbers: minus the off-diagonal element between equations i - 1 and i; the first and
        last are zero.

    Examples
    --------
    >>> solve_tridiagonal([2.0, 3.0], [0.0, 1.0, 0.0], [1.0, 2.0])
    [1.0, 1.0]
    """
    number = len(diagonal)
    upper = [0.0] * number
    solution = [0.0] * number
    ahead = ahead_upper = ahead_solution = 0.0
    for i in range(number):
        behind = coupling[i + 1]
        pivot = diagonal[i] - ahead * ahead_upper
        ahead_upper = upper[i] = behind / pivot
        ahead_solution = solution[i] = (right_side[i] + ahead * ahead_solution) / pivot
        ahead = behind
    after = 0.0
    for i in range(number - 1, -1, -1):
        after = solution[i] = solution[i] + upper[i] * after
    return solution
