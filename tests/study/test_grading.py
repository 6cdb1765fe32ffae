"""An answer is right, or a mistake by its name, or another figure; and a sum fades from its end."""

from __future__ import annotations

import pytest

from calculators.base.results import Display
from calculators.study.catalog import SKILLS
from calculators.study.fading import EXAMPLE, faded
from calculators.study.grading import judged
from calculators.study.items import item
from calculators.study.schedule import STAGES

LIMIT = item("loco-cylinder.limit-forgotten", "1")


def test_a_typed_figure_is_right_within_its_room():
    right = LIMIT.right.value
    assert right is not None
    for text in (f"{right:g}", f"{right + 1.4:g}", f"{right - 1.4:g} psi", LIMIT.right.words):
        assert judged(LIMIT, text).right, text
    for text in (f"{right + 1.6:g}", f"{right - 1.6:g}", "0", "150"):
        assert not judged(LIMIT, text).right, text


def test_a_figure_in_another_unit_means_the_same():
    one = item("loco-cylinder.limit-forgotten", "1", display=Display(pressure="bar"))
    assert one.right.words.endswith("bar")
    bare = one.right.words.removesuffix(" bar")
    assert judged(one, bare, display=Display(pressure="bar")).right
    assert judged(one, f"{one.right.value} psi", display=Display(pressure="bar")).right
    assert not judged(one, bare, display=Display(pressure="psi")).right


@pytest.mark.parametrize("skill", SKILLS)
def test_every_mistakes_figure_is_recognised(skill: str):
    for seed in "abc":
        one = item(skill, seed)
        for wrong in one.wrong:
            text = wrong.words if wrong.value is None else f"{wrong.value:.6g}"
            found = judged(one, text)
            assert not found.right
            assert found.mistake is not None
            assert found.mistake.mistake == wrong.mistake
        assert judged(one, one.right.words).right


def test_what_is_no_answer_is_refused_in_words():
    for text in ("", "abc", "12 parsecs", "1e999", "9" * 400, "<b>"):
        found = judged(LIMIT, text)
        assert found.error
        assert not found.right
    choice = item("loco-decides.pipes-added", "1")
    assert judged(choice, "banana").error


def test_a_sum_fades_from_its_end():
    whole = faded(LIMIT, EXAMPLE)
    assert whole.steps[-1].value == LIMIT.right.words
    assert whole.shows == LIMIT.wrong[0].words
    assert LIMIT.wrong[0].name in whole.names
    last, two, nothing = (faded(LIMIT, stage) for stage in range(1, STAGES))
    assert last.steps == whole.steps[:-1]
    assert last.left_out == (whole.steps[-1].label,)
    assert two.steps == whole.steps[:-2]
    assert len(two.left_out) == 2
    assert not nothing.steps
    assert not nothing.shows


def test_choices_begin_without_an_example():
    choice = item("loco-decides.pipes-added", "1")
    assert not faded(choice, EXAMPLE).steps
