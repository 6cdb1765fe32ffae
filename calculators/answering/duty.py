"""Whose device this is and what the railroad allows on duty, as the user noted it.

Kept with the railroad's settings and shown back with every answer on the device. It decides
nothing: 49 CFR part 220, subpart C, and the railroad's rule do.
"""

from __future__ import annotations

from collections.abc import Mapping

from calculators.base.quantities import Choice, Option, Text

DEVICE, ALLOWED = "device", "device_allowed"
_OWN, RAILROADS = "own", "railroad"
# As much as stays readable above an answer.
_LONGEST_SHOWN = 160

DEVICE_CHOICE = Choice(
    term="Whose device this is",
    options=(
        Option(value=_OWN, words="my own"),
        Option(value=RAILROADS, words="supplied by my railroad"),
    ),
    help="On duty your own device is off in most cases (49 CFR 220.305).",
)
ALLOWED_TEXT = Text(
    term="What my railroad allows on duty",
    help="In your own words, with the rule that says so. It is shown back to you with every answer.",
)


def duty_words(settings: Mapping[str, str]) -> str:
    """What to show back above an answer; empty where nothing was noted.

    >>> duty_words({"device": "own"})
    'You noted: this is your own device. On duty it is off (49 CFR 220.305): study before and after.'
    >>> duty_words({})
    ''
    """
    device = settings.get(DEVICE, "").strip()
    allowed = " ".join(settings.get(ALLOWED, "").split())
    if len(allowed) > _LONGEST_SHOWN:
        allowed = f"{allowed[:_LONGEST_SHOWN]}…"
    if device == _OWN:
        words = (
            "You noted: this is your own device. On duty it is off (49 CFR 220.305): study before "
            "and after."
        )
        return f'{words} Your note on what is allowed: "{allowed}".' if allowed else words
    if device == RAILROADS:
        rule = f'"{allowed}"' if allowed else "not noted; ask before you use it on duty"
        return f"You noted: your railroad supplied this device. What it allows: {rule}."
    return f'You noted what your railroad allows on duty: "{allowed}".' if allowed else ""
