"""A running brake followed to rest, and what was seen on the way.

Every sample holds the pressures of all places and the air that passed every way since the sample
before. `WAYS` names the ways: the locomotive's own passages, and those of the pipe, which are the
train model's.

Rest is one meaning everywhere: the rear and the head within what a gauge shows of where they end
(leakage and its gradient included), the reservoirs of every released car within a psi of their
pipe, the exhaust shut, nothing flowing any more between pipe, reservoirs and cylinders.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from calculators.base.units import CUBIC_INCH, CUBIC_INCHES_PER_CUBIC_FOOT, PSI
from calculators.equipment.running.brake import PIPE_EMPTY, RECHARGED, STILL, Brake
from calculators.equipment.running.places import (
    AUXILIARY,
    BRAKE_PIPE,
    CONTROL,
    CYLINDER,
    EQUALIZING,
    MAIN,
    PLACES,
    SIXTEEN,
    THIRTEEN,
    TWELVE,
    TWENTY,
)
from calculators.equipment.train.records import EXHAUST_HEARD
from calculators.equipment.train.running import LONGEST_STEP
from calculators.equipment.train.stepping.flows import factor
from calculators.equipment.train.stepping.state import CUT_OUT, EMERGENCY, RELEASED

MOVES = {
    "compressor": MAIN,
    "handle-charge": EQUALIZING,
    "handle-exhaust": EQUALIZING,
    "handle-vent": EQUALIZING,
    "pipe-vent": BRAKE_PIPE,
    "pipe-feed": BRAKE_PIPE,
    "pipe-exhaust": BRAKE_PIPE,
    "train-pipe": BRAKE_PIPE,
    "train-vent": BRAKE_PIPE,
    "leakage": BRAKE_PIPE,
    "dead-engine": MAIN,
    "actuating-feed": THIRTEEN,
    "actuating-exhaust": THIRTEEN,
    "pipe-12-feed": TWELVE,
    "pipe-12-exhaust": TWELVE,
    "control-charge": CONTROL,
    "control-back": CONTROL,
    "control-bail": CONTROL,
    "auxiliary-charge": AUXILIARY,
    "emergency-feed": SIXTEEN,
    "control-feed": SIXTEEN,
    "control-exhaust": SIXTEEN,
    "independent-feed": TWENTY,
    "independent-exhaust": TWENTY,
    "relay-feed": CYLINDER,
    "relay-exhaust": CYLINDER,
}
"""The place that each way moves; a way stands after those that can set it going."""
WAYS = tuple(MOVES)
NUMBER_OF_WAY = {name: number for number, name in enumerate(WAYS)}

LEAST = 0.25
"""What a way must move its place by to count as used. [psi]"""
LEAST_OF_PILOT = 2.0
"""The same for pipe 16 and the cylinders: less moves no piston. [psi]"""
LEAST_OF_PIPE = 0.05
"""The same for the whole brake pipe, which is long. [psi]"""
HEAD_OF_PIPE = 600.0
"""Through a way of a long pipe when it opened: what hangs on its head moves then. [psi cu in]"""
SHOWN = 0.5
"""What a gauge shows along the train. [psi]"""
OWN = 1.0
"""How near the locomotive's own gauges are to where they end when they are said to rest. [psi]"""

SHORTEST_LOOK, LONGEST_LOOK = 0.03, 2.0
EMERGENCY_LOOK, SLOW_LOOK = 0.1, 8.0
"""Time between samples. [s]"""
SLOW = 0.05
"""Fastest gauge of a brake that is followed by longer steps. [psi/s]"""
SLOW_STEP = 2.0
"""Such a step: over two hours of leaking it moves no gauge by more than 0.05 psi (tested). [s]"""
CHANGE_A_LOOK = 0.6
"""Change of the fastest gauge that a sample aims at. [psi]"""
SOONER, LATER = 0.3, 1.5
"""How much the time between samples changes at once, at most. [-]"""
WINDOW = 2.0
"""Time over which it is told whether all rests. [s]"""
WRITTEN = 6e-4
"""A link writes a moment to a thousandth of a second. [s]"""
LONGEST = 7200.0
"""What still moves after two hours is not followed further unless that is asked. [s]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sample:
    """One moment: pressures by place [psi], rear of the train, air by way [psi cu in/s]."""

    seconds: float
    pressures: tuple[float, ...]
    rear: float | None
    flows: tuple[float, ...]

    def pressure(self, place: str) -> float:
        """Pressure at a place by its name. [psi]."""
        return self.pressures[PLACES.index(place)]

    def flow(self, way: str) -> float:
        """Air through a way by its name. [psi cu in/s]."""
        return self.flows[NUMBER_OF_WAY[way]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Used:
    """One way that air went through: when it first opened, when it last closed, how much passed."""

    passage: str
    started: float
    stopped: float
    """The brake valve's exhaust: when it is no longer heard. [s]"""
    shut: float
    """When the last of it had passed. [s]"""
    content: float


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """What the valves remember where a run ends: the next move starts from it.

    ``applied`` is the control valve's standing, ``lowest`` the lowest pressure of the brake pipe
    since that valve left release [psi], ``cars_applied`` how many cars have not released.
    """

    applied: bool
    lowest: float
    penalty: bool
    charging_cut_off: bool
    acknowledged: bool
    cars_applied: int
    cars_in_emergency: int
    highest_cylinder: float
    """Of the cars. [psi]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class FollowedMove:
    """A move followed from one state to where it rests, or as long as was asked.

    ``used`` holds the ways in the order in which they opened. ``rest_after`` is None where
    something still moves at the end. The mass error is the air lost or made, over all there was.
    """

    samples: tuple[Sample, ...]
    used: tuple[Used, ...]
    rest_after: float | None
    mass_error: float
    end: End

    def at(self, seconds: float | None) -> Sample:
        """The last moment not after so many seconds, as a link writes them; None is the end."""
        if seconds is None:
            return self.samples[-1]
        earlier = [sample for sample in self.samples if sample.seconds <= seconds + WRITTEN]
        return earlier[-1] if earlier else self.samples[0]


def follow(brake: Brake, *, longest: float = LONGEST) -> FollowedMove:
    """Follow a brake until all rests, at most so long [s]; it is moved on."""
    watch = Following(brake, longest=longest)
    while not watch.over:
        watch.step()
    return watch.run()


@dataclass(slots=True)
class Following:
    """A brake being followed, and what has been seen of it so far.

    ``longest`` is how long it is followed at most. [s]
    """

    brake: Brake
    longest: float = LONGEST
    samples: list[Sample] = field(default_factory=list)
    behind: list[float] = field(default_factory=list)
    """How far a released car's reservoirs are under their pipe, at each sample. [psi]"""
    cars: list[tuple[float, ...]] = field(default_factory=list)
    """Auxiliary reservoirs and cylinders of all cars at each sample. [Pa]"""
    contents: list[list[float]] = field(default_factory=list)
    rests: bool = False
    _look_after: float = SHORTEST_LOOK
    _from: float = 0.0
    _counted: dict[str, float] = field(default_factory=dict)
    _window: list[float] = field(default_factory=list)
    _window_from: float = 0.0
    _quiet: int = 0
    _pipe: float = 0.0

    def __post_init__(self) -> None:
        """Take the first sample, with nothing flowing yet."""
        self._from = self.brake.seconds
        self.brake.passed()
        self._counted = self._totals()
        self._pipe = sum(self.brake.simulation.state.grid.volume) / CUBIC_INCH
        self._window = self._standings()
        self._look([0.0] * len(WAYS), 1.0)

    @property
    def seconds(self) -> float:
        """Time followed so far."""
        return self.brake.seconds - self._from

    @property
    def over(self) -> bool:
        """Whether it has been followed as far as was asked."""
        return self.rests or self.seconds >= self.longest - 1e-9

    def step(self) -> None:
        """Move on, look, and say when to look next."""
        brake, before = self.brake, self.brake.seconds
        brake.advance(min(self._look_after, self.longest - self.seconds))
        span = brake.seconds - before
        self._look(self._passed(span), span)
        new, old = self.samples[-1], self.samples[-2]
        if self.seconds - self._window_from >= WINDOW - 1e-9:
            self._judge()
        gauges = zip(new.pressures[1:], old.pressures[1:], strict=True)
        rear = abs((new.rear or 0.0) - (old.rear or 0.0))
        change = max(rear, *(abs(one - other) for one, other in gauges))
        wanted = self._look_after * min(LATER, max(SOONER, CHANGE_A_LOOK / max(change, 1e-9)))
        longest = EMERGENCY_LOOK if self._runs_along() else LONGEST_LOOK
        slow = longest == LONGEST_LOOK and span >= LONGEST_LOOK and change < SLOW * span
        brake.simulation.longest_step = SLOW_STEP if slow else LONGEST_STEP
        longest = SLOW_LOOK if slow else longest
        self._look_after = min(longest, max(SHORTEST_LOOK, wanted))

    def _runs_along(self) -> bool:
        """Whether an emergency runs along the pipe: vent valves blow for a moment each."""
        simulation = self.brake.simulation
        state = simulation.state
        blows = bool(state.vents) and max(state.pressure) - state.grid.atmosphere > PSI
        return bool(simulation.due) or blows

    def _look(self, contents: list[float], span: float) -> None:
        brake, state = self.brake, self.brake.simulation.state
        gauges = brake.gauges()
        self.contents.append(contents)
        self.samples.append(
            Sample(
                seconds=self.seconds,
                # A gauge's hand has a pin at zero: a wave may pass a little under it.
                pressures=tuple(max(0.0, gauges[place]) for place in PLACES),
                rear=max(0.0, gauges["rear"]) if brake.setup.cars else None,
                flows=tuple(content / span for content in contents),
            )
        )
        self.cars.append((*state.auxiliary, *state.cylinder))
        self.behind.append(self._behind())

    def _standings(self) -> list[float]:
        """Everything whose movement is no rest; the main reservoir apart. [psi]."""
        state = self.brake.simulation.state
        own = self.brake.locomotive.pressure[1:]
        every = (*own, *state.pressure, *state.auxiliary, *state.emergency, *state.cylinder)
        return [pressure / PSI for pressure in every]

    def _judge(self) -> None:
        now, span = self._standings(), self.seconds - self._window_from
        rate = max(abs(a - b) for a, b in zip(now, self._window, strict=True)) / span
        self._window, self._window_from = now, self.seconds
        # A vent valve that has blown stays open for a while after the pipe is empty.
        simulation = self.brake.simulation
        closing = any(0.0 < one.seconds_left < LONGEST for one in simulation.state.vents)
        still = rate <= STILL and not simulation.due and not closing
        self._quiet = self._quiet + 1 if still and self.behind[-1] <= RECHARGED else 0
        self.rests = self._quiet >= 2

    def _behind(self) -> float:
        """How far a released car's reservoirs are from their pipe; an empty pipe fills none."""
        state = self.brake.simulation.state
        A = state.grid.atmosphere
        if max(state.pressure) - A < PIPE_EMPTY * PSI:
            return 0.0
        most = 0.0
        for car, cell in enumerate(state.grid.car_cell):
            if state.position[car] == RELEASED:
                pipe = state.pressure[cell]
                most = max(most, abs(pipe - state.auxiliary[car]), pipe - state.emergency[car])
        return most / PSI

    # --- Air through the ways -----------------------------------------------------------------

    def _totals(self) -> dict[str, float]:
        """What the train model counts from the start. [Pa·m³]."""
        lead = self.brake.locomotive
        return {
            "compressor": lead.pumped,
            "pipe-feed": lead.supplied,
            "exhausted": lead.exhausted,
        }

    def _passed(self, span: float) -> list[float]:
        """Content by way since the last look. [psi cu in]."""
        found = dict.fromkeys(WAYS, 0.0)
        for name, content in self.brake.passed().items():
            name = name.removesuffix("-2")
            if name in found:
                found[name] += content
        unit = PSI * CUBIC_INCH
        counted = self._totals()
        new = {name: (counted[name] - self._counted[name]) / unit for name in counted}
        self._counted = counted
        found["compressor"], found["pipe-feed"] = new["compressor"], new["pipe-feed"]
        in_emergency = self.brake.locomotive.handle == "emergency"
        found["pipe-vent" if in_emergency else "pipe-exhaust"] += new["exhausted"]
        for name, flow in self._flows().items():
            found[name] += flow * span / unit
        return [found[name] for name in WAYS]

    def _flows(self) -> dict[str, float]:
        """Flows of the pipe at this moment. [Pa·m³/s]."""
        state, setup = self.brake.simulation.state, self.brake.setup
        A, p = state.grid.atmosphere, state.pressure
        found = {"train-pipe": state.flow[1] if setup.cars else 0.0}
        own = range(setup.cars, setup.cars + setup.locomotives)
        for vent in state.vents:
            high = p[vent.cell]
            if vent.seconds_left <= 0.0 or high <= A:
                continue
            name = "pipe-vent" if vent.detector in own or not setup.cars else "train-vent"
            found[name] = found.get(name, 0.0) + vent.conductance * high * factor(A / high)
        leaks = sum(h * p[cell] * factor(A / p[cell]) for cell, h in state.leaks if p[cell] > A)
        return found | {"leakage": leaks}

    # --- Reading it ---------------------------------------------------------------------------

    def run(self) -> FollowedMove:
        """What has been seen, as a value."""
        return FollowedMove(
            samples=tuple(self.samples),
            used=tuple(sorted(self._used(), key=lambda one: one.started)),
            rest_after=self._last_moving() if self.rests else None,
            mass_error=self.brake.mass_error(),
            end=self._end(),
        )

    def _used(self) -> list[Used]:
        volumes = self.brake.locomotive.volume
        found = []
        for number, name in enumerate(WAYS):
            passed = [abs(contents[number]) for contents in self.contents]
            whole = sum(passed)
            place = MOVES[name]
            if place == BRAKE_PIPE:
                least = LEAST_OF_PIPE * self._pipe
            elif name == "compressor":
                least = 1e-9
            else:
                much = LEAST_OF_PILOT if place in (SIXTEEN, CYLINDER) else LEAST
                # Both trucks pass through one way here.
                spaces = 2.0 if place == CYLINDER else 1.0
                least = much * spaces * volumes[place] / CUBIC_INCH
            if whole < least or not whole:
                continue
            least = min(least, 0.02 * whole)
            first = min(least, HEAD_OF_PIPE) if place == BRAKE_PIPE else least
            shut = self._when(passed, whole - least, opens=False)
            found.append(
                Used(
                    passage=name,
                    started=self._when(passed, first, opens=True),
                    stopped=self._silent(passed, shut) if name == "pipe-exhaust" else shut,
                    shut=shut,
                    content=sum(contents[number] for contents in self.contents),
                )
            )
        return found

    def _silent(self, passed: list[float], shut: float) -> float:
        """When the exhaust is no longer heard, by the measure of every train run."""
        heard = EXHAUST_HEARD * self._cubic_foot_a_minute
        for number in range(len(passed) - 1, 0, -1):
            span = self.samples[number].seconds - self.samples[number - 1].seconds
            if span > 0.0 and passed[number] >= heard * span:
                return min(shut, self.samples[number].seconds)
        return shut

    @property
    def _cubic_foot_a_minute(self) -> float:
        """Content flow of a cubic foot of free air a minute. [psi cu in/s]."""
        atmosphere = self.brake.setup.atmosphere
        return atmosphere * CUBIC_INCHES_PER_CUBIC_FOOT / 60.0

    def _when(self, passed: list[float], amount: float, *, opens: bool) -> float:
        """Begin of the look in which so much had passed, or its end."""
        total = 0.0
        for number, content in enumerate(passed):
            total += content
            if total >= amount:
                return self.samples[max(0, number - 1) if opens else number].seconds
        return self.samples[-1].seconds

    def _last_moving(self) -> float:
        """The last moment at which something was not yet where it comes to. [s]."""
        end, cars = self.samples[-1], self.cars[-1]
        last = 0.0
        for number, sample in enumerate(self.samples):
            gauges = zip(sample.pressures[1:], end.pressures[1:], strict=True)
            if (
                self.behind[number] > RECHARGED
                or abs((sample.rear or 0.0) - (end.rear or 0.0)) > SHOWN
                or any(abs(one - other) > OWN for one, other in gauges)
                or any(
                    abs(one - other) > SHOWN * PSI
                    for one, other in zip(self.cars[number], cars, strict=True)
                )
            ):
                last = self.samples[min(number + 1, len(self.samples) - 1)].seconds
        shut = [one.shut for one in self._used() if one.passage in ("pipe-exhaust", "pipe-vent")]
        return max([last, *shut])

    def _end(self) -> End:
        brake, lead = self.brake, self.brake.locomotive
        state = brake.simulation.state
        applied = sum(where not in (RELEASED, CUT_OUT) for where in state.position)
        return End(
            applied=lead.applied,
            lowest=(lead.lowest - lead.atmosphere) / PSI,
            penalty=lead.penalty,
            charging_cut_off=lead.charging_cut_off,
            acknowledged=lead.acknowledged,
            cars_applied=applied,
            cars_in_emergency=sum(where == EMERGENCY for where in state.position),
            highest_cylinder=max(brake.cylinders(), default=0.0),
        )
