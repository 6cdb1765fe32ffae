"""Brake valves in control of the pipe: equalizing reservoir, relay, main reservoir, compressor.

The handle sets where the equalizing reservoir goes; the relay feeds or exhausts the pipe toward
the reservoir's pressure, opening in proportion to the difference. That is also the maintaining
feature: in release and in service the pipe is held against leakage; with the cut-off out, or in
emergency, or once an emergency has come from the train, it is not.

The supply valve takes time to open. A relay that opened at once would answer the very front of an
emergency from the train with all the main reservoir's air: the pipe at the locomotive would then
fall by less than its detector needs, the charging cut-off would stay open, and a locomotive at the
head of a train that has gone to emergency would go on feeding it. The front is past before a real
valve has moved.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp
from typing import Literal, NamedTuple

from calculators.base.units import PSI
from calculators.equipment.train.stepping.border import RelayFigures
from calculators.equipment.train.stepping.flows import factor, factor_slope
from calculators.equipment.train.stepping.state import State

ANY = float("inf")

FEEDING_ROUNDS = 3

FALL_SENSED = 0.25 * PSI
"""Further fall of the pipe under its equalizing reservoir at which a remote unit without its link
cuts its brake valve out. [Pa] Nominal: about a fifth of what opens its feed fully; that such units
exist is from memory."""

EMPTIES_AT = 0.002 * PSI
"""Gauge pressure of the equalizing reservoir that counts as empty. [Pa]"""

CUT_OFF_SECONDS = 1.0
"""Time the cut-off valve takes to open or close. [s] Nominal: at once would be a hammer."""


class Line(NamedTuple):
    """Flow into a cell near its present pressure: flow - slope times the rise of pressure.

    It holds while the pressure it leads to is from ``low`` to ``high``.
    """

    flow: float
    slope: float
    low: float
    high: float


def blown_down(pressure: float, step: float, *, lag: float, atmosphere: float) -> float:
    """The equalizing reservoir after a step of blowing down through a choke to the atmosphere.

    Parameters
    ----------
    pressure, atmosphere
        Absolute, the first not the lower.
    step, lag
        Time, and the time constant while the choke's flow is sonic. [s]
    """
    left = pressure * exp(-step * factor(atmosphere / pressure) / lag)
    # The last of it in a moment: the linear law of a hole would never end.
    return atmosphere if left - atmosphere < EMPTIES_AT else left


NOTHING = [Line(0.0, 0.0, -ANY, ANY)]


@dataclass(slots=True)
class Relay:
    """One brake valve in control, at one cell, with the air supply behind it."""

    figures: RelayFigures
    cell: int
    detector: int
    """Its locomotive's vent valve, which tells it of an emergency from the train."""
    equalizing: float
    main: float
    handle: Literal["release", "service", "emergency"] = "release"
    target: float = 0.0
    cut_in: bool = True
    supply_opening: float = 0.0
    """Of the relay's supply valve, 0 to 1; a step opens it by `supply_seconds`' share at most."""
    cut_off_opening: float = 1.0
    """Of the cut-off valve, 1 when cut in; it takes `CUT_OFF_SECONDS` to move."""
    cuts_out_alone: bool = False
    """Without its radio link it cuts itself out once the pipe falls by `FALL_SENSED` unbidden."""
    fall_at_rest: float = 0.0
    """Of the pipe under the equalizing reservoir while it only feeds the leaks. [Pa]"""
    charging_cut_off: bool = False
    """Shut by an emergency from the train until the handle comes back to release."""
    pumping: bool = False
    pumped: float = 0.0
    supplied: float = 0.0
    exhausted: float = 0.0

    def release(self) -> None:
        """Handle to release."""
        self.handle = "release"
        self.target = self.figures.setting
        self.charging_cut_off = False

    def service(self, reduction: float) -> None:
        """Handle in the service zone, at a total reduction in Pa."""
        self.handle = "service"
        self.target = self.figures.setting - reduction

    def emergency(self) -> None:
        """Handle to emergency."""
        self.handle = "emergency"

    def cut(self, cut_in: bool) -> None:
        """Cut the brake valve in or out."""
        self.cut_in = cut_in

    def feel_emergency(self) -> None:
        """An emergency from the train: the charging cut-off shuts."""
        self.charging_cut_off = True

    def content(self) -> float:
        """Content of the reservoirs behind it, in Pa·m³."""
        return self.main * self.figures.reservoir_volume

    def copy(self) -> Relay:
        """One that goes on by itself."""
        return replace(self)

    def move_reservoirs(self, state: State, step: float) -> None:
        """Move the reservoirs and the cut-off valve on by a step."""
        f = self.figures
        atmosphere = state.grid.atmosphere
        if self.handle == "service":
            # A handle moved part of the way back does not raise the reservoir.
            if self.equalizing > self.target:
                self._blow_down(self.target, step, f.service_lag, atmosphere)
        elif self.handle == "emergency":
            self._blow_down(atmosphere, step, f.emergency_lag, atmosphere)
        elif self.equalizing < self.target:
            # A main reservoir under the setting feeds nothing; it takes nothing back either.
            fed = min(self.target, self.equalizing + f.charging_rate * step, self.main)
            self.equalizing = max(self.equalizing, fed)
        else:
            # Over the setting the regulating valve lets it out, taken no faster than the handle.
            self._blow_down(self.target, step, f.service_lag, atmosphere)
        self.move_cut_off(step)
        self.pump(step)

    def _blow_down(self, target: float, step: float, lag: float, atmosphere: float) -> None:
        left = blown_down(self.equalizing, step, lag=lag, atmosphere=atmosphere)
        self.equalizing = max(target, left)

    def move_cut_off(self, step: float) -> None:
        """Move the cut-off valve on by a step."""
        move = step / CUT_OFF_SECONDS * (1.0 if self.cut_in else -1.0)
        self.cut_off_opening = min(1.0, max(0.0, self.cut_off_opening + move))

    def pump(self, step: float) -> None:
        """Let the compressor run for a step, if it does; never past the pressure it stops at."""
        f = self.figures
        if self.main <= f.compressor_starts:
            self.pumping = True
        elif self.main >= f.compressor_stops:
            self.pumping = False
        if self.pumping:
            missing = max(0.0, f.compressor_stops - self.main) * f.reservoir_volume
            content = min(f.compressor * step, missing)
            self.main += content / f.reservoir_volume
            self.pumped += content

    def sense(self, pipe: float) -> None:
        """Cut out, if this is a remote unit without its link that does so, and the pipe has fallen."""
        if self.cuts_out_alone and self.equalizing - pipe > self.fall_at_rest + FALL_SENSED:
            self.cut_in = False

    def supply_slope(self, pipe: float) -> float:
        """Feed into the pipe per unit that the equalizing reservoir is above it, dead band apart."""
        f = self.figures
        most = f.supply * self.cut_off_opening * self.main * factor(min(1.0, pipe / self.main))
        return most / f.full_opening

    def supply_within(self, step: float) -> float:
        """How far the supply valve can be open at the end of a step."""
        return min(1.0, self.supply_opening + step / self.figures.supply_seconds)

    def lines(self, p: float, step: float, *, atmosphere: float) -> list[Line]:
        """Flow into the pipe near a pressure there: the proportional range, then as open as can be.

        ``step`` is what the supply valve has to open in; it shuts, and the exhaust valve moves,
        at once.
        """
        f = self.figures
        if self.handle == "emergency":
            if p <= atmosphere:
                return NOTHING
            flow = f.emergency * p * factor(atmosphere / p)
            # Near atmosphere the flow is as good as proportional to the difference.
            slope = flow / (p - atmosphere) if atmosphere / p > 0.9 else f.emergency
            return [Line(-flow, slope, -ANY, ANY)]
        if self.cut_off_opening <= 0.0:
            return NOTHING
        want = self.equalizing - p
        if want > f.dead_band:
            if self.charging_cut_off or self.main <= p:
                return NOTHING
            slope = self.supply_slope(p)
            opening = self.supply_within(step)
            reach = opening * f.full_opening
            falling = f.supply * self.cut_off_opening * opening * factor_slope(p / self.main)
            return [
                Line(
                    (want - f.dead_band) * slope, slope, self.equalizing - f.dead_band - reach, ANY
                ),
                Line(reach * slope, falling, -ANY, ANY),
            ]
        if -want > f.dead_band and p > atmosphere:
            most = f.exhaust * self.cut_off_opening * p * factor(atmosphere / p)
            slope = most / f.full_opening
            full_above = self.equalizing + f.dead_band + f.full_opening
            return [
                Line((want + f.dead_band) * slope, slope, -ANY, full_above),
                Line(-most, most / p, -ANY, ANY),
            ]
        return NOTHING

    def feed_cell(self, state: State, step: float) -> None:
        """Let the relay act on its cell alone, after a wave step of the pipe.

        In one wave step it may move its cell by psi, so the flow is that at the pressure it leads
        to, found by a few rounds of straight lines.
        """
        atmosphere = state.grid.atmosphere
        volume = state.grid.volume[self.cell]
        gain = step / volume
        p = after = state.pressure[self.cell]
        for _ in range(FEEDING_ROUNDS):
            near = after
            lines = self.lines(near, step, atmosphere=atmosphere)
            line = lines[0]
            after = (p + gain * (line.flow + line.slope * near)) / (1.0 + gain * line.slope)
            if not line.low <= after <= line.high:
                line = lines[-1]
                after = (p + gain * (line.flow + line.slope * near)) / (1.0 + gain * line.slope)
        state.pressure[self.cell] = after
        self.take(state, (after - p) * volume, step)

    def take(self, state: State, content: float, step: float) -> None:
        """Count what went into the pipe in a step (or, negative, out of it to atmosphere)."""
        if content > 0.0:
            most = self.supply_slope(state.pressure[self.cell]) * self.figures.full_opening * step
            opened = content / most if most > 0.0 else 1.0
            self.supply_opening = min(opened, self.supply_within(step))
        else:
            self.supply_opening = 0.0
        if content >= 0.0:
            self.main -= content / self.figures.reservoir_volume
            self.supplied += content
        else:
            state.vented -= content
            self.exhausted -= content
