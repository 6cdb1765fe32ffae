"""Which way each result may move when the air leaks more, the train grows, or the rest changes.

An answer that gets better when more leaks or more cars are behind is one that nobody should believe.
So every calculator says of each figure which way it may move with four causes: more ``leakage``, more
``cars``, more ``cold``, a higher brake pipe ``setting``, everything else as it was. ``up`` never falls,
``down`` never rises, ``same`` does not move; `Either` says why a figure may do both. A test holds every
calculator to it over the whole range of its inputs.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

Cause = Literal["leakage", "cars", "cold", "setting"]


@dataclass(frozen=True, slots=True)
class Either:
    """A figure that may move both ways, and why."""

    why: str


Way = Literal["up", "down", "same"] | Either
Ways = Mapping[str, Way]

_LEAK_HELPS = Either("a leak helps a reduction along and holds a charge back")
_ON_THE_WAY = Either("a moment on the way, not a rest: an exhaust that ends sooner feeds sooner")
_LOW_PIPE = Either(
    "taken off a low setting, a deep set empties the pipe so far that the emergency limit applies"
)
_MARGINS = Either("a release that one setting reaches another may not")


def _all(way: Way, *results: str) -> dict[str, Way]:
    return dict.fromkeys(results, way)


_CAR = ("brake_cylinder", "full_service_pressure", "full_service_reduction", "emergency_pressure")
_LEFT = ("full_service_left", "emergency_left", "auxiliary", "emergency_reservoir", "brake_pipe")
_GOVERNED = ("governor_low", "governor_high", "safety_valve", "leakage_start", "measured_delivery")
_STARTS = ("first_car_starts", "last_car_starts", "latest_car_starts", "propagation_speed")
_CYLINDERS = ("first_cylinder", "second_cylinder", "full_service_cylinder")

DIRECTIONS: Mapping[str, Mapping[Cause, Ways]] = {
    "brake-test": {
        "leakage": _all("same", "least_operative", "operative_share"),
        "setting": _all("same", "least_operative", "operative_share"),
    },
    "car-brake": {
        "setting": _all("up", *_CAR, "rule_of_thumb", "retained"),
    },
    "charging-time": {
        "leakage": _all("same", "air_needed", "air_per_car", "rule_time", "rule_delivery")
        | _all("up", "time_lower_bound", "time", "rear_gauge_time"),
        "cars": _all("same", "air_per_car", "rule_delivery")
        | _all("up", "air_needed", "time_lower_bound", "rule_time", "time", "rear_gauge_time"),
        "setting": _all("up", "air_needed", "air_per_car", "time_lower_bound", "rule_delivery")
        | _all("same", "rule_time")
        | _all(
            Either("more air to fill, and more pressure to drive it"), "time", "rear_gauge_time"
        ),
    },
    "cylinder-leak-off": {
        "leakage": _all(
            "down", "brake_cylinder_left", "hours_to_needed", "hours_to_half", "hours_to_nothing"
        ),
    },
    "daily-brake-test": {
        "leakage": _all(
            "same",
            *_CYLINDERS,
            "least_brake_pipe",
            "second_equalizing_reservoir",
            "independent_cylinder",
            "emergency_cylinder",
            "alerter_least",
            "alerter_most",
            "first_set_seconds",
            "bail_off_seconds",
            "emergency_seconds",
        ),
        "setting": _all(
            "same", "independent_cylinder", "emergency_cylinder", "alerter_least", "alerter_most"
        )
        | _all("up", "least_brake_pipe", "second_equalizing_reservoir", "emergency_seconds")
        | _all(_LOW_PIPE, *_CYLINDERS, "first_set_seconds", "bail_off_seconds"),
    },
    "exhaust-time": {
        "leakage": _all("down", "shortest", "longest", "time"),
        "cars": _all(
            Either("a longer train has more air to let out, and at the same flow more that leaks"),
            "shortest",
            "longest",
            "time",
        ),
        "setting": _all(
            Either("the same reduction from a higher pressure leaves faster, and leaks less of it"),
            "shortest",
            "longest",
        )
        | _all("down", "time"),
    },
    "full-service-figures": {
        "setting": _all("up", *_CAR[1:], "rule_of_thumb") | _all("down", "emergency_over_full"),
    },
    "grade-balance": {
        "cars": _all(
            "same",
            "dynamic_force",
            "grade_force",
            "half_of_full_service",
            "tons_per_operative_brake",
        )
        | _all(
            Either("axles roll harder, and the same brakes are shared by more cars"),
            "reduction",
            "brake_cylinder",
            "reduction_with_dynamic",
        ),
        "setting": _all("up", "half_of_full_service")
        | _all(
            "same",
            "reduction",
            "brake_cylinder",
            "reduction_with_dynamic",
            "dynamic_force",
            "grade_force",
            "tons_per_operative_brake",
        ),
    },
    "hand-brakes": {"cars": _all("same", "number", "grade_force", "force_with_margin")},
    "leakage-and-flow": {
        "leakage": _all("up", "flow_from_leakage")
        | _all(
            "same",
            "leakage_from_flow",
            "flow_at_leakage_limit",
            "leakage_at_flow_limit",
            "pipe_volume",
            "cars_where_alike",
        ),
        "cars": _all("up", "flow_from_leakage", "flow_at_leakage_limit", "pipe_volume")
        | _all("down", "leakage_from_flow", "leakage_at_flow_limit")
        | _all("same", "cars_where_alike"),
        "setting": _all("same", "pipe_volume")
        | _all(
            Either(
                "it depends on whether the leakage was read after a fixed set or at one pressure"
            ),
            "flow_from_leakage",
            "leakage_from_flow",
            "flow_at_leakage_limit",
            "leakage_at_flow_limit",
            "cars_where_alike",
        ),
    },
    "locomotive-brake": {
        "setting": _all("up", "equalizing_reservoir", "brake_pipe", "reduction_at_limit")
        | _all("same", "pipe_20")
        | _all(_LOW_PIPE, "pipe_16", "pilot", "brake_cylinder")
        | _all(
            Either("above the main reservoir the same reduction takes nothing off"),
            "car_brake_cylinder",
        ),
    },
    "main-reservoir": {
        "leakage": _all("up", "time")
        | _all("down", "highest_pressure")
        | _all("same", "compressor_start", "compressor_stop", "orifice_delivery", *_GOVERNED),
        "cold": _all("same", "time", "highest_pressure", "compressor_start", "compressor_stop")
        | _all("same", *_GOVERNED)
        | _all("down", "orifice_delivery"),
        "setting": _all("up", "compressor_start", "compressor_stop")
        | _all("same", "time", "highest_pressure", "orifice_delivery", *_GOVERNED),
    },
    "over-reduction": {
        "cars": _all("up", "air_wasted", "time_to_replace")
        | _all(
            "same",
            "full_service_reduction",
            "over_reduction",
            "brake_cylinder",
            "rise_before_release",
        ),
        "setting": _all("up", "brake_cylinder", "full_service_reduction")
        | _all("down", "air_wasted", "over_reduction", "rise_before_release", "time_to_replace"),
    },
    "rear-pressure": {
        "leakage": _all(
            "same",
            "gradient",
            "least_rear",
            "full_service_at_rear",
            "full_service_at_setting",
            "emergency_at_rear",
            "emergency_at_setting",
        )
        | _all("up", "spread_gradient", "gradient_if_at_rear"),
        "cars": _all(
            "same",
            "gradient",
            "least_rear",
            "full_service_at_rear",
            "full_service_at_setting",
            "emergency_at_rear",
            "emergency_at_setting",
        )
        | _all("up", "spread_gradient", "gradient_if_at_rear"),
        "setting": _all(
            "up", "gradient", "least_rear", "full_service_at_setting", "emergency_at_setting"
        )
        | _all("same", "full_service_at_rear", "emergency_at_rear")
        | _all("down", "spread_gradient", "gradient_if_at_rear"),
    },
    "release": {
        "cars": _all(
            "same",
            "brake_cylinder_before",
            "brake_cylinder",
            "brake_pipe",
            "rise_begins",
            "rise_empties",
        )
        | _all("up", "rear_rise_time", "last_car_releases"),
        "setting": _all("up", "brake_cylinder_before", "brake_pipe")
        | _all("down", "rise_begins", "rise_empties")
        | _all(_MARGINS, "brake_cylinder")
        | _all(
            Either("a higher charge rises over a smaller share of it, and leaves more to refill"),
            "rear_rise_time",
            "last_car_releases",
        ),
    },
    "repeated-applications": {
        "cars": _all("down", *_LEFT, "brake_cylinder", "last_set_worth")
        | _all("down", "model_full_service", "model_emergency"),
        "setting": _all("up", "full_service_left", "emergency_left", "auxiliary", "brake_pipe")
        | _all("up", "model_full_service", "model_emergency")
        | _all(
            Either("a deeper charge that is set again spends more at the release between"),
            "brake_cylinder",
            "emergency_reservoir",
            "last_set_worth",
        ),
    },
    "stopping-distance": {
        "cars": _all("same", "brake_cylinder", "effort")
        | _all("up", "build_up_time")
        | _all(
            Either("the same weight on more axles builds up later and rolls harder"),
            "distance",
            "shortest",
            "longest",
            "time",
            "dead_time",
            "model_distance",
        ),
        "setting": _all("up", "brake_cylinder", "effort")
        | _all("same", "build_up_time")
        | _all("down", "distance", "shortest", "longest", "time", "model_distance")
        | _all(Either("a harder stop is over sooner than its build-up"), "dead_time"),
    },
    "circuit": {
        "leakage": _all("same", "pipe_20", "equalizing_reservoir")
        | _all("down", "rear_brake_pipe", "supply")
        | _all(_LEAK_HELPS, "brake_pipe", "control_reservoir", "pipe_16", "brake_cylinder")
        | _all(_LEAK_HELPS, "rest_after", "rest_after_minutes"),
        "cars": _all("same", "pipe_20")
        | _all(_ON_THE_WAY, "equalizing_reservoir", "brake_pipe", "rear_brake_pipe", "supply")
        | _all(_ON_THE_WAY, "pipe_16", "brake_cylinder", "rest_after", "rest_after_minutes")
        # At rest a long leaky train holds the head, and what it charges, a little lower.
        | _all("down", "control_reservoir"),
        "setting": _all("same", "pipe_20")
        | _all("up", "equalizing_reservoir", "brake_pipe", "rear_brake_pipe", "control_reservoir")
        | _all(_LOW_PIPE, "pipe_16", "brake_cylinder")
        | _all(_ON_THE_WAY, "supply", "rest_after", "rest_after_minutes"),
    },
    # Of a run along the train only what has one direction whatever the moves are.
    "train-run": {
        "leakage": _all("up", "charged_after")
        | _all("down", "head", "rear", "last_car_auxiliary", "last_car_emergency_reservoir")
        | _all("same", "soonest", "by_volumes", "mass_error"),
        "cars": _all("up", "soonest", "charged_after") | _all("same", "by_volumes", "mass_error"),
        "cold": _all("up", "soonest") | _all("same", "by_volumes", "mass_error"),
        "setting": _all("up", "by_volumes", "head", "rear", "last_car_emergency_reservoir")
        | _all("same", "soonest", "mass_error"),
    },
}
