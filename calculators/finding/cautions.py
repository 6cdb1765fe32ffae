"""What is said before every figure of fault finding, and where the figures come from."""

from __future__ import annotations

from calculators.base.results import Note, say

SECURE = Note(
    kind="warning",
    text=say(
        "Secure first: hand brake on, nobody at or under the running gear. The brakes are released in "
        "the course of this series. Never cut in with the equalizing reservoir above the pipe."
    ),
)
MODEL = Note(
    text=say(
        "What each fault shows is worked out by this reference's own model of the brake, not read on a "
        "locomotive; errors of gauges as 49 CFR 229.53 allows, what is heard from memory."
    )
)
