"""Locomotives and commands for tests of the brake in time, drawn at random or plain."""

from dataclasses import replace

from hypothesis import strategies as st

from calculators.equipment.locomotive import Command, Equipment

PLAIN = Equipment(
    brake_pipe_setting=90.0,
    minimum_reduction=6.0,
    suppression_reduction=26.0,
    multiplier=2.5,
    service_limit=60.0,
    emergency_limit=70.0,
    emergency_threshold=20.0,
    relay_ratio_automatic=1.0,
    relay_ratio_independent=1.0,
    main_reservoir=130.0,
    cut_off="freight",
    release_type="direct",
    unit="lead",
    dead_engine_setting=25.0,
    auxiliary_volume=None,
    pipe_16_volume=90.0,
    emergency_drops_dynamic=True,
)

RELEASED = Command(
    handle="release",
    reduction=0.0,
    earlier_reduction=0.0,
    independent=0.0,
    bail_off="none",
    reduction_at_bail_off=None,
    dynamic_brake=False,
    control_reservoir=None,
)


def service(reduction: float) -> Command:
    return replace(RELEASED, handle="service", reduction=reduction)


def figures(low: float, high: float) -> st.SearchStrategy[float]:
    """Figures as people set them: tenths of a psi, wholes among them."""
    return st.integers(int(low * 10), int(high * 10)).map(lambda tenths: tenths / 10)


equipments = st.builds(
    Equipment,
    brake_pipe_setting=figures(60, 110),
    minimum_reduction=figures(5, 8),
    suppression_reduction=figures(20, 30),
    multiplier=figures(1.5, 3.5),
    service_limit=figures(30, 75),
    emergency_limit=figures(50, 85),
    emergency_threshold=figures(0, 40),
    relay_ratio_automatic=figures(0.5, 1.8),
    relay_ratio_independent=figures(0.5, 1.8),
    main_reservoir=figures(95, 145),
    cut_off=st.sampled_from(("freight", "passenger", "out")),
    release_type=st.sampled_from(("direct", "graduated")),
    unit=st.sampled_from(("lead", "trailing", "dead")),
    dead_engine_setting=figures(10, 40),
    auxiliary_volume=st.one_of(st.none(), figures(50, 3000)),
    pipe_16_volume=figures(40, 300),
    emergency_drops_dynamic=st.booleans(),
)

commands = st.builds(
    Command,
    handle=st.sampled_from(
        ("release", "minimum-reduction", "service", "suppression", "handle-off", "emergency")
    ),
    reduction=figures(0, 40),
    earlier_reduction=st.just(0.0),
    independent=st.one_of(st.just(0.0), figures(0, 60)),
    bail_off=st.sampled_from(("none", "none", "none", "held", "released")),
    reduction_at_bail_off=st.none(),
    dynamic_brake=st.booleans(),
    control_reservoir=st.none(),
    vented=st.sampled_from(("nowhere", "nowhere", "nowhere", "train", "rear")),
)
