"""The table, the ranking and the next check: what must be true of every answer."""

from __future__ import annotations

from itertools import permutations
from random import Random
from types import SimpleNamespace

import pytest

from calculators.base.errors import InputError
from calculators.base.results import Display, Value
from calculators.base.wording import inside
from calculators.catalog import find_calculator
from calculators.equipment.faults import FAULTS, find_fault
from calculators.finding.checking import proof_checks, stage_checks
from calculators.finding.kept import MADE_OF
from calculators.finding.making import INDEPENDENT, SETUP, made_of
from calculators.finding.observing import Read, as_text, read
from calculators.finding.own import EXAMPLE, Own, example_rows, finder_for
from calculators.finding.ranking import START, foreseen
from calculators.finding.series import (
    FULL_SERIES,
    GAUGES,
    NUMBER,
    PISTONS,
    STAGES,
    find_stage,
    way_to,
)
from calculators.finding.signatures import Asked, signature
from calculators.finding.table import errors_at
from calculators.questions.find_fault import words
from calculators.questions.find_fault.declaration import FindFault
from calculators.questions.find_fault.words import NEAR, SHOWN

ASK = find_calculator("find-fault")
FINDER = finder_for(EXAMPLE)


def ask(**entries: str | float) -> FindFault:
    found = ASK.outcome(**entries)
    assert isinstance(found, FindFault)
    return found


def group_named(text: str, place: int = 0) -> list[str]:
    return FINDER.groups[FINDER.ranked(read(text))[place].group]


# --- The series -----------------------------------------------------------------------------------


def test_the_series_is_seventeen_stages_and_never_an_emergency():
    assert len(STAGES) == 17
    assert not [stage for stage in STAGES if "emergency" in stage.move]
    assert 500 < FULL_SERIES < 750
    assert "Only then IN" in find_stage("cut-in").does


def test_the_way_to_a_stage_begins_where_it_stands():
    assert [s.id for s in way_to(find_stage("ten-off-60"), "")] == [
        "charged",
        "ten-off",
        "ten-off-60",
    ]
    assert [s.id for s in way_to(find_stage("ten-off-60"), "ten-off")] == ["ten-off-60"]


# --- The table ------------------------------------------------------------------------------------


def test_the_kept_table_is_of_these_faults_and_stages():
    assert made_of() == MADE_OF, "run: python3 build faults"
    assert {row.fault for row in example_rows()} == {"", *(fault.id for fault in FAULTS)}


def test_rows_drawn_from_the_kept_table_are_what_the_model_says_now():
    for row in Random(3).sample(example_rows()[1:], 6):
        now = signature(
            SETUP, find_fault(row.fault), row.size, asked=Asked(independent=INDEPENDENT)
        )
        for kept, shown in zip(row.shows, now, strict=True):
            assert (kept is None) == (shown is None)
            if kept is not None and shown is not None:
                assert kept.gauges() == pytest.approx(shown.gauges(), abs=0.6), row.fault


def test_the_five_that_take_the_automatic_away_are_one_group():
    """Computed, never typed."""
    group = FINDER.groups[FINDER.group_of["bail-off-stuck"]]
    assert set(group) == {
        "bail-off-stuck",
        "dynamic-interlock-stuck",
        "control-valve-cut-out",
        "double-check-to-20",
        "pipe-16-blocked",
    }


def test_every_fault_comes_out_of_its_own_full_readings():
    """All gauges, all sounds, at its worst: its group first."""
    wrong = []
    for fault in FAULTS:
        shows = [row.shows for row in example_rows() if row.fault == fault.id][-1]
        said = [
            f"{stage.id} {gauge} {round(figure)}"
            for stage, shown in zip(STAGES, shows, strict=True)
            if shown is not None
            for gauge, figure in zip(GAUGES, shown.gauges(), strict=True)
        ]
        said += [
            entry
            for stage, shown in zip(STAGES, shows, strict=True)
            if shown is not None
            for entry in (
                *(f"{stage.id} blows {place}" for place in shown.blows),
                *(
                    f"{stage.id} piston {truck} {'out' if out else 'in'}"
                    for truck, out in zip(PISTONS, shown.out, strict=True)
                ),
            )
        ]
        group = group_named("; ".join(said))
        if fault.id not in group:
            wrong.append((fault.id, group))
    assert wrong == []


# --- Observations ---------------------------------------------------------------------------------


def test_order_of_entry_is_nothing():
    entries = ["ten-off cylinder 30", "charged blows relay-exhaust", "thirty-off usual"]
    assert len({read("; ".join(order)) for order in permutations(entries)}) == 1


def test_an_entry_comes_back_as_it_was_typed():
    text = "charged pipe 90; ten-off blows pipe-16; ten-off piston other-truck in; thirty-off usual; not bail-off-stuck"
    assert "; ".join(as_text(one) for one in read(text)) == text


@pytest.mark.parametrize(
    "text",
    [
        "ten-off",
        "nowhere cylinder 3",
        "ten-off cylinder much",
        "ten-off cylinder -1",
        "ten-off cylinder 999",
        "ten-off cylinder nan",
        "ten-off blows somewhere",
        "found nothing-known",
        "ten-off cylinder 30; ten-off cylinder 12",
        "charged blows pipe-16; charged quiet pipe-16",
    ],
)
def test_what_says_nothing_known_is_refused_in_words(text: str):
    with pytest.raises(InputError) as refused:
        read(text)
    assert refused.value.field == "observations"


# --- Ranking --------------------------------------------------------------------------------------


def test_the_headline_names_what_weighs_and_contradicts_nothing():
    """One group when only one is near the first; those near it, and no others, when more are."""
    lone = several = 0
    for fault in FAULTS:
        shows = [row.shows for row in example_rows() if row.fault == fault.id][-1]
        said = "; ".join(
            f"{stage.id} cylinder {round(shown.gauges()[GAUGES.index('cylinder')])}"
            for stage, shown in zip(STAGES[:9], shows, strict=False)
            if shown is not None
        )
        ranked = FINDER.ranked(read(said))
        words = ask(observations=said).headline.text(Display()).partition(" Look at next")[0]
        if ranked[0].against or "" in FINDER.groups[ranked[0].group]:
            continue
        near = [one for one in ranked if one.weight > NEAR and not one.against]
        lone, several = lone + (len(near) == 1), several + (len(near) > 1)
        # Of the first few only; each names its faults by their titles.
        for one in ranked[:SHOWN]:
            named = [inside(find_fault(id).title) for id in FINDER.groups[one.group] if id]
            told = [title for title in named if title in words]
            assert told == (named if one in near or one is ranked[0] else []), (fault.id, named)
        assert ("these fit" in words) == (len(near) > 1), fault.id
    assert lone > 5
    assert several > 2


def test_nothing_read_gives_the_series():
    found = ask()
    assert found.faults == "nothing read yet"
    assert "series" in found.headline.template
    assert found.next_check


def test_healthy_is_never_said_before_the_series_is_complete():
    for text in ("charged usual", "ten-off usual; thirty-off usual", "charged pipe 90"):
        words = ask(observations=text).headline.template
        assert "not complete" in words
        assert "Nothing wrong" not in words
    whole = ask(observations="rest usual")
    assert "Nothing wrong within gauge error" in whole.headline.template
    assert "pistons" in whole.not_looked_at


def test_contradicting_readings_are_said_to_contradict():
    found = ask(
        observations="charged cylinder 0; charged-60 cylinder 70; ten-off cylinder 0; thirty-off cylinder 70; "
        "independent cylinder 0; released cylinder 70"
    )
    assert found.contradicts != "nothing that was seen"


def test_no_answer_is_a_bare_percentage():
    for text in ("", "ten-off cylinder 30", "rest usual"):
        found = ask(observations=text)
        said = " ".join((found.faults, found.next_check, found.headline.template))
        assert "%" not in said


def test_what_contradicts_a_reading_never_stands_before_what_does_not():
    draw = Random(8)
    for _ in range(6):
        row = draw.choice(example_rows()[1:])
        said = [
            Read(number, gauge, max(0.0, round(shown.gauges()[gauge] + draw.gauss(0, 1))))
            for number, shown in enumerate(row.shows)
            if shown is not None
            for gauge in (0, 1, 2)
            if draw.random() < 0.3
        ]
        ranked = FINDER.ranked(tuple(sorted(said)))
        against = [any(isinstance(o, Read) for o in one.against) for one in ranked]
        assert against == sorted(against)


def test_a_cylinder_at_30_leads_to_the_group_and_the_check():
    """The job: 10 off reads 30, not 25."""
    found = ask(observations="ten-off cylinder 31; ten-off pipe 80; independent cylinder 54")
    assert "relay gives too much" in found.faults
    assert found.next_check


# --- The next check -------------------------------------------------------------------------------


def test_ground_checks_come_only_once_secured():
    seen = read(
        "ten-off pipe 80; ten-off cylinder 0; thirty-off cylinder 0; independent cylinder 45"
    )
    weights = FINDER.weigh(seen)
    groups = {FINDER.group_of["control-valve-cut-out"]}
    unsaid = proof_checks(FINDER, weights, seen, groups=groups, secured=False)
    said = proof_checks(FINDER, weights, seen, groups=groups, secured=True)
    assert not [c for c in unsaid if c.fault.proof.where == "ground"]
    assert [c for c in said if c.fault.proof.where == "ground"]


def test_a_found_check_settles_among_those_with_the_same_gauges():
    text = "ten-off cylinder 0; independent cylinder 45; found dynamic-interlock-stuck"
    seen = read(text)
    weights = FINDER.weigh(seen)
    best = max(range(len(weights)), key=lambda n: weights[n])
    assert FINDER.hypotheses[best].fault == "dynamic-interlock-stuck"


def test_a_stage_already_read_is_not_offered_again():
    seen = read("charged pipe 90; ten-off cylinder 0")
    offered = stage_checks(FINDER, FINDER.weigh(seen), seen)
    assert offered
    assert not {NUMBER[c.stage.id] for c in offered} & {NUMBER["charged"], NUMBER["ten-off"]}


# --- Own settings ---------------------------------------------------------------------------------


def test_own_settings_move_what_is_in_order():
    own = finder_for(Own(brake_pipe_setting=80.0, service_limit=55.0, independent=40.0))
    shown = own.in_order[NUMBER["thirty-off"]]
    assert shown is not None
    assert (shown.pipe, shown.cylinder) == pytest.approx((50.0, 55.0), abs=1.0)
    alone = own.in_order[NUMBER["independent"]]
    assert alone is not None
    assert alone.cylinder == pytest.approx(40.0, abs=1.0)
    assert max(errors_at(shown)[:3]) <= 3.0


def test_own_settings_are_followed_exactly_with_progress():
    found = ask(observations="ten-off cylinder 31; ten-off pipe 70", brake_pipe_setting=80.0)
    assert found.to_follow is not None
    work = found.to_follow.work()
    first = next(work)
    assert 0 < first.done <= first.of


@pytest.mark.parametrize("stage", ["ten-off", "thirty-off", "independent"])
def test_one_reading_beyond_error_and_spread_is_never_called_in_order(stage: str):
    """Three standard deviations of gauge, settings, handle and reading together, either way.

    A cylinder at 30 where 25 is in order lies within them: a handle 2 psi off its place gives it, and the
    answer says so.
    """
    number = NUMBER[stage]
    expects = FINDER.hypotheses[0].expects[number]
    assert expects is not None
    usual, variance = foreseen(START, expects[2], 2)
    for off in (-3.2, 3.2):
        figure = usual + off * variance**0.5
        ranked = FINDER.ranked((Read(number, 2, figure),))
        assert FINDER.groups[ranked[0].group] != [""], (stage, figure)
    near = FINDER.ranked((Read(number, 2, usual + 2.0 * variance**0.5),))
    assert FINDER.groups[near[0].group] == [""]


@pytest.mark.parametrize(
    ("figure", "explained"), [(35.0, False), (36.5, False), (36.8, True), (41.0, True)]
)
def test_a_fault_explains_what_is_twice_as_near_to_it_as_to_one_in_order(figure, explained):
    """Of 30 in order and 40 foreseen: from two thirds of the way on."""
    hypothesis = SimpleNamespace(expects=[[SimpleNamespace(figure=40.0)]])
    found = SimpleNamespace(finder=SimpleNamespace(hypotheses=[hypothesis]))
    said = Read(stage=0, gauge=0, figure=figure)
    one = SimpleNamespace(hypothesis=0)
    assert words._explains(found, one, said, Value(30.0, "psi")) == explained  # type: ignore[arg-type]
