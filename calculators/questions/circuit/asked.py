"""From the inputs of the question to what is asked of the circuits."""

from __future__ import annotations

from dataclasses import replace

from calculators.circuits.asking import LEAKAGE_READ_FOR, AskedCircuit, Handles, Wrong
from calculators.equipment.locomotive import Equipment
from calculators.equipment.running import Setup, Volumes
from calculators.equipment.running.brake import Penalty
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.questions.circuit.inputs import CircuitInputs

SOURCES: dict[str, Penalty] = {
    "pedal": "pedal",
    "overspeed": "overspeed",
    "alerter": "alerter",
    "train-control": "train-control",
}

WRONG: dict[str, Wrong] = {
    "nothing": "nothing",
    "trailing-cut-in": "trailing-cut-in",
    "not-drained": "not-drained",
}

# What a suppression covers, by the words of the choice.
COVERED: dict[str, tuple[Penalty, ...]] = {
    "pedal-and-overspeed": ("pedal", "overspeed"),
    "every-source": ("pedal", "overspeed", "alerter", "train-control"),
    "none": (),
}


def asked_of(given: CircuitInputs) -> AskedCircuit:
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
    return AskedCircuit(
        circuit=given.circuit,
        stage=round(given.stage),
        handles=Handles(
            handle=given.handle,
            reduction=given.reduction,
            independent=given.independent,
            bail_off=given.bail_off,
            cut_off=given.cut_off,
            event=given.event,
            dynamic=given.dynamic_brake,
        ),
        start=Handles(
            handle=given.from_handle,
            reduction=given.from_reduction,
            independent=given.from_independent,
            bail_off=given.from_bail_off,
            cut_off=given.from_cut_off,
            event=given.from_event,
            dynamic=given.from_dynamic_brake,
        ),
        earlier_reduction=given.earlier_reduction,
        reduction_at_bail_off=given.reduction_at_bail_off,
        leakage=given.leakage,
        setup=Setup(
            equipment=equipment,
            cars=round(given.cars),
            car_length=given.car_length,
            locomotives=round(given.locomotives),
            starting_pressure=given.charged_to,
            volumes=Volumes(cylinders=given.cylinders, cylinder=given.cylinder_volume),
            air_supply=replace(
                AIR_SUPPLY,
                compressor_delivery=given.compressor_delivery,
                compressor_starts=locomotive.main_reservoir,
                compressor_stops=locomotive.main_reservoir,
            ),
        ),
        penalty_source=SOURCES[given.penalty_source],
        covers=COVERED[given.suppression_covers],
        wrong=WRONG[given.wrong],
        read_for=max(LEAKAGE_READ_FOR, given.moment or 0.0),
        follow_for=None if given.follow_for is None else 60.0 * given.follow_for,
    )
