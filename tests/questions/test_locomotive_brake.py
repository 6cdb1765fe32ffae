"""The locomotive at rest: every position, limit, unit standing and interlock, worked by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.base.units import ATMOSPHERE as A
from calculators.questions.locomotive_brake.declaration import LocomotiveBrake, locomotive_brake


def ask(**texts: str) -> LocomotiveBrake:
    found = answer(locomotive_brake, texts)
    assert found.errors == {}
    assert isinstance(found.outcome, LocomotiveBrake)
    return found.outcome


def warnings(outcome: LocomotiveBrake) -> str:
    return " ".join(n.text.text(Display()) for n in outcome.notes if n.kind == "warning")


def decisive(outcome: LocomotiveBrake) -> list[str]:
    return [step.label for step in outcome.working if step.decides]


@pytest.mark.parametrize(
    ("handle", "er", "bp", "cylinder"),
    [
        ("release", 90, 90, 0),
        ("minimum-reduction", 84, 84, 15),
        ("service", 80, 80, 25),
        ("suppression", 64, 64, 60),
        ("handle-off", 0, 0, 70),
        ("emergency", 0, 0, 70),
    ],
)
def test_every_position(handle: str, er: float, bp: float, cylinder: float):
    """90 psi, 10 off in service, first notch 6, suppression 26, caps 60 and 70, 2.5 a psi."""
    outcome = ask(handle=handle)
    assert (outcome.equalizing_reservoir, outcome.brake_pipe, outcome.brake_cylinder) == (
        er,
        bp,
        cylinder,
    )


def test_handle_off_without_the_low_pipe_trip_stays_at_the_service_limit():
    assert ask(handle="handle-off", emergency_threshold="0").brake_cylinder == 60


def test_service_limit_decides():
    outcome = ask(reduction="26")
    assert outcome.brake_cylinder == 60
    assert decisive(outcome) == ["Service limiting valve"]
    assert outcome.reduction_at_limit == 24


def test_pipes_never_add_and_the_greater_decides():
    outcome = ask(independent="45")
    assert (outcome.pilot, outcome.decided_by, outcome.brake_cylinder) == (45, "pipe 20", 45)
    assert decisive(outcome) == ["Double check valve"]
    assert ask(independent="0", reduction="0", handle="release").decided_by == "neither"


def test_separate_ratios():
    """Pipe 16 has more (50 against 45), yet 1.6 x 45 = 72 is the higher product."""
    outcome = ask(reduction="20", independent="45", relay_ratio_independent="1.6")
    assert outcome.brake_cylinder == 72
    assert (outcome.decided_by, outcome.pilot) == ("pipe 20", 45)
    assert ask(reduction="20", relay_ratio_automatic="1.2").brake_cylinder == 60


def test_emergency_limit_is_read_at_the_cylinder_whatever_the_ratio():
    assert ask(handle="emergency", relay_ratio_automatic="2").brake_cylinder == 70


def test_bail_off():
    held = ask(bail_off="held")
    assert (held.brake_cylinder, held.brake_pipe) == (0, 80)
    assert decisive(held) == ["Bail-off"]
    assert ask(bail_off="held", independent="20").brake_cylinder == 20
    # 12 off, bailed off, 3 more: 3 x 2.5, not 15 x 2.5 [fits an Army test, derived].
    after = ask(reduction="15", bail_off="released", reduction_at_bail_off="12")
    assert after.brake_cylinder == 7.5
    assert ask(bail_off="released").brake_cylinder == 0


def test_bail_off_in_emergency_only_while_held():
    assert ask(handle="emergency", bail_off="held").brake_cylinder == 0
    let_go = ask(handle="emergency", bail_off="released")
    assert let_go.brake_cylinder == 70
    assert "only while the handle is held" in warnings(let_go)


def test_dynamic_interlock():
    nullified = ask(dynamic_brake="on")
    assert nullified.brake_cylinder == 0
    assert decisive(nullified) == ["Dynamic brake interlock"]
    assert ask(dynamic_brake="on", independent="15").brake_cylinder == 15
    assert ask(dynamic_brake="on", handle="emergency").brake_cylinder == 70
    kept = ask(dynamic_brake="on", handle="emergency", emergency_drops_dynamic="no")
    assert kept.brake_cylinder == 0


def test_low_main_reservoir_caps_pipe_and_cylinder():
    outcome = ask(main_reservoir="40", handle="release")
    assert (outcome.brake_pipe, outcome.equalizing_reservoir) == (40, 40)
    low = ask(main_reservoir="50", reduction="70", brake_pipe_setting="90")
    # Boyle's law: 2,500 cu in charged to 50 psi fill the 90 cu in of pipe 16 too.
    assert low.brake_cylinder == pytest.approx((2500 * (50 + A) + 90 * A) / 2590 - A)
    assert decisive(low) == ["Equalization of the control valve's reservoir"]
    low = ask(
        main_reservoir="50", reduction="70", brake_pipe_setting="90", relay_ratio_automatic="1.6"
    )
    assert low.brake_cylinder == 50
    assert decisive(low) == ["Relay valve fills the cylinder to"]
    found = answer(locomotive_brake, {"main_reservoir": "100"})
    assert [v.standing for v in found.verdicts] == ["not within"]
    assert "less than 15 psi above" in warnings(ask(main_reservoir="100"))


def test_ratio_beyond_the_supply():
    outcome = ask(independent="45", relay_ratio_independent="4", main_reservoir="130")
    assert outcome.brake_cylinder == 130
    assert "more than is usual" in warnings(outcome)


def test_cut_out_moves_the_reservoir_and_not_the_train():
    outcome = ask(cut_off="out")
    assert (outcome.equalizing_reservoir, outcome.brake_pipe, outcome.brake_cylinder) == (80, 90, 0)
    assert "does not brake" in warnings(outcome)
    assert ask(cut_off="out", handle="emergency").brake_pipe == 0


def test_freight_cut_off_never_lets_the_reservoir_rise_on_the_way_back():
    outcome = ask(reduction="5", earlier_reduction="15")
    assert outcome.equalizing_reservoir == 75
    assert outcome.brake_cylinder == 37.5


def test_passenger_cut_off_follows_both_ways():
    direct = ask(reduction="5", earlier_reduction="15", cut_off="passenger")
    assert (direct.brake_pipe, direct.brake_cylinder, direct.car_brake_cylinder) == (85, 0, 0)
    assert "whole train go" in warnings(direct)
    graduated = ask(
        reduction="5", earlier_reduction="15", cut_off="passenger", release_type="graduated"
    )
    assert graduated.brake_cylinder == 12.5


def test_a_rise_too_small_to_release():
    outcome = ask(reduction="14", earlier_reduction="15", cut_off="passenger")
    assert outcome.brake_cylinder == 35


def test_release_after_a_set():
    outcome = ask(handle="release", earlier_reduction="7")
    assert (outcome.brake_cylinder, outcome.car_brake_cylinder) == (0, 0)
    for earlier, warned in (("0", False), ("0.5", True), ("7", True), ("10", False)):
        said = warnings(ask(handle="release", earlier_reduction=earlier))
        assert ("at least 10 psi off before a release" in said) == warned, earlier


def test_trailing_unit():
    outcome = ask(unit="trailing", independent="30", cut_off="out")
    assert (outcome.equalizing_reservoir, outcome.brake_pipe, outcome.brake_cylinder) == (0, 80, 30)
    assert "belongs cut OUT" in warnings(ask(unit="trailing"))


def test_hauled_dead():
    outcome = ask(unit="dead", independent="45", reduction="20")
    assert (outcome.brake_cylinder, outcome.pipe_20) == (25, 0)
    assert ask(unit="dead", reduction="6").brake_cylinder == 15
    found = answer(locomotive_brake, {"unit": "dead"})
    assert [v.standing for v in found.verdicts] == ["not applicable"]


def test_overcharged_control_reservoir():
    outcome = ask(handle="release", control_reservoir="96")
    assert outcome.brake_cylinder == 15
    assert "Overcharged" in warnings(outcome)


def test_equalization_only_when_the_volume_is_given():
    """100 cu in at 104.7 abs shared with 90 at 14.7: (10470 + 1323)/190 - 14.7 = 47.4."""
    outcome = ask(reduction="26", auxiliary_volume="100")
    assert outcome.brake_cylinder == pytest.approx(47.37, abs=0.01)
    assert ask(reduction="26", auxiliary_volume="2500").brake_cylinder == 60


def test_notes_for_the_first_notch_and_past_full_service():
    first = " ".join(n.text.text(Display()) for n in ask(reduction="3").notes)
    assert "first notch already takes 6 psi off" in first
    past = " ".join(n.text.text(Display()) for n in ask(reduction="30").notes)
    assert "full service at 26 psi off" in past
    at_110 = ask(handle="suppression", brake_pipe_setting="110", main_reservoir="140")
    assert "would need 31 psi off" in " ".join(n.text.text(Display()) for n in at_110.notes)


def test_curve_marks_this_answer():
    outcome = ask(reduction="12")
    assert [series.marked for series in outcome.series] == [((12, 30),)]
    assert [series.marked for series in ask(handle="emergency").series] == [()]


def test_cars_in_emergency_are_about_a_fifth_above_full_service():
    emergency = ask(handle="emergency").car_brake_cylinder
    full = ask(reduction="30").car_brake_cylinder
    assert emergency is not None
    assert full is not None
    # [S: ARMY-203; ARRC-96 67-10] about 20 percent.
    assert 1.17 <= emergency / full <= 1.23


settings = st.fixed_dictionaries(
    {
        "brake_pipe_setting": st.integers(60, 110),
        "handle": st.sampled_from(
            ["release", "minimum-reduction", "service", "suppression", "handle-off", "emergency"]
        ),
        "independent": st.integers(0, 60),
        "bail_off": st.sampled_from(["none", "held", "released"]),
        "service_limit": st.integers(40, 70),
        "main_reservoir": st.integers(20, 150),
        "cut_off": st.sampled_from(["freight", "passenger", "out"]),
        "release_type": st.sampled_from(["direct", "graduated"]),
        "unit": st.sampled_from(["lead", "trailing", "dead"]),
        "dynamic_brake": st.sampled_from(["off", "on"]),
        "relay_ratio_independent": st.sampled_from(["1", "1.6"]),
    }
)


def posed(given: dict[str, object], **more: object) -> LocomotiveBrake:
    return ask(**{name: str(value) for name, value in (given | more).items()})


@given(settings, st.integers(0, 60), st.integers(0, 60))
def test_more_off_never_means_less_in_service(given: dict[str, object], one: int, two: int):
    less, more = sorted((one, two))
    given = given | {"handle": "service"}
    assert (
        posed(given, reduction=less).brake_cylinder
        <= posed(given, reduction=more).brake_cylinder + 1e-9
    )


@given(settings, st.integers(0, 60))
def test_nothing_stands_above_its_supply(given: dict[str, object], reduction: int):
    outcome = posed(given, reduction=reduction)
    main = float(str(given["main_reservoir"]))
    supply = min(main, 25) if given["unit"] == "dead" else main
    assert 0 <= outcome.brake_cylinder <= supply + 1e-9
    assert 0 <= outcome.brake_pipe <= float(str(given["brake_pipe_setting"])) + 1e-9
    assert outcome.pilot <= max(outcome.pipe_16, outcome.pipe_20)


@given(settings, st.integers(0, 60))
def test_exactly_one_step_decides_when_there_is_a_brake(given: dict[str, object], reduction: int):
    outcome = posed(given, reduction=reduction)
    if outcome.brake_cylinder > 0:
        assert len(decisive(outcome)) == 1


def test_answers_carry_no_verdict_of_their_own():
    found: Answer = answer(locomotive_brake, {})
    assert found.outcome is not None
    words = found.outcome.headline.text(Display()).lower()
    assert not {"go", "pass", "safe"} & set(words.split())


def test_a_main_reservoir_below_the_setting_says_why_the_pipe_stays_low():
    outcome = ask(handle="suppression", main_reservoir="10", earlier_reduction="20")
    step = next(step for step in outcome.working if step.label == "Brake pipe")
    assert outcome.brake_pipe < outcome.equalizing_reservoir
    assert "Cannot be fed above" in step.how.text(Display())


@given(
    handle=st.sampled_from(["release", "minimum-reduction", "service", "suppression", "emergency"]),
    setting=st.integers(40, 130),
    supply=st.integers(0, 150),
    earlier=st.integers(0, 40),
    cut_off=st.sampled_from(["freight", "passenger", "out"]),
)
def test_the_pipe_never_stands_above_what_it_was_charged_to(
    handle: str, setting: int, supply: int, earlier: int, cut_off: str
):
    outcome = ask(
        handle=handle,
        brake_pipe_setting=str(setting),
        reduction="10",
        main_reservoir=str(supply),
        earlier_reduction=str(earlier),
        cut_off=cut_off,
    )
    assert 0 <= outcome.brake_pipe <= min(setting, supply)
    assert outcome.car_brake_cylinder >= 0


@pytest.mark.parametrize(("independent", "over"), [("18", False), ("18.4", True), ("30", True)])
def test_too_much_air_in_dynamic_is_a_warning(independent: str, over: bool):
    found = ask(dynamic_brake="on", independent=independent)
    assert ("over the 18 psi" in warnings(found)) == over
