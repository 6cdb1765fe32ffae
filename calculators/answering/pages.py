"""Which page of the site says more of what a line of an answer names: declared once.

A step of the working leads by its words, a result by its name; "Used in" at the foot of a part's page,
beside a limit and under a term of the glossary is the same table read the other way.
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

_BRAKE_SHOE = "glossary/#brake-shoe"
_BRAKING_RATIO = "glossary/#braking-ratio"
_CAR_CYLINDER = "parts/car-brake-cylinder/"
_COMPRESSOR = "parts/compressor-and-governor/"
_DYNAMIC = "glossary/#dynamic-brake"
_EMERGENCY_RESERVOIR = "parts/emergency-reservoir/"
_EXHAUST = "glossary/#exhaust"
_FULL_SERVICE = "glossary/#full-service"
_GAUGES = "parts/gauges/"
_GRADE = "glossary/#grade"
_GRADIENT = "glossary/#brake-pipe-gradient"
_INTERVALS = "tests/intervals/"
_LOCOMOTIVE_CYLINDER = "parts/locomotive-brake-cylinder/"
_MAIN_RESERVOIR = "parts/main-reservoir/"
_REAR_END = "parts/rear-end-device/"
_RECHARGE = "release-modes/recharge/"
_RESISTANCE = "glossary/#train-resistance"
_STOPPING = "glossary/#stopping-distance"

# Of results whose words name no part, or the wrong one: by calculator and result.
RESULTS = {
    "brake-force": {
        "piston_force": _CAR_CYLINDER,
        "lever_ratio_used": "glossary/#rigging",
        "shoe_force": _BRAKE_SHOE,
        "force_per_shoe": _BRAKE_SHOE,
        "braking_ratio": _BRAKING_RATIO,
        "lightest_weight": _BRAKING_RATIO,
    },
    "brake-test": {
        "test": _INTERVALS,
        "section": _INTERVALS,
        "also": _INTERVALS,
        "least_operative": "limits/#operative-brakes-moving",
        "operative_share": "limits/#operative-brakes-class-1",
    },
    "car-brake": {
        "brake_cylinder": _CAR_CYLINDER,
        "full_service_pressure": _FULL_SERVICE,
        "full_service_reduction": _FULL_SERVICE,
        "emergency_pressure": _EMERGENCY_RESERVOIR,
        "rule_of_thumb": "glossary/#equalization",
        "retained": "parts/retaining-valve/",
    },
    "charging-time": {
        "air_per_car": "glossary/#free-air",
        "time_lower_bound": _RECHARGE,
        "rule_time": _RECHARGE,
        "rule_delivery": _COMPRESSOR,
        "time": _RECHARGE,
        "rear_gauge_time": _REAR_END,
    },
    "circuit": {
        "rear_brake_pipe": _REAR_END,
        "control_reservoir": "parts/control-reservoir/",
        "pipe_16": "parts/pipe-16/",
        "pipe_20": "parts/pipe-20/",
        "supply": _MAIN_RESERVOIR,
        "first_to_move": "circuits/",
        "still_moving": "circuits/",
        "rest_after": "circuits/service-lap/",
        "rest_after_minutes": "circuits/service-lap/",
    },
    "cylinder-leak-off": {
        "hours_to_needed": _LOCOMOTIVE_CYLINDER,
        "hours_to_half": _LOCOMOTIVE_CYLINDER,
        "hours_to_nothing": _LOCOMOTIVE_CYLINDER,
    },
    "daily-brake-test": {
        "least_brake_pipe": "limits/#locomotive-brake-pipe-leakage",
        "full_service_cylinder": "parts/service-limiting-valve/",
        "emergency_cylinder": "parts/emergency-limiting-valve/",
        "bail_off_seconds": "parts/bail-off-path/",
    },
    "exhaust-time": {
        "shortest": _EXHAUST,
        "longest": _EXHAUST,
        "fits": "parts/angle-cock/",
        "time": _EXHAUST,
    },
    "fault-shown": {
        "shows": _GAUGES,
        "heard": "glossary/#blow",
        "seen": "glossary/#piston-travel",
    },
    "find-fault": {
        "faults": "faults/",
        "contradicts": _GAUGES,
        "next_check": "faults/",
        "not_looked_at": _GAUGES,
    },
    "full-service-figures": {
        "full_service_pressure": "parts/auxiliary-reservoir/",
        "full_service_reduction": _FULL_SERVICE,
        "emergency_pressure": _EMERGENCY_RESERVOIR,
        "emergency_over_full": _EMERGENCY_RESERVOIR,
        "rule_of_thumb": _FULL_SERVICE,
    },
    "grade-balance": {
        "reduction": "glossary/#reduction",
        "brake_cylinder": _CAR_CYLINDER,
        "half_of_full_service": _FULL_SERVICE,
        "tons_per_operative_brake": "glossary/#tons-per-operative-brake",
        "grade_force": _GRADE,
        "dynamic_force": _DYNAMIC,
        "reduction_with_dynamic": _DYNAMIC,
    },
    "hand-brakes": {"grade_force": _GRADE, "force_with_margin": "tests/securement/"},
    "leakage-and-flow": {
        "leakage_from_flow": "tests/leakage/",
        "flow_at_leakage_limit": "limits/#brake-pipe-leakage",
        "leakage_at_flow_limit": "limits/#air-flow",
        "cars_where_alike": "tests/air-flow/",
    },
    "locomotive-brake": {
        "pipe_16": "parts/pipe-16/",
        "pipe_20": "parts/pipe-20/",
        "decided_by": "parts/double-check-valve/",
        "reduction_at_limit": "parts/service-limiting-valve/",
        "car_brake_cylinder": _CAR_CYLINDER,
    },
    "main-reservoir": {
        "time": _MAIN_RESERVOIR,
        "highest_pressure": _MAIN_RESERVOIR,
        "governor_high": _COMPRESSOR,
        "leakage_start": "limits/#main-reservoir-leakage",
        "measured_delivery": _COMPRESSOR,
        "orifice_delivery": "glossary/#orifice",
    },
    "measured-stop": {
        "mean_slowing": _STOPPING,
        "grade_part": _GRADE,
        "brakes_slowing": _BRAKE_SHOE,
        "share_of_weight": _BRAKING_RATIO,
        "force": _STOPPING,
        "dead_time": _STOPPING,
        "efficiency_times_friction": _BRAKE_SHOE,
    },
    "over-reduction": {
        "full_service_reduction": _FULL_SERVICE,
        "over_reduction": "glossary/#over-reduction",
        "brake_cylinder": _CAR_CYLINDER,
        "rise_before_release": "release-modes/small-rise/",
        "air_wasted": "glossary/#over-reduction",
        "time_to_replace": _COMPRESSOR,
    },
    "rear-pressure": {
        "gradient": "limits/#rear-gradient",
        "least_rear": "limits/#rear-floor-class-1",
        "decided_by": "limits/#rear-gradient",
        "full_service_at_rear": _FULL_SERVICE,
        "full_service_at_setting": _FULL_SERVICE,
        "emergency_at_rear": _EMERGENCY_RESERVOIR,
        "emergency_at_setting": _EMERGENCY_RESERVOIR,
        "spread_gradient": _GRADIENT,
        "gradient_if_at_rear": _GRADIENT,
    },
    "release": {
        "brake_cylinder": _CAR_CYLINDER,
        "brake_cylinder_before": _CAR_CYLINDER,
        "rise_begins": "release-modes/small-rise/",
        "rise_empties": "release-modes/direct-and-graduated/",
        "rear_rise_time": _REAR_END,
    },
    "repeated-applications": {
        "full_service_left": _RECHARGE,
        "emergency_left": _EMERGENCY_RESERVOIR,
        "brake_cylinder": _CAR_CYLINDER,
        "emergency_reservoir": _EMERGENCY_RESERVOIR,
        "last_set_worth": _RECHARGE,
        "model_full_service": _RECHARGE,
        "model_emergency": _EMERGENCY_RESERVOIR,
    },
    "stopping-distance": {
        "distance": _STOPPING,
        "shortest": _STOPPING,
        "longest": _STOPPING,
        "time": _STOPPING,
        "parts": _STOPPING,
        "brake_cylinder": _CAR_CYLINDER,
        "effort": _BRAKE_SHOE,
        "dead_time": _STOPPING,
        "model_distance": _STOPPING,
    },
    "train-resistance": {
        "resistance": _RESISTANCE,
        "rolling": _RESISTANCE,
        "grade_part": _GRADE,
        "curve_part": _RESISTANCE,
        "resistance_force": _RESISTANCE,
    },
    "train-run": {
        "propagation_speed": "parts/brake-pipe/",
        "last_car_90_percent": _CAR_CYLINDER,
        "exhaust_ends": _EXHAUST,
        "undesired_actions": "glossary/#undesired-emergency",
        "cars_not_in_emergency": "parts/vent-valve/",
        "charged_after": _RECHARGE,
        "rear": _REAR_END,
        "last_car_cylinder": _CAR_CYLINDER,
        "last_car_emergency_reservoir": _EMERGENCY_RESERVOIR,
        "head_flow": "parts/air-flow-indicator/",
        "soonest": "parts/brake-pipe/",
        "by_volumes": _CAR_CYLINDER,
        "detection": "parts/vent-valve/",
    },
    "units": {"value": "glossary/#gauge-pressure"},
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


def page_of_result(calculator: str, result: str, term: str) -> str:
    """The page of a result's part, circuit, limit, test or term, from the site's root.

    Parameters
    ----------
    calculator, result
        Their names; `RESULTS` declares what its words do not say.
    term
        The words by which the result is shown.

    >>> page_of_result("locomotive-brake", "pipe_16", "Pipe 16")
    'parts/pipe-16/'
    >>> page_of_result("locomotive-brake", "brake_pipe", "Brake pipe")
    'parts/brake-pipe/'
    """
    return RESULTS.get(calculator, {}).get(result) or page_of_words(term)


def words_of_page(page: str) -> str:
    """How a page is named in a short link to it, from its address.

    >>> words_of_page("parts/relay-valve/"), words_of_page("glossary/#full-service")
    ('relay valve', 'full service')
    """
    return page.rstrip("/").rpartition("/")[2].lstrip("#").replace("-", " ")


def page_of_limit(id: str) -> str:
    """Where a limit stands on the list of all limits."""
    return f"{_LIMITS}#{id}"
