"""Which page of the site says more of what a line of an answer names: declared once, by words.

A step of the working that names a part leads to the part; "Used in" at the foot of that part's page
is the same table read the other way.
"""

from __future__ import annotations

import re

# Addresses from the site's root, by words as they stand in the working, singular and in small letters.
# Of several that fit a line the longest counts.
PAGES = {
    "alerter": "recovering/alerter-and-power/",
    "air flow": "tests/air-flow/",
    "auxiliary": "parts/auxiliary-reservoir/",
    "bail off": "parts/bail-off-path/",
    "bail-off": "parts/bail-off-path/",
    "brake pipe": "parts/brake-pipe/",
    "brake pipe relay": "parts/automatic-brake-valve/",
    "brake valve": "parts/automatic-brake-valve/",
    "braking ratio": "calculators/brake-force/",
    "car": "parts/car-control-valve/",
    "charge": "release-modes/recharge/",
    "charged": "release-modes/recharge/",
    "class i": "tests/class-1/",
    "compressor": "parts/compressor-and-governor/",
    "control valve": "parts/control-valve/",
    "cylinder": "parts/locomotive-brake-cylinder/",
    "double check valve": "parts/double-check-valve/",
    "emergency limit": "parts/emergency-limiting-valve/",
    "emergency limiting valve": "parts/emergency-limiting-valve/",
    "equalizing reservoir": "parts/equalizing-reservoir/",
    "full service": "calculators/full-service-figures/",
    "governor": "parts/compressor-and-governor/",
    "grade": "calculators/grade-balance/",
    "gradient": "calculators/rear-pressure/",
    "half-way back": "release-modes/direct-and-graduated/",
    "hand brake": "parts/hand-brake/",
    "independent": "parts/independent-brake-valve/",
    "leakage": "tests/leakage/",
    "quick service": "parts/quick-service/",
    "rear car": "calculators/rear-pressure/",
    "relay valve": "parts/relay-valve/",
    "retaining valve": "parts/retaining-valve/",
    "rolling resistance": "calculators/train-resistance/",
    "safety valve": "parts/safety-valve/",
    "service limit": "parts/service-limiting-valve/",
    "service limiting valve": "parts/service-limiting-valve/",
    "shoe": "calculators/brake-force/",
    "vent valve": "parts/vent-valve/",
}

_LIMITS = "limits/"
_FOUND = re.compile(
    rf"(?<![\w-])({'|'.join(sorted(map(re.escape, PAGES), key=lambda one: -len(one)))})s?(?![\w-])",
    re.IGNORECASE,
)


def page_of_words(words: str) -> str:
    """The page that says most of a line, from the site's root; empty where none is named.

    >>> page_of_words("Relay valve fills the cylinder to")
    'parts/relay-valve/'
    >>> page_of_words("Comes to rest")
    ''
    """
    found = [match[1].lower() for match in _FOUND.finditer(words)]
    return PAGES[max(found, key=len)] if found else ""


def page_of_limit(id: str) -> str:
    """Where a limit stands on the list of all limits."""
    return f"{_LIMITS}#{id}"
