"""The brake pipe behind the locomotive as a few spaces with friction between them.

Steady friction of isothermal air, ṁ = A √(D (p₁² − p₂²) / (R T f L)), from centre to centre of
two spaces. The cars' reservoirs stand beside each space: they follow it down (their air goes to
the cars' cylinders) and are filled from it on the way up. At the first application each car's
quick service takes a little of the pipe's air itself. Absolute psi and cubic inches.
"""

from __future__ import annotations

from math import ceil, inf, sqrt

from calculators.air.gas import gas_temperature_product
from calculators.air.orifice import elliptic_factor
from calculators.air.pipe import bore_area
from calculators.base.units import CUBIC_INCH, FOOT, INCH
from calculators.equipment import car
from calculators.equipment.locomotive import AtRest, Vented
from calculators.equipment.locomotive_time.figures import (
    EMERGENCY_SPEED,
    LOCOMOTIVE_LENGTH,
    LONGEST_PART,
    MOST_PARTS,
    PARTED_HOLE,
    QUICK_SERVICE,
    TEMPERATURE,
    Setup,
    passing,
)
from calculators.equipment.train.tables import FREIGHT_VALVE, PIPE_LINE

# Differences that no gauge shows are evened out at once, so that the end is reached. [psi]
FINEST = 0.02

# The pipe of a train counts as still once no gauge could show a difference any more. [psi]
TRAIN_STILL = 0.1


class TrainPipe:
    """State of the pipe behind the locomotive; one list entry a space, from the head."""

    def __init__(
        self, setup: Setup, before: AtRest | None, *, vented: Vented, from_head: bool
    ) -> None:
        length = setup.cars * setup.car_length
        self.parts = min(MOST_PARTS, ceil(length / LONGEST_PART)) if setup.cars else 0
        self.cars_each = setup.cars / self.parts if self.parts else 0.0
        part = length / self.parts if self.parts else 0.0
        branch = self.cars_each * FREIGHT_VALVE.branch_volume
        self.volume = setup.pipe_volume(part) + branch
        pressure = (before.brake_pipe if before else 0.0) + setup.atmosphere
        self.pressure = [pressure] * self.parts
        self._setup = setup
        self._friction = [
            _friction(setup, (LOCOMOTIVE_LENGTH + part) / 2 if n == 0 else part)
            for n in range(self.parts)
        ]
        self._reservoirs(before)
        self._head_fires, *self._fires = self._firing_times(part, vented, from_head)
        self._vent = passing(FREIGHT_VALVE.vent_hole) * self.cars_each
        first = before is not None and before.train_reduction <= 0.0
        self._quick_service = [QUICK_SERVICE * self.cars_each if first else 0.0] * self.parts
        self._quick_hole = passing(FREIGHT_VALVE.bulb_hole) * self.cars_each
        self._moves_below = pressure - FREIGHT_VALVE.service_friction * (
            pressure - setup.atmosphere
        )
        self._parted = {"nowhere": -1, "train": self.parts // 2, "rear": self.parts - 1}[vented]
        self.taken_by_cars = 0.0
        self.vented = 0.0

    def _reservoirs(self, before: AtRest | None) -> None:
        """Put the cars' reservoirs where the state before the move left them."""
        A = self._setup.atmosphere
        auxiliary, both = car.AUXILIARY_VOLUME, car.AUXILIARY_VOLUME + car.EMERGENCY_VOLUME
        if before is None:
            self._floor, stands, each = A, 0.0, both
        elif before.brake_pipe <= 0.0:
            charged = before.brake_pipe + before.train_reduction
            stands, each = car.emergency_pressure(charged=charged), both
            self._floor = stands + A
        else:
            charged = before.brake_pipe + before.train_reduction
            self._floor = car.full_service_pressure(charged=charged) + A
            stands, each = max(before.brake_pipe, self._floor - A), auxiliary
        self._reservoir = [stands + A] * self.parts
        self._reservoir_volume = each * self.cars_each
        self._charging = passing(FREIGHT_VALVE.auxiliary_charging_hole) * self.cars_each
        if each == both:
            self._charging += passing(FREIGHT_VALVE.emergency_charging_hole) * self.cars_each

    def _firing_times(self, part: float, vented: Vented, from_head: bool) -> list[float]:
        """When an emergency reaches the locomotive and each space; never without one."""
        opened = {"nowhere": inf, "train": part * self.parts / 2, "rear": part * self.parts}[vented]
        origins = [opened, *([0.0] if from_head else [])]
        middles = [0.0, *(LOCOMOTIVE_LENGTH + part * (n + 0.5) for n in range(self.parts))]
        return [
            min(abs(middle - origin) for origin in origins) / EMERGENCY_SPEED for middle in middles
        ]

    @property
    def rear(self) -> float | None:
        """Pressure at the rear [psi]; None without a train."""
        return self.pressure[-1] - self._setup.atmosphere if self.parts else None

    def content(self) -> float:
        """Air in the pipe behind the locomotive [psi cu in]."""
        return sum(self.pressure) * self.volume

    def settle(
        self,
        head: float,
        head_volume: float,
        seconds: float,
        dt: float,
        *,
        feed: float,
        target: float,
    ) -> tuple[float, float]:
        """Let air move along the train while the brake valve draws the head to its target.

        The pressures after the step are solved for (backward Euler, friction as it was at its
        start), so that the small space of the locomotive does not hold up the train.

        Parameters
        ----------
        head, head_volume
            The locomotive's own pipe: absolute pressure [psi], volume [cu in].
        seconds, dt
            Moment and step. [s]
        feed
            Air the brake valve passes for each psi that the head is off its target. [cu in/s]
        target
            Absolute pressure the brake valve holds the head to. [psi]

        Returns
        -------
        tuple of float
            Head pressure after the step, and the air the train took from it [psi cu in].
        """
        volumes = [head_volume, *([self.volume] * self.parts)]
        start = [head, *self.pressure]
        drawn = feed * dt
        if feed and all(abs(pressure - target) < TRAIN_STILL for pressure in start):
            new = [target] * len(start)
        else:
            ways = [
                dt * _conductance(start[n], start[n + 1], self._friction[n])
                if self._stirred(n, seconds)
                else 0.0
                for n in range(self.parts)
            ]
            new = _solve(start, volumes, ways, drawn, target)
        taken = sum(
            (after - before) * self.volume
            for after, before in zip(new[1:], self.pressure, strict=True)
        )
        self.pressure = new[1:]
        return new[0], taken

    def quick_service(self, head: float, dt: float) -> None:
        """Cars whose valve has moved take air out of the pipe, no further than the head stands."""
        p = self.pressure
        for n in range(self.parts):
            if p[n] > self._moves_below or not self._quick_service[n]:
                continue
            taken = min(
                self._quick_hole * p[n] * dt,
                self._quick_service[n],
                max(0.0, p[n] - head) * self.volume,
            )
            p[n] -= taken / self.volume
            self._quick_service[n] -= taken
            self.taken_by_cars += taken

    def cars_breathe(self, dt: float) -> None:
        """Reservoirs follow the pipe down to full service and are filled on the way up."""
        p, r = self.pressure, self._reservoir
        for n in range(self.parts):
            if p[n] <= r[n]:
                r[n] = max(p[n], min(r[n], self._floor))
                continue
            even = (p[n] - r[n]) / (1.0 / self.volume + 1.0 / self._reservoir_volume)
            flow = self._charging * p[n] * elliptic_factor(r[n] / p[n]) * dt
            moved = even if p[n] - r[n] < FINEST else min(even, flow)
            p[n] -= moved / self.volume
            r[n] += moved / self._reservoir_volume
            self.taken_by_cars += moved

    def vent(self, seconds: float, dt: float) -> float:
        """Let vent valves that have fired, and an open pipe, blow; returns what went out."""
        out = 0.0
        for n in range(self.parts):
            hole = self._vent if self._fires[n] <= seconds else 0.0
            if n == self._parted:
                hole += passing(PARTED_HOLE)
            if hole:
                out += self._blow(n, hole, dt)
        self.vented += out
        return out

    def leak(self, share: float, dt: float) -> float:
        """Lose the share of every space's air that leaks away in a second; returns the air."""
        out = 0.0
        for n in range(self.parts):
            lost = leaked(self.pressure[n], share, dt, atmosphere=self._setup.atmosphere)
            self.pressure[n] -= lost
            out += lost * self.volume
        return out

    def waiting(self, seconds: float) -> bool:
        """Whether an emergency is still on its way."""
        return any(seconds < time < inf for time in self._fires)

    def spaces(self) -> list[float]:
        """Pressures along the pipe, then those of the cars' reservoirs. Absolute psi."""
        return [*self.pressure, *self._reservoir]

    def unfilled(self) -> float:
        """How far the cars' reservoirs are at most below the pipe beside them [psi]."""
        pairs = zip(self.pressure, self._reservoir, strict=True)
        return max((p - r for p, r in pairs), default=0.0)

    def stillness(self, head: float) -> float:
        """Largest difference within the pipe and to the reservoirs that are being filled [psi]."""
        along = [abs(p - head) for p in self.pressure]
        filling = [p - r for p, r in zip(self.pressure, self._reservoir, strict=True) if p > r]
        return max([0.0, *along, *filling])

    def reaches(self, seconds: float) -> bool:
        """Whether an emergency from the train has come to the locomotive."""
        return not self.parts or self._head_fires <= seconds

    def _stirred(self, n: int, seconds: float) -> bool:
        """Whether air may move before a space: an emergency runs no faster than its speed."""
        times = (self._fires[n - 1] if n else self._head_fires, self._fires[n])
        return min(times) <= seconds or min(times) == inf

    def _blow(self, n: int, hole: float, dt: float) -> float:
        p, A = self.pressure[n], self._setup.atmosphere
        whole = (p - A) * self.volume
        flow = hole * p * elliptic_factor(min(1.0, A / p)) * dt
        moved = whole if p - A < FINEST else min(whole, flow)
        self.pressure[n] -= moved / self.volume
        return moved


def leaked(pressure: float, share: float, dt: float, *, atmosphere: float) -> float:
    """Fall of a space's pressure by its leaks in a step; a leak ends at the atmosphere.

    ``share`` is what leaks away in a second where the pressure is high enough to choke the leak.
    Absolute psi.
    """
    over = pressure - atmosphere
    if over <= 0.0:
        return 0.0
    return min(over, pressure * share * dt * elliptic_factor(atmosphere / pressure))


def _friction(setup: Setup, length: float) -> float:
    """A √(R T D / (f L)) of a length of pipe [cu in/s]."""
    D = setup.pipe_bore * INCH
    f = PIPE_LINE.friction_factor * PIPE_LINE.length_factor
    RT = gas_temperature_product(temperature=TEMPERATURE)
    return bore_area(bore=D) * sqrt(RT * D / (f * length * FOOT)) / CUBIC_INCH


def _conductance(left: float, right: float, friction: float) -> float:
    """Flow between two spaces for each psi between them [cu in/s]."""
    return friction * sqrt((left + right) / max(abs(left - right), FINEST))


def _solve(
    start: list[float], volumes: list[float], ways: list[float], drawn: float, target: float
) -> list[float]:
    """Pressures after a step of a chain of spaces, the first drawn to a target."""
    # Forward elimination and back substitution of the three-diagonal set of equations.
    kept: list[float] = []
    right: list[float] = []
    for n, (pressure, volume) in enumerate(zip(start, volumes, strict=True)):
        before = ways[n - 1] if n else 0.0
        after = ways[n] if n < len(ways) else 0.0
        weight = volume + before + after + (drawn if n == 0 else 0.0)
        value = volume * pressure + (drawn * target if n == 0 else 0.0)
        if n:
            weight -= before * kept[-1]
            value += before * right[-1]
        kept.append(after / weight)
        right.append(value / weight)
    for n in range(len(right) - 2, -1, -1):
        right[n] += kept[n] * right[n + 1]
    return right
