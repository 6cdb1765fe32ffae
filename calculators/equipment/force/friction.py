"""Friction of the shoe on the wheel, constant or falling as speed rises.

That it falls with speed is published (Galton 1878-79 in PROUT 68-71; AB13 p. 268); how far it
falls for a given shoe is not, so the figures are the user's.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf


@dataclass(frozen=True, slots=True, kw_only=True)
class Friction:
    """A friction that halves at a given speed: friction / (1 + speed / half speed).

    ``standstill`` is the friction as the wheel comes to rest, ``half_speed`` the speed in mph at
    which only half of it is left; infinite for a friction that does not change.

    Examples
    --------
    >>> Friction(standstill=0.32, half_speed=30).at(30)
    0.16
    >>> Friction(standstill=0.30).at(60)
    0.30
    """

    standstill: float
    half_speed: float = inf

    def at(self, speed: float) -> float:
        """Friction at a speed in mph, zero or more."""
        return self.standstill / (1.0 + speed / self.half_speed)
