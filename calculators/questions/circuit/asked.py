"""From the inputs of the question to what is asked of the circuits."""

from __future__ import annotations

from calculators.circuits.asking import Asked, Handles
from calculators.equipment.locomotive import Equipment
from calculators.equipment.locomotive_time import Setup
from calculators.questions.circuit.inputs import CircuitInputs

# What a suppression covers, by the words of the choice.
COVERED = {
    "pedal-and-overspeed": ("pedal", "overspeed"),
    "every-source": ("pedal", "overspeed", "alerter", "train-control"),
    "none": (),
}


def asked_of(given: CircuitInputs) -> Asked:
    """The question that a set of inputs asks."""
    locomotive = given.locomotive
    equipment = Equipment(
        brake_pipe_setting=given.brake_pipe_setting,
        minimum_reduction=locomotive.minimum_reduction,
        suppression_reduction=locomotive.suppression_reduction,
        multiplier=locomotive.multiplier,
        service_limit=locomotive.service_limit,
        emergency_limit=locomotive.emergency_limit,
        emergency_threshold=locomotive.emergency_threshold,
        relay_ratio_automatic=locomotive.relay_ratio_automatic,
        relay_ratio_independent=locomotive.relay_ratio_independent,
        main_reservoir=locomotive.main_reservoir,
        cut_off="freight",
        release_type="graduated" if given.release_type == "graduated" else "direct",
        unit="lead",
        dead_engine_setting=locomotive.dead_engine_setting,
        auxiliary_volume=None,
        pipe_16_volume=locomotive.pipe_16_volume,
        emergency_drops_dynamic=True,
    )
    return Asked(
        circuit=given.circuit,
        stage=round(given.stage),
        handles=Handles(
            handle=given.handle,
            reduction=given.reduction,
            independent=given.independent,
            bail_off=given.bail_off,
            cut_off=given.cut_off,
            event=given.event,
        ),
        start=Handles(
            handle=given.from_handle,
            reduction=given.from_reduction,
            independent=given.from_independent,
            bail_off=given.from_bail_off,
            cut_off=given.from_cut_off,
            event=given.from_event,
        ),
        earlier_reduction=given.earlier_reduction,
        reduction_at_bail_off=given.reduction_at_bail_off,
        leakage=given.leakage,
        setup=Setup(
            equipment=equipment,
            cars=round(given.cars),
            car_length=given.car_length,
            cylinders=given.cylinders,
            cylinder_volume=given.cylinder_volume,
            compressor_delivery=given.compressor_delivery,
        ),
        suppression_holds=given.penalty_source in COVERED[given.suppression_covers],
    )
