"""What is done to the train, and when."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from calculators.base.errors import InputError

Action = Literal[
    "service",
    "emergency",
    "release",
    "cut-out",
    "cut-in",
    "close-angle-cock",
    "open-angle-cock",
]
"""The moves a command can make.

service
    Handle in the service zone: equalizing reservoirs fall to the setting less ``reduction``.
emergency
    The pipe is opened to atmosphere ``at`` the head (brake valve), the rear (end-of-train device), both,
    or a car (as by a parted hose or a conductor's valve there).
release
    Handle in release: equalizing reservoirs rise to the setting.
cut-out, cut-in
    The cut-off of the leading brake valve: out, it neither feeds nor exhausts the pipe, which is
    lap without maintaining; in, service holds the pipe against leakage.
close-angle-cock, open-angle-cock
    The cock at the rear of car ``behind_car``, closed to ``opening`` of the bore, or opened, in a
    second.
"""

Place = Literal["head", "rear", "both"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One move at one time."""

    at_seconds: float
    """[s]"""
    action: Action
    reduction: float = 0.0
    """Total reduction below the brake pipe setting; for service. [psi]"""
    at: Place | int = "head"
    """For emergency: a place, or the number of a car counted from the head."""
    behind_car: int = 0
    """For the angle cock: number of the car ahead of it; 0 is the last head locomotive."""
    opening: float = 0.0
    """For close-angle-cock: share of the bore's area left open, 0 to 1. [-]"""

    def __post_init__(self) -> None:
        """Check the ranges."""
        if not 0.0 <= self.at_seconds < 1e6:
            raise InputError(
                "at_seconds", f"at_seconds is {self.at_seconds:g}; it must be zero or later"
            )
        if self.action == "service" and not 0.0 < self.reduction <= 110.0:
            raise InputError(
                "reduction", f"reduction is {self.reduction:g} psi; it must be above 0, at most 110"
            )
        if not 0.0 <= self.opening < 1.0:
            raise InputError("opening", f"opening is {self.opening:g}; it must be 0 to below 1")
