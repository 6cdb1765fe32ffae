"""What a fault shows at each stage of the series, by the running brake.

A signature holds only what a person can read: the gauges as the faulty gauge shows them, the air
flow into the pipe, which exhausts and places blow, and whether the pistons of both trucks are out.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from calculators.air.gas import free_air_cfm
from calculators.base.units import CUBIC_INCH, PSI
from calculators.equipment.faults import SOUND, Fault, Wrong
from calculators.equipment.running import PLACES as VOLUMES
from calculators.equipment.running import Brake, Setup, start
from calculators.equipment.train.stepping.border import hole, kelvin
from calculators.equipment.train.stepping.flows import factor
from calculators.figures import nominal
from calculators.finding.series import STAGES, Stage

LISTENED = 4.0
"""Seconds over which flows are taken at the end of a stage."""
HEARD_FROM = nominal.HEARD_FROM.value
"""Flow of free air that is heard at an exhaust or a leak. [cfm] From memory."""
PISTON_OUT = nominal.PISTON_SEEN_OUT.value
"""Cylinder pressure at which a piston is seen to be out. [psi] Nominal, from memory."""
UNDER_PIPE = nominal.UNDER_PIPE.value
"""How far the reservoir must read under the pipe before the valve is cut in. [psi] ARMY-224-12 p. 2-32."""
MOST_UNDER_PIPE = nominal.MOST_UNDER_PIPE.value
"""Further under, the pipe of a locomotive alone would fall so fast on cutting in that it could go to
emergency; in the model it does from 8. [psi] Nominal."""
AGREES_WITHIN = 2.5
"""Cut in, the two gauges have to agree so nearly for one to be trusted beside the other. [psi]"""
PRELUDE = 60.0
"""What is wrong has stood for so long before the series begins. [s]"""
REDUCTIONS = {"ten-off": 10.0, "cut-in": 15.0, "half-back": 4.0, "thirty-off": 30.0}
AIMED_UNDER = 1.0
"""How much further than that the handle is taken. [psi]"""

_EXHAUSTS = {
    "reservoir-exhaust": (("handle-exhaust",), ("handle-charge",)),
    "control-valve-exhaust": (
        ("control-exhaust", "control-bail"),
        ("control-feed", "emergency-feed"),
    ),
    "independent-exhaust": (("independent-exhaust",), ("independent-feed",)),
    "relay-exhaust": (("relay-exhaust", "relay-exhaust-2"), ("relay-feed", "relay-feed-2")),
}
"""What each exhaust lets out, and what the same valve lets in: a self-lapping valve that hunts about
its place by a hair lets out no more than it lets in, and nobody hears it."""
_OWN_PILOT = "pilot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What can be read at one stage.

    Gauges in psi, ``flow`` in cfm; ``blows`` are places of `SOUNDS`; ``out`` says of the truck
    that the gauge shows and of the other whether their pistons are out.
    """

    reservoir: float
    pipe: float
    cylinder: float
    main: float
    flow: float
    blows: frozenset[str] = frozenset()
    out: tuple[bool, bool] = (False, False)

    def gauges(self) -> tuple[float, ...]:
        """The figures in the order of `series.GAUGES`."""
        return (self.reservoir, self.pipe, self.cylinder, self.main, self.flow)


Signature = tuple[Shown | None, ...]
"""By stage; None where it cannot be had because the valve may not be cut in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """How the series is made: what full independent asks for [psi], how far moves are off [psi]."""

    independent: float = 45.0
    moved: Mapping[str, float] | None = None

    def off_at(self, stage: Stage) -> float:
        """How far the handle's place at a stage is off."""
        return (self.moved or {}).get(stage.id, 0.0)


@dataclass(slots=True)
class Walk:
    """A brake on its way through the series; copied, it goes on by itself."""

    brake: Brake
    wrong: Wrong
    heard: str
    asked: Asked
    setting: float
    ended: bool = False
    up: bool = True
    agreed: bool = True

    def copy(self, asked: Asked) -> Walk:
        """One that goes on from here, its handle put elsewhere."""
        return replace(self, brake=self.brake.copy(), asked=asked)

    def do(self, stage: Stage) -> Shown | None:
        """Make one stage and read it."""
        self._move(stage)
        if self.ended:
            return None
        self.brake.advance(stage.seconds - LISTENED)
        return self._read()

    def _move(self, stage: Stage) -> None:
        brake, off = self.brake, self.asked.off_at(stage)
        if self.wrong.swing:
            self.up = not self.up
            brake.regulate(self.setting + (self.wrong.swing if self.up else -self.wrong.swing))
        brake.bail_off(stage.move == "bail-off")
        if stage.recharge:
            brake.handle("release")
            brake.advance(stage.recharge)
        if stage.move == "minimum":
            brake.handle("minimum-reduction")
        elif stage.move in ("ten-off", "thirty-off", "half-back"):
            brake.handle("service", reduction=REDUCTIONS[stage.move] + off)
        elif stage.move == "release":
            brake.handle("release")
        elif stage.move == "cut-out":
            self.agreed = abs(self._gauge("reservoir") - self._gauge("pipe")) <= AGREES_WITHIN
            brake.cut_off("out")
        elif stage.move == "cut-in":
            self._cut_in(off)
        elif stage.move in ("independent-on", "independent-off"):
            full = self.asked.independent if stage.move == "independent-on" else 0.0
            brake.independent(max(full, self.wrong.least_independent))

    def _cut_in(self, off: float) -> None:
        """In only where the reservoir reads a little under the pipe as it now reads."""
        wanted = self.setting - self._gauge("pipe") + UNDER_PIPE
        reduction = max(REDUCTIONS["cut-in"], wanted + AIMED_UNDER)
        self.brake.handle("service", reduction=reduction + off)
        self.brake.advance(10.0)
        under = self._gauge("pipe") - self._gauge("reservoir")
        if self.agreed and UNDER_PIPE <= under <= MOST_UNDER_PIPE:
            self.brake.cut_off("freight")
        else:
            self.ended = True

    def _gauge(self, name: str) -> float:
        place = {
            "reservoir": "equalizing_reservoir",
            "pipe": "brake_pipe",
            "main": "main_reservoir",
            "cylinder": "brake_cylinder" if self.wrong.seen_from == 1 else "brake_cylinder_2",
        }[name]
        return max(0.0, self.brake.gauge(place) + self.wrong.offsets.get(name, 0.0))

    def _read(self) -> Shown:
        brake = self.brake
        relay = brake.simulation.relays[0]
        brake.passed()
        supplied, exhausted, began = relay.supplied, relay.exhausted, brake.seconds
        brake.advance(LISTENED)
        span = brake.seconds - began
        passed = brake.passed()
        rates = {
            place: (sum(passed[name] for name in out) - sum(passed[name] for name in into))
            * PSI
            * CUBIC_INCH
            / span
            for place, (out, into) in _EXHAUSTS.items()
        }
        let_out = relay.exhausted - exhausted - relay.supplied + supplied
        rates["brake-pipe-exhaust"] = max(0.0, let_out) / span
        if self.heard:
            own = sum(self._leaks())
            rates[self.heard] = max(0.0, rates.get(self.heard, 0.0)) + own
        blows = frozenset(place for place, rate in rates.items() if _cfm(rate) > HEARD_FROM)
        trucks = [brake.gauge("brake_cylinder"), brake.gauge("brake_cylinder_2")]
        if self.wrong.seen_from == 2:
            trucks.reverse()
        return Shown(
            reservoir=self._gauge("reservoir"),
            pipe=self._gauge("pipe"),
            cylinder=self._gauge("cylinder"),
            main=self._gauge("main"),
            flow=max(0.0, _cfm((relay.supplied - supplied) / span)),
            blows=blows,
            out=(trucks[0] > PISTON_OUT, trucks[1] > PISTON_OUT),
        )

    def _leaks(self) -> Iterator[float]:
        """What the fault's own holes let out now. [Pa·m³/s]."""
        locomotive = self.brake.locomotive
        kelvins = kelvin(self.brake.setup.temperature)
        A = locomotive.atmosphere
        for leak in self.wrong.change.leaks:
            if leak.source == _OWN_PILOT:
                high = locomotive.pressure[locomotive.winner()]
            else:
                high = locomotive.pressure[VOLUMES.index(leak.source)]
            yield hole(leak.hole, temperature=kelvins) * high * factor(min(1.0, A / high))


def _cfm(rate: float) -> float:
    return free_air_cfm(content_flow=rate)


def begin(setup: Setup, wrong: Wrong, *, heard: str = "", asked: Asked = Asked()) -> Walk:
    """A brake with something wrong, standing as the series finds it."""
    brake = start(wrong.put_in(setup))
    setting = brake.setup.equipment.brake_pipe_setting
    if wrong.least_independent:
        brake.independent(wrong.least_independent)
    brake.advance(PRELUDE)
    return Walk(brake, wrong, heard, asked, setting)


def signature(
    setup: Setup,
    fault: Fault | None,
    size: float = 1.0,
    *,
    asked: Asked = Asked(),
) -> Signature:
    """What a fault of a size shows at every stage; no fault is a locomotive in order."""
    wrong = SOUND if fault is None else fault.wrong(size)
    walk = begin(setup, wrong, heard="" if fault is None else fault.heard, asked=asked)
    return tuple(shown for shown, _ in walked(walk, STAGES))


def walked(
    walk: Walk, stages: Sequence[Stage], before: Mapping[str, Walk] | None = None
) -> Iterator[tuple[Shown | None, Walk]]:
    """Make stages in order; gives what each shows, and the brake as it stands after it.

    Where the valve may not be cut in the series ends; what the later stages would show is then what
    they show when they are made for themselves, from the stage that they follow.
    """
    stood = dict(before or {})
    for stage in stages:
        if walk.ended:
            walk = stood[stage.after].copy(walk.asked) if stage.after in stood else walk
        if walk.ended:
            stood[stage.id] = walk
            yield None, walk
            continue
        shown = walk.do(stage)
        stood[stage.id] = walk.copy(walk.asked)
        yield shown, stood[stage.id]


def farthest(one: Signature, other: Signature, errors: Sequence[float]) -> float:
    """How far two signatures are apart on the gauge that shows it most, in units of its error.

    ``errors`` are those of the gauges in the order of `series.GAUGES`. A stage that one of them
    does not reach tells nothing: whether the valve may be cut in hangs on gauges read before.
    """
    most = 0.0
    for a, b in zip(one, other, strict=True):
        if a is None or b is None:
            continue
        for x, y, error in zip(a.gauges(), b.gauges(), errors, strict=True):
            most = max(most, abs(x - y) / error)
    return most


def sounds_differ(one: Signature, other: Signature) -> bool:
    """Whether anything blows in one that does not in the other, or a piston stands otherwise."""
    return any(
        a is not None and b is not None and (a.blows != b.blows or a.out != b.out)
        for a, b in zip(one, other, strict=True)
    )
