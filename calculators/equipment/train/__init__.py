r"""The brake pipe along the train: how an application, a release or a charge runs to the rear.

What it is
----------
A train of 1 to 250 cars behind 1 to 4 locomotives, its brake pipe cut into cells of about a car's
length, on every car a control valve with auxiliary reservoir, emergency reservoir and cylinder, at
the head (and at a remote locomotive) a brake valve with equalizing reservoir, relay, main
reservoir and compressor. Air is an ideal gas at one temperature. For the pressure p of a cell of
volume V and the content flow w (R T times the mass flow) through a face of area A:

.. math::
    V \dot p = w_{left} - w_{right} + \sum q, \qquad
    \dot w = \frac{A R T}{\Delta x} (p_{left} - p_{right}) - r w, \qquad
    r = \frac{1}{\bar p} \left( \frac{f k |w|}{2 D A} + \frac{32 \mu R T}{D^2} \right)

with f the friction factor, k the allowance for fittings, D the bore, and q what valves, leaks and
relays let in or out, each a hole by the law of `calculators.air.orifice`. The convective term is
left out: it matters only next to a wide-open vent.

Where things are: `tables` (every threshold and hole, with its mark), `consist` and `commands`
(the inputs), `records` (the results), `bands` (how far to trust them), `border` (into SI), `grid`
and `state` (the lists), `pipe_motion`, `triggers`, `car_valves`, `relays` (one step), `schedule`,
`running`, `outcome` (the run), `setup` and `steady` (leaks settled to their gradient).

How to use it
-------------
>>> train = Train(cars=equal_cars(50, length=50.0))
>>> service = Command(at_seconds=0.0, action="service", reduction=10.0)
>>> result = run(train, (service,), seconds=30.0)
>>> result.cars_not_applied, result.undesired_actions
((), ())
>>> 500.0 < result.propagation_speed < 600.0
True

`stream` does the same and hands out the samples in slabs, so that a page can show progress or stop.
`steady` gives the gradient and the flow of a leaking train at rest.

What it cannot say
------------------
Whether a real train will do the same. Pipe and reservoirs are nominal, valve openings are fitted,
and no measured curve has been compared point by point; `BANDS` says how far each kind of answer
goes. Not modeled: heat, water and ice in the pipe, leakage of reservoirs, wear, slack in
the valves, the locomotives' own brakes (`calculators.equipment.running` puts the first one's at
the head), and the pressure below which a real emergency no longer
runs through (about 45 psi, nominal, from memory). The valves are fitted on trains whose cars are
up to `LONGEST_FITTED_CAR` long on average: on longer ones, or where several long cars next to each
other are cut out, a service application can die out on the way. `Run.cars_not_applied` tells.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from calculators.base.errors import InputError
from calculators.equipment.train.bands import BANDS, Band
from calculators.equipment.train.commands import Command
from calculators.equipment.train.consist import (
    LONGEST_FITTED_CAR,
    MOST_CARS,
    Car,
    Leak,
    Remote,
    Train,
    equal_cars,
    require,
)
from calculators.equipment.train.outcome import outcome
from calculators.equipment.train.records import (
    Movement,
    Run,
    Sample,
    Slab,
    car_series,
    rise_time,
)
from calculators.equipment.train.running import Simulation
from calculators.equipment.train.schedule import schedule
from calculators.equipment.train.setup import put_together
from calculators.equipment.train.steady import Steady, steady
from calculators.equipment.train.stepping.relays import Relay
from calculators.equipment.train.stepping.state import State

__all__ = [
    "BANDS",
    "LONGEST_FITTED_CAR",
    "Band",
    "Car",
    "Command",
    "InputError",
    "Leak",
    "Movement",
    "Remote",
    "Run",
    "Sample",
    "Slab",
    "Steady",
    "Train",
    "car_series",
    "equal_cars",
    "rise_time",
    "run",
    "steady",
    "stream",
]

LONGEST_RUN = 6 * 3600.0
"""Longest run. [s]"""
SHORTEST_SAMPLE = 0.1
"""Shortest time between samples: about two steps. [s]"""


def stream(
    train: Train,
    commands: tuple[Command, ...],
    *,
    seconds: float,
    sample_seconds: float = 0.5,
    slab_seconds: float = 5.0,
    cells_per_car: int = 1,
    until_released: float = 0.0,
    at_head: Callable[[State, Relay], Relay] | None = None,
) -> Iterator[Slab]:
    """Run a train and hand out its samples in slabs as they come.

    Parameters
    ----------
    train
        The train at the start.
    commands
        What is done to it; later than ``seconds`` is never done.
    seconds
        How long, up to six hours. [s]
    sample_seconds
        Time between samples, 0.1 to 600; the steps do not depend on it. [s]
    slab_seconds
        Train time in each slab, at least one sample. [s]
    cells_per_car
        Cells to a car of usual length, 1 to 4. The valves are fitted at one; more is for tests of
        convergence, at two to sixteen times the work.
    until_released
        How much longer than ``seconds`` the train is followed at most while a car's valve stands
        applied. [s]
    at_head
        Makes what stands at the head of the train's state and its plain brake valve; without it
        that is the plain brake valve.

    Yields
    ------
    Slab
        Samples new since the last slab; the last slab brings the finished `Run`. To cancel, stop
        asking.

    Raises
    ------
    InputError
        If a value is out of range or a command names a car that is not there.
    """
    require("seconds", seconds, SHORTEST_SAMPLE, LONGEST_RUN, "s")
    require("sample_seconds", sample_seconds, SHORTEST_SAMPLE, 600.0, "s")
    require("cells_per_car", cells_per_car, 1, 4, "cells")
    require("cars", len(train.cars), 1, MOST_CARS, "cars")
    due = schedule(train, commands)
    state, relays = put_together(train, cells_per_car=cells_per_car)
    if at_head is not None:
        relays[0] = at_head(state, relays[0])
    simulation = Simulation(state, relays, due)
    simulation.advance(0.0)
    handed_out = 0
    slab_end = slab_seconds
    number = 0
    now = 0.0
    while now < seconds:
        number += 1
        now = min(seconds, number * sample_seconds)
        simulation.advance(now)
        if now >= seconds and not simulation.has_released:
            # Followed on by a sample at a time, as long as may be.
            longer = min(sample_seconds, until_released)
            seconds, until_released = seconds + longer, until_released - longer
        if slab_end <= now < seconds:
            yield Slab(seconds=now, of_seconds=seconds, samples=_new(simulation, handed_out))
            handed_out = len(simulation.samples)
            slab_end = now + slab_seconds
    yield Slab(
        seconds=now,
        of_seconds=now,
        samples=_new(simulation, handed_out),
        run=outcome(simulation, commands),
    )


def _new(simulation: Simulation, handed_out: int) -> tuple[Sample, ...]:
    return tuple(simulation.samples[handed_out:])


def run(
    train: Train,
    commands: tuple[Command, ...],
    *,
    seconds: float,
    sample_seconds: float = 0.5,
    cells_per_car: int = 1,
) -> Run:
    """Run a train to the end; arguments and errors as in `stream`.

    Returns
    -------
    Run
        Samples, times, speed, undesired actions and the error of the arithmetic.
    """
    *_, last = stream(
        train,
        commands,
        seconds=seconds,
        sample_seconds=sample_seconds,
        slab_seconds=seconds,
        cells_per_car=cells_per_car,
    )
    assert last.run is not None
    return last.run
