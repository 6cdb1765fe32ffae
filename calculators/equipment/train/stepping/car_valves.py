"""What the cars' control valves let through in one step, position by position.

Every flow is taken at the pressures at hand and never past equal pressures, so a long step cannot
overshoot. What leaves one volume enters another or is counted as vented.

Why trains in this model stay applied
-------------------------------------
A long train whose valves vent their own pipe can go wrong in three ways: the application dies out,
it grows into an emergency, or the rear lets go by itself. A study model of the same equations had
the first two under control and still released by itself at 110 psi after 7 or 10 psi, in 4 of 180
trains. Taking this model apart at 110 psi, over 16 trains of 100 and 200 cars, shows the causes, in
order of weight:

1. *Quick service that does not know when it is enough.* If the passage to the bulb stays open until
   the bulb is full, every car takes a bulbful whatever its pipe has already done, and at 110 psi a
   bulbful holds more air than at 90. Taken by all cars at once that is more than a light set: the
   pipe falls below what the brake valve asks, the closed rear doubles it, each auxiliary follows its
   pipe down, and when the brake valve brings the pipe back up the valves see a rise and release, each
   release speeding the next; on short cars the falls add up to an emergency before that. Here the
   slide valve, once the difference has carried it past its first position, shuts that passage until
   the next release. The local fall is then bounded by a difference and not by a volume, and is about
   the same on 40 and on 90 ft cars. With the passage left open 6 of the 16 release or go to emergency.
2. *Vents that open with the fall they cause.* A passage from the pipe to the cylinder metered by the
   graduating valve is open the wider the faster the pipe falls, and so makes it fall faster: the
   largest rise of a pipe above its auxiliary, afterwards, was 50 percent of the release margin. As a
   small plain hole that shuts at a cylinder pressure it is 27 percent, and a light set gets its
   quick-service pressure.
3. *A graduating valve without inertia.* What it still meters, answered at once, feeds the fall at the
   shortest wavelength, and neighbors pump each other up. The piston's lag takes that away, and the
   vents close as the valve laps. Without it the largest rise is 40 percent of the margin.
4. *Thresholds in psi among laws in proportion.* Choked flow, volumes and waves scale with the
   pressure; a release margin of fixed psi does not, so a train that is stable at 90 need not be at
   110, nor one that carries at 90 at 70. The friction of a slide valve that the auxiliary's pressure
   holds on its seat scales too, and here both differences are such friction. Fixed at their 90 psi
   values the largest rise at 110 is 31 percent of the margin.

The tests in ``tests/train`` run the 180 trains and others drawn at random, and check that a table
without the cut-off of 1 fails them.
"""

from __future__ import annotations

from math import exp, inf

from calculators.equipment.train.stepping.border import ValveFigures
from calculators.equipment.train.stepping.flows import factor, set_cylinder_pressure
from calculators.equipment.train.stepping.state import State
from calculators.equipment.train.stepping.triggers import STILL, release


def vent(state: State, step: float) -> None:
    """Open vents: the pipe to atmosphere, or atmosphere to a pipe that a wave has emptied.

    A vent can take much of a cell's air in one step, so its flow goes by the pressure it leaves. A
    wave that meets a vent along the pipe keeps half of its fall on either side, and the mean of the
    pressures before and after is exact for it; at a closed end the pressure after is.
    """
    p, volume, atmosphere = state.pressure, state.grid.volume, state.grid.atmosphere
    ends = (0, state.grid.cells - 1)
    for opening in state.vents:
        cell = opening.cell
        open_for = step if opening.opened_for is None else opening.opened_for
        opening.opened_for = None
        opening.seconds_left -= open_for
        pressure = p[cell]
        conductance = opening.conductance * open_for
        weight = 1.0 if cell in ends else 0.5
        if pressure > atmosphere:
            rate = conductance * factor(atmosphere / pressure) * pressure / volume[cell]
            excess = pressure - atmosphere
            # As a share of the excess when that is small, of the pressure while choked.
            scale = pressure if rate < excess else excess
        else:
            rate = -conductance * factor(pressure / atmosphere) * atmosphere / volume[cell]
            excess = scale = pressure - atmosphere
        lost = rate / (1.0 + weight * rate / scale) if rate else 0.0
        lost = min(lost, excess) if excess > 0.0 else max(lost, excess)
        p[cell] = pressure - lost
        state.vented += lost * volume[cell]
    for opening in state.vents:
        if opening.seconds_left <= 0.0 and opening.detector is not None:
            state.detector_fired[opening.detector] = False
    state.vents = [opening for opening in state.vents if opening.seconds_left > 0.0]


def act_released(state: State, step: float) -> None:
    """Valves in release: charge the reservoirs, empty cylinder and bulb, speed the release on."""
    p, auxiliary, emergency = state.pressure, state.auxiliary, state.emergency
    cells, volume, atmosphere = state.grid.car_cell, state.grid.volume, state.grid.atmosphere
    still_moving: list[int] = []
    for i in state.moving:
        cell = cells[i]
        figures = state.figures[i]
        V = volume[cell]
        pressure = p[cell]
        moves = False

        Ve = figures.emergency_volume
        e = emergency[i]
        if state.accelerating[i]:
            if e > pressure * 1.002:
                content = figures.accelerated_release * e * factor(pressure / e) * step
                content = min(content, (e - pressure) / (1.0 / Ve + 1.0 / V))
                e -= content / Ve
                pressure += content / V
                moves = True
            else:
                state.accelerating[i] = False
        elif pressure > e:
            content = figures.emergency_charging * pressure * factor(e / pressure) * step
            content = min(content, (pressure - e) / (1.0 / Ve + 1.0 / V))
            moves = pressure - e > STILL
            e += content / Ve
            pressure -= content / V
        emergency[i] = e

        # The charging passage of the auxiliary works both ways: it is what lets a slow leak of
        # the pipe draw the auxiliary down with it and apply nothing.
        Va = figures.auxiliary_volume
        a = auxiliary[i]
        equal = (pressure - a) / (1.0 / Va + 1.0 / V)
        if pressure > a:
            content = figures.auxiliary_charging * pressure * factor(a / pressure) * step
            content = min(content, equal)
        else:
            content = -figures.auxiliary_charging * a * factor(pressure / a) * step
            content = max(content, equal)
        moves = moves or not -STILL < pressure - a < STILL
        auxiliary[i] = a + content / Va
        p[cell] = pressure - content / V

        bulb = state.bulb[i]
        if bulb > atmosphere:
            left = atmosphere + (bulb - atmosphere) * exp(-step / figures.bulb_vent_lag)
            if left - atmosphere < 1.0:
                left = atmosphere
            state.vented += (bulb - left) * figures.bulb_volume
            state.bulb[i] = left
            moves = True

        cylinder = state.cylinder[i]
        if cylinder > state.retained[i] + 1.0:
            content = state.exhaust[i] * cylinder * factor(atmosphere / cylinder) * step
            content = min(content, state.cylinder_content[i] - state.retained_content[i])
            state.cylinder_content[i] -= content
            state.vented += content
            set_cylinder_pressure(state, i)
            moves = True

        (still_moving if moves else state.resting).append(i)
    state.moving = still_moving


def act_applied(state: State, step: float, seconds: float) -> None:
    """Valves applied: quick service, service, lap; those whose pipe has risen let go."""
    # Every car passes here in every step of a set: names looked up once, no call that can be spared.
    p, auxiliary, cylinders = state.pressure, state.auxiliary, state.cylinder
    cells, volume, atmosphere = state.grid.car_cell, state.grid.volume, state.grid.atmosphere
    timers, openings, all_figures = state.timer, state.opening, state.figures
    limiting, bulbs, contents = state.limiting_open, state.bulb_open, state.cylinder_content
    when_out, when_out_content = state.volume_out, state.content_out
    releasing = set()
    vented = 0.0
    # Of the valves of a kind, looked up where a car's kind is not that of the car before.
    known: ValveFigures | None = None
    reach = lag = whole_share = friction = service = continuous = Va = per_auxiliary = 0.0
    for i in state.applied:
        timers[i] = timer = timers[i] + step
        if timer <= 0.0:
            continue
        figures = all_figures[i]
        if figures is not known:
            known = figures
            reach, lag = figures.graduating_range, figures.piston_lag
            whole_share = step / (lag + step)
            friction = figures.release_friction
            service, continuous = figures.service, figures.continuous
            Va = figures.auxiliary_volume
            per_auxiliary = 1.0 / Va
        if timer < step:
            on, share = timer, timer / (lag + timer)
        else:
            on, share = step, whole_share
        cell = cells[i]
        pressure = p[cell]
        a = auxiliary[i]
        excess = a - pressure
        wanted = 0.0 if excess <= 0.0 else excess / reach if excess < reach else 1.0
        # The mean of the openings at the two ends of the step: for a fall that alternates from
        # step to step it is neither ahead nor behind, so the step itself feeds no oscillation.
        was_open = openings[i]
        openings[i] = is_open = was_open + share * (wanted - was_open)
        opening = 0.5 * (was_open + is_open)
        if excess < 0.0:
            if -excess > friction * (a - atmosphere):
                releasing.add(i)
                continue
            if opening < 0.001 and not limiting[i]:
                continue
            excess = 0.0
        V = volume[cell]

        if bulbs[i]:
            bulb = state.bulb[i]
            if excess > figures.bulb_cut_off * (a - atmosphere):
                bulbs[i] = False
            elif bulb < pressure:
                content = figures.bulb * pressure * factor(bulb / pressure) * on
                Vb = figures.bulb_volume
                content = min(content, (pressure - bulb) / (1.0 / Vb + 1.0 / V))
                state.bulb[i] = bulb + content / Vb
                pressure -= content / V

        cylinder = cylinders[i]
        gained = 0.0
        if limiting[i]:
            if cylinder < figures.limiting_pressure:
                gained = figures.limiting * pressure * on
                if cylinder > 0.5 * pressure:
                    gained *= factor(cylinder / pressure)
                pressure -= gained / V
            else:
                limiting[i] = False

        if cylinder < a * 0.9995:
            content = service * a * opening * factor(cylinder / a) * on
            # Never below the pipe, nor past equal pressures with the cylinder.
            most = excess * Va
            if most < content:
                content = most
            most = (a - cylinder) / (per_auxiliary + 1.0 / when_out[i])
            if most < content:
                content = most
            if content > 0.0:
                # In step with the service flow, so that a full service does not drain the pipe.
                lost = content / a * continuous / service * pressure
                pressure -= lost / V
                vented += lost
            auxiliary[i] = a - content / Va
            gained += content
        p[cell] = pressure
        if gained > 0.0:
            contents[i] = held = contents[i] + gained
            if held >= when_out_content[i]:
                cylinders[i] = held / when_out[i]
            else:
                set_cylinder_pressure(state, i)
    state.vented += vented
    if releasing:
        state.applied = [i for i in state.applied if i not in releasing]
        for i in sorted(releasing):
            release(state, i, seconds + step)


def act_emergency(state: State, step: float, seconds: float) -> None:
    """Valves in emergency: both reservoirs to the cylinder; later, on recharge, back out."""
    p, auxiliary, cylinders = state.pressure, state.auxiliary, state.cylinder
    cells, atmosphere = state.grid.car_cell, state.grid.atmosphere
    releasing = set()
    for i in state.in_emergency:
        figures = state.figures[i]
        timer = state.timer[i]
        on = timer if 0.0 < timer < step else step
        state.timer[i] = timer + step
        pressure = p[cells[i]]
        a = auxiliary[i]
        if state.timer[i] > figures.vent_time and pressure > figures.emergency_reset:
            # From now on the reservoirs are apart again, whatever the pipe does.
            state.timer[i] = inf
        if state.timer[i] == inf:
            if pressure - a > figures.release_friction * (a - atmosphere):
                releasing.add(i)
            else:
                _dump_back(state, i, step)
        elif cylinders[i] < a * 0.9999:
            V = figures.auxiliary_volume + figures.emergency_volume
            content = figures.emergency * a * factor(cylinders[i] / a) * on
            content = min(
                content,
                (a - cylinders[i]) / (1.0 / V + 1.0 / state.volume_out[i]),
            )
            auxiliary[i] = state.emergency[i] = a - content / V
            state.cylinder_content[i] += content
            set_cylinder_pressure(state, i)
    if releasing:
        state.in_emergency = [i for i in state.in_emergency if i not in releasing]
        for i in sorted(releasing):
            release(state, i, seconds + step)


def leak_cylinders(state: State, step: float) -> None:
    """What the cylinders lose past their packings, whatever their valves do."""
    atmosphere = state.grid.atmosphere
    for i, hole in state.cylinder_leaks:
        cylinder = state.cylinder[i]
        if cylinder > atmosphere:
            content = state.cylinder_content[i]
            rate = step * hole * cylinder * factor(atmosphere / cylinder) / content
            # Never past the atmosphere, however long the step.
            lost = min(content * rate / (1.0 + rate), content - atmosphere * state.clearance[i])
            state.cylinder_content[i] = content - lost
            state.vented += lost
            set_cylinder_pressure(state, i)


def _dump_back(state: State, car: int, step: float) -> None:
    """Cylinder and auxiliary into a recharging pipe, until the pipe is as high as they are."""
    figures = state.figures[car]
    cell = state.grid.car_cell[car]
    V = state.grid.volume[cell]
    half = 0.5 * figures.accelerated_release * step
    for pressure, source_volume, is_cylinder in (
        (state.cylinder[car], state.volume_out[car], True),
        (state.auxiliary[car], figures.auxiliary_volume, False),
    ):
        pipe = state.pressure[cell]
        if pressure <= pipe:
            continue
        content = half * pressure * factor(pipe / pressure)
        content = min(content, (pressure - pipe) / (1.0 / source_volume + 1.0 / V))
        state.pressure[cell] = pipe + content / V
        if is_cylinder:
            state.cylinder_content[car] -= content
            set_cylinder_pressure(state, car)
        else:
            state.auxiliary[car] = pressure - content / source_volume
