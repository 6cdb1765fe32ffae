"""From the inputs of the question to what is asked of the circuits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from calculators.circuits.asking import Asked, Handles
from calculators.equipment.locomotive import Equipment
from calculators.equipment.locomotive_time import Setup

# What a suppression covers, by the words of the choice.
COVERED = {
    "pedal-and-overspeed": ("pedal", "overspeed"),
    "every-source": ("pedal", "overspeed", "alerter", "train-control"),
    "none": (),
}


def asked_of(values: Mapping[str, Any]) -> Asked:
    """The question that a set of parsed inputs asks."""

    def handles(prefix: str) -> Handles:
        return Handles(
            handle=values[f"{prefix}handle"],
            reduction=values[f"{prefix}reduction"],
            independent=values[f"{prefix}independent"],
            bail_off=values[f"{prefix}bail_off"],
            cut_off=values[f"{prefix}cut_off"],
            event=values[f"{prefix}event"],
        )

    equipment = Equipment(
        brake_pipe_setting=values["brake_pipe_setting"],
        minimum_reduction=values["minimum_reduction"],
        suppression_reduction=values["suppression_reduction"],
        multiplier=values["multiplier"],
        service_limit=values["service_limit"],
        emergency_limit=values["emergency_limit"],
        emergency_threshold=values["emergency_threshold"],
        relay_ratio_automatic=values["relay_ratio_automatic"],
        relay_ratio_independent=values["relay_ratio_independent"],
        main_reservoir=values["main_reservoir"],
        cut_off="freight",
        release_type=values["release_type"],
        unit="lead",
        dead_engine_setting=values["dead_engine_setting"],
        auxiliary_volume=None,
        pipe_16_volume=values["pipe_16_volume"],
        emergency_drops_dynamic=True,
    )
    return Asked(
        circuit=values["circuit"],
        stage=round(values["stage"]),
        handles=handles(""),
        start=handles("from_"),
        earlier_reduction=values["earlier_reduction"],
        reduction_at_bail_off=values["reduction_at_bail_off"],
        leakage=values["leakage"],
        setup=Setup(
            equipment=equipment,
            cars=round(values["cars"]),
            car_length=values["car_length"],
            cylinders=values["cylinders"],
            cylinder_volume=values["cylinder_volume"],
            compressor_delivery=values["compressor_delivery"],
        ),
        suppression_holds=values["penalty_source"] in COVERED[values["suppression_covers"]],
    )
