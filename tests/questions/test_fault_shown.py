"""Forward: what a fault of a size shows beside a brake in order, and where its family's page marks it."""

from __future__ import annotations

from pathlib import Path

import pytest

from calculators.answering.answer import Answer, answer
from calculators.answering.follow import finished
from calculators.base.results import Compared
from calculators.catalog import find_calculator
from calculators.equipment.faults import (
    FAMILIES,
    FAULTS,
    TRAIN_FAULTS,
    Fault,
    TrainFault,
    find_fault,
)
from calculators.finding.own import EXAMPLE, Own, example_rows, finder_for
from calculators.finding.series import NUMBER
from calculators.finding.showing import Shows, apart, at_once, size_at, worked_out
from calculators.rendering.answers.html import answer_html
from calculators.rendering.answers.json_form import answer_object
from calculators.rendering.answers.sheet import sheet_html
from calculators.rendering.answers.text import answer_text
from calculators.rendering.forms.form import form_html
from generator.embeds import Block
from generator.fault_pictures import marked_picture, place_of
from generator.finding_fragment import family_page, faults_looked_for, finding

ASK = find_calculator("fault-shown")
EVERY: tuple[Fault | TrainFault, ...] = (*FAULTS, *TRAIN_FAULTS)
CONTENT = Path(__file__).parents[2] / "content"


def asked(**entries: str) -> Answer:
    found = finished(answer(ASK, entries))
    assert found.errors == {}
    return found


def rows(found: Answer) -> dict[str, Compared]:
    assert found.outcome is not None
    (compared,) = found.outcome.compared
    return {row.name: row for row in compared.rows}


def cylinder(found: Answer, stage: str) -> tuple[int, int, bool]:
    """What the cylinder reads in order and with the fault, to a psi, and whether it is marked."""
    pair = rows(found)[stage].pairs[2]
    assert pair.usual is not None
    assert pair.shown is not None
    return round(pair.usual.amount), round(pair.shown.amount), pair.differs


# --- Figures --------------------------------------------------------------------------------------


def test_a_relay_that_gives_a_share_more_gives_it_at_every_stage():
    """By hand: 10 off asks 25 and full independent 45; a relay of 1.6 makes 40 and 72."""
    found = asked(fault="relay-ratio-high", size="100")
    assert cylinder(found, "10 off") == (25, 40, True)
    assert cylinder(found, "Independent full on") == (45, 72, True)
    assert cylinder(found, "Release") == (0, 0, False)


def test_a_gauge_that_is_off_is_off_by_the_same_everywhere():
    """TM 55-2210-224-34: a gauge is held against another; the air is as in order."""
    found = asked(fault="pipe-gauge-low", size="100")
    for name in ("Charged", "10 off", "30 off"):
        reservoir, pipe = rows(found)[name].pairs[:2]
        assert not reservoir.differs
        assert pipe.usual is not None
        assert pipe.shown is not None
        assert pipe.usual.amount - pipe.shown.amount == pytest.approx(20, abs=0.2)


def test_a_small_leak_of_pipe_16_is_fed_and_blows_on_and_a_large_one_stands_low():
    """A self-lapping valve feeds the leak as long as it can; it never lets go in lap."""
    fed = asked(fault="pipe-16-leaking", size="50")
    for name in ("10 off", "10 off, a minute later"):
        assert not cylinder(fed, name)[2]
        assert "pipe 16" in rows(fed)[name].said
    large = asked(fault="pipe-16-leaking", size="100")
    assert cylinder(large, "10 off")[1] < 15


def test_with_a_cock_nearly_closed_both_gauges_read_right():
    """NTSB-96C: only the exhaust and the cars tell."""
    found = asked(fault="cock-nearly-closed", cars="40", car="15")
    head, rear, _, exhaust, applied = rows(found)["10 off"].pairs
    assert not head.differs
    assert not rear.differs
    assert exhaust.differs
    assert applied.differs


def test_each_size_shows_at_least_what_a_smaller_one_does():
    """From just showing to complete the greatest difference grows."""
    for id in ("service-limit-low", "relay-ratio-low", "cylinder-gauge-high", "regulator-low"):
        fault = find_fault(id)
        most = [
            max(
                one.errors
                for one in apart(at_once(EXAMPLE, fault, size_at(EXAMPLE, fault, part / 4)))
            )
            for part in range(5)
        ]
        assert most == sorted(most), id


@pytest.mark.parametrize("id", ["pipe-16-leaking", "relay-ratio-low", "control-reservoir-leaking"])
def test_what_the_model_works_out_lies_between_the_two_kept_sizes(id: str):
    """As the line between them does: it is said to be one until the model has answered."""
    fault = find_fault(id)
    size = size_at(EXAMPLE, fault, 0.4)
    line = at_once(EXAMPLE, fault, size)
    *_, exact = worked_out(EXAMPLE, fault, size)
    assert isinstance(exact, Shows)
    assert not line.exact
    rows = [row for row in example_rows() if row.fault == id]
    for stage in ("ten-off", "thirty-off"):
        ends = [row.shows[NUMBER[stage]] for row in rows[1:3]]
        for found in (line.shown[NUMBER[stage]], exact.shown[NUMBER[stage]]):
            assert found is not None
            for gauge in range(3):
                low, high = sorted(one.gauges()[gauge] for one in ends if one is not None)
                assert low - 1 <= found.gauges()[gauge] <= high + 1


def test_the_kept_sizes_are_answered_at_once_and_by_the_model():
    """No wait for the example's settings at the sizes of the keys."""
    for fault in FAULTS:
        for part in (0, 25, 50, 75, 100) if fault.graded else (0,):
            found = answer(ASK, {"fault": fault.id, "size": str(part)})
            assert found.outcome is not None
            kept = [row.size for row in example_rows() if row.fault == fault.id]
            assert (found.outcome.to_follow is None) == (len(kept) in (1, 5) or part in (0, 100)), (
                fault.id
            )


def test_own_settings_follow_and_come_out_by_the_model():
    first = answer(ASK, {"fault": "relay-ratio-high", "size": "100", "brake_pipe_setting": "80"})
    assert first.outcome is not None
    assert first.outcome.to_follow is not None
    assert cylinder(finished(first), "10 off") == (25, 40, True)


def test_a_size_that_settings_leave_no_room_for_is_said():
    found = asked(fault="regulator-low", size="100", brake_pipe_setting="60")
    assert "cannot be run" in answer_text(found)


def test_a_car_that_is_not_in_the_train_is_refused():
    assert set(answer(ASK, {"fault": "car-cut-out", "cars": "5", "car": "9"}).errors) == {"car"}
    low = answer(ASK, {"fault": "car-cut-out", "brake_pipe_setting": "40"})
    assert set(low.errors) == {"brake_pipe_setting"}


# --- Ways out -------------------------------------------------------------------------------------


def test_every_way_out_marks_what_differs_by_a_sign():
    found = asked(fault="relay-ratio-high", size="100")
    for out in (answer_html(found, id="x"), sheet_html(found)):
        assert "<strong>≠ 40</strong> not 25" in out
        assert "Brake cylinder, psi" in out
    assert "brake cylinder 40 psi, in order 25 psi" in " ".join(answer_text(found).split())
    in_bar = answer_html(asked(fault="relay-ratio-high", size="100", pressure_unit="bar"), id="x")
    assert "<strong>≠ 2.75</strong> not 1.72" in in_bar
    (compared,) = answer_object(found)["compared"]
    ten = next(row for row in compared["rows"] if row["name"] == "10 off")
    assert ten["figures"]["Brake cylinder"]["differs"]
    assert not ten["figures"]["Brake pipe"]["differs"]


def test_the_cautions_come_first():
    html = answer_html(asked(fault="relay-ratio-high"), id="x")
    assert html.index("Secure first") < html.index("The series, stage by stage")


def test_the_keys_of_a_family_stand_open_and_the_others_fold_up():
    form = form_html(answer(ASK, {"fault": "bail-off-lost"}), id="x")
    open_, folded = form.split("Something else", 1)
    assert 'value="actuating-pipe-leaking"' in open_
    assert 'value="pipe-gauge-low"' not in open_
    assert 'value="pipe-gauge-low"' in folded


# --- Pages ----------------------------------------------------------------------------------------


def made(family: str) -> str:
    page = Path("faults") / f"{family}.md"
    return finding(CONTENT, Block(subject="family", settings={"of": family}, number=1, page=page))


def test_every_family_has_its_page_and_every_fault_stands_on_one():
    for family in FAMILIES:
        text = (CONTENT / "faults" / f"{family.id}.md").read_text(encoding="utf-8")
        assert f"of = {family.id}\n" in text
        assert text.index("```protection") < text.index("\n## ")
    for fault in EVERY:
        assert (CONTENT / family_page(fault)).is_file()


@pytest.mark.parametrize("family", [one.id for one in FAMILIES])
def test_a_familys_page_has_each_fault_with_its_proof_its_end_and_its_mark(family: str):
    html = made(family)
    for fault in EVERY:
        if family_page(fault).stem == family:
            assert f'id="{fault.id}"' in html
            assert f"fault-shown/?v=1&amp;fault={fault.id}" in html
            assert f'href="../../parts/{fault.part}/"' in html
    assert 'class="fault-ring"' in html
    assert "What is done: " in html


def test_those_with_the_same_gauges_lead_to_each_other():
    assert 'href="../../faults/automatic-lost/#double-check-to-20"' in made("automatic-lost")


def test_a_fault_that_no_gauge_shows_says_so_on_its_page():
    silent = [one for one in FAULTS if one.id in finder_for(EXAMPLE).silent]
    assert silent
    for fault in silent:
        entry = made(family_page(fault).stem).split(f'id="{fault.id}"', 1)[1].split("</ul>", 1)[0]
        assert "The gauges read as in order." in entry


def test_a_family_that_is_none_stops_the_build():
    with pytest.raises(LookupError, match="no family"):
        made("nothing")


def test_places_are_numbered_once_on_the_circuit():
    faults = [one for one in FAULTS if one.family == "gauges"]
    svg, numbers = marked_picture("charging", faults, id="x")
    assert sorted(set(numbers.values())) == [1, 2, 3, 4]
    assert len([one for one in svg.iter() if one.get("class") == "fault-ring"]) == 4
    assert {place_of(one) for one in TRAIN_FAULTS} == {"train"}


def test_the_part_leads_to_the_family_and_the_answer_to_its_members_families():
    assert 'href="../../faults/relay/#relay-supply-leaking"' in faults_looked_for(
        Path("parts/relay-valve.md")
    )
    found = answer(find_calculator("find-fault"), {"observations": "ten-off cylinder 40"})
    html = answer_html(found, id="x", page="../../calculators/find-fault/")
    assert "/faults/relay/" in html


def test_a_link_of_own_settings_shifts_the_sizes_by_nothing():
    """The sizes of the keys are those of the example, whatever is set."""
    fault = find_fault("pipe-20-leaking")
    own = Own(brake_pipe_setting=80.0)
    assert size_at(own, fault, 0.5) == size_at(EXAMPLE, fault, 0.5)
