"""The one answer: origins, errors, links, settings, units."""

from __future__ import annotations

from urllib.parse import parse_qsl

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.answering.links import LINK_VERSION, restated, text_of
from calculators.base.quantities import Choice, Option, Text
from calculators.catalog import every_calculator, find_calculator

CALCULATORS = every_calculator()

LOCOMOTIVE = find_calculator("locomotive-brake")
EXAMPLE = {
    "brake_pipe_setting": "85",
    "handle": "service",
    "reduction": "12",
    "service_limit": "58",
    "independent": "20",
}


def test_the_worked_example_of_the_trade():
    results = answer(LOCOMOTIVE, EXAMPLE).results()

    assert results["equalizing_reservoir"] == 73
    assert results["brake_pipe"] == 73
    assert results["pipe_16"] == 30
    assert results["pilot"] == 30
    assert results["decided_by"] == "pipe 16"
    assert results["brake_cylinder"] == 30


def test_raw_beats_settings_beats_default():
    found = answer(
        LOCOMOTIVE, {"reduction": "8"}, settings={"reduction": "9", "service_limit": "55"}
    )
    by_name = {item.name: item for item in found.inputs}

    assert (by_name["reduction"].value, by_name["reduction"].origin) == (8, "typed")
    assert (by_name["service_limit"].value, by_name["service_limit"].origin) == (55, "settings")
    assert by_name["emergency_limit"].origin == "default"
    assert [(d.term, d.here, d.settings) for d in found.differences] == [
        ("Reduction", "8 psi", "9 psi")
    ]


def test_settings_that_say_the_same_are_no_difference():
    found = answer(
        LOCOMOTIVE, {"reduction": "10 psi"}, settings={"reduction": "10", "independent": "x"}
    )
    assert found.differences == ()


def test_a_broken_setting_is_reported_like_any_input():
    found = answer(LOCOMOTIVE, {}, settings={"service_limit": "585"})
    assert found.errors == {
        "service_limit": "Service limiting valve set at is 585 psi; it must be between 0 and 150 psi."
    }
    assert found.results() == {}
    typed = answer(LOCOMOTIVE, {"service_limit": "58"}, settings={"service_limit": "585"})
    assert [d.settings for d in typed.differences] == ["585 psi"]


def test_one_bad_field_keeps_the_others():
    found = answer(LOCOMOTIVE, EXAMPLE | {"service_limit": "abc"})
    assert set(found.errors) == {"service_limit"}
    assert {item.name: item.text for item in found.inputs}["reduction"] == "12"
    assert found.outcome is None


def test_an_error_of_the_whole_question_lands_on_a_field():
    found = answer(LOCOMOTIVE, {"brake_pipe_setting": "70", "reduction": "71"})
    assert list(found.errors) == ["reduction"]
    assert "only 70 psi" in found.errors["reduction"]


def test_link_holds_every_input_and_answers_alike():
    found = answer(
        LOCOMOTIVE, EXAMPLE | {"limit.main-reservoir-over-brake-pipe": "20", "pressure_unit": "bar"}
    )
    pairs = dict(parse_qsl(found.link_query(), keep_blank_values=True))

    assert pairs["v"] == str(LINK_VERSION)
    assert set(LOCOMOTIVE.inputs()) <= set(pairs)
    again = answer(LOCOMOTIVE, pairs, settings={"service_limit": "40", "multiplier": "3"})
    assert again.results() == found.results()
    assert again.display == found.display
    assert [v.own for v in again.verdicts] == [True, False]


@pytest.mark.parametrize(
    ("entries", "field", "words"),
    [
        ({"colour": "red"}, "colour", 'knows no field "colour" (given as "red")'),
        ({"reductoin": "9"}, "reductoin", 'Is "reduction" meant?'),
        ({"v": "2"}, "v", "made by a later version"),
        ({"v": "abc"}, "v", 'version is "abc"; this copy knows 1'),
        ({"v": "-1"}, "v", 'version is "-1"'),
        ({"limit.nope": "3"}, "limit.nope", "nope"),
        ({"limit.main-reservoir-over-brake-pipe": "x"}, None, 'is "x"'),
        ({"edition.nope": "x"}, "edition.nope", 'knows no field "edition.nope"'),
        (
            {"edition.air-flow-two-sources": "banana"},
            "edition.air-flow-two-sources",
            '(given as "banana")',
        ),
    ],
)
def test_what_a_link_may_not_hold_is_refused_in_words(
    entries: dict[str, str], field: str | None, words: str
):
    """A wrong part is never left out: the question was another one."""
    found = answer(LOCOMOTIVE, EXAMPLE | entries)
    assert found.outcome is None
    assert found.verdicts == ()
    assert words in found.errors[field or next(iter(entries))]
    assert answer(LOCOMOTIVE, EXAMPLE | {"v": "1"}).outcome is not None


def test_a_wrong_word_removes_no_limit():
    """Seen in trials: with an edition that is none, both limits were called not applicable."""
    asked = {"air_sources": "two-or-more", "air_flow": "80"}
    flow = find_calculator("leakage-and-flow")
    verdicts = answer(flow, asked).verdicts
    assert any(verdict.standing != "not applicable" for verdict in verdicts)
    wrong = answer(flow, asked | {"edition.air-flow-two-sources": "banana"})
    assert (wrong.outcome, wrong.verdicts) == (None, ())


def test_the_unit_that_pressures_are_shown_in():
    assert answer(LOCOMOTIVE, {"reduction": "0.8 bar"}).display.pressure == "bar"
    assert (
        answer(LOCOMOTIVE, {"reduction": "0.8 bar", "pressure_unit": "kPa"}).display.pressure
        == "kPa"
    )
    assert answer(LOCOMOTIVE, {}, settings={"pressure_unit": "kPa"}).display.pressure == "kPa"
    assert answer(LOCOMOTIVE, {"reduction": "8 psi"}).display.pressure == "psi"
    wrong = answer(LOCOMOTIVE, {"pressure_unit": "furlong"})
    assert (
        wrong.errors["pressure_unit"] == 'Pressures in is "furlong"; choose one of: psi, kPa, bar.'
    )


def test_own_limits_are_checked_too():
    wrong = answer(LOCOMOTIVE, {"limit.main-reservoir-over-brake-pipe": "x", "limit.nothing": "3"})
    assert set(wrong.errors) == {"limit.main-reservoir-over-brake-pipe", "limit.nothing"}


def test_restating_pressures():
    said = restated(
        LOCOMOTIVE, {"reduction": "10", "service_limit": "bad", "multiplier": "2"}, "kPa"
    )
    assert said["reduction"] == "68.9 kPa"
    assert "service_limit" not in said
    assert "multiplier" not in said
    assert restated(LOCOMOTIVE, {"reduction": "100 kPa"}, "psi")["reduction"] == "14.5"


def test_text_of_values():
    choice = Choice(term="x", options=(Option(value="a", words="a"),))
    assert text_of(choice, "a") == "a"
    assert text_of(choice, None) == ""
    with pytest.raises(TypeError):
        text_of(choice, 3.0)


@pytest.mark.parametrize("name", CALCULATORS)
def test_the_example_answers(name: str):
    found = answer(CALCULATORS[name], {}, example=True)
    assert found.errors == {}
    assert found.outcome is not None


@pytest.mark.parametrize("name", CALCULATORS)
@given(data=st.data())
def test_any_text_gives_an_answer_or_errors(name: str, data: st.DataObject):
    calculator = CALCULATORS[name]
    texts = st.one_of(
        st.text(max_size=30),
        st.sampled_from(["", "0", "1", "-1", "1e9", "90", "nan", "inf", "5 bar", "9" * 12]),
    )
    fields = data.draw(st.dictionaries(st.sampled_from([*calculator.inputs()]), texts, max_size=4))
    found = answer(calculator, fields, example=True)
    assert (found.outcome is None) == bool(found.errors)


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_end_of_every_range_answers(name: str):
    """Each input alone at its lowest and highest value: an answer, or an error in words."""
    calculator = CALCULATORS[name]
    for field, description in calculator.inputs().items():
        if isinstance(description, Text):
            continue
        ends = (
            [option.value for option in description.options]
            if isinstance(description, Choice)
            else [repr(end) for end in (description.low, description.high) if end is not None]  # type: ignore[union-attr]
        )
        for end in ends:
            text = end.removesuffix(".0")
            found = answer(calculator, {field: text}, example=True)
            assert (found.outcome is None) == bool(found.errors)
            for message in found.errors.values():
                assert message.endswith(".")


@pytest.mark.parametrize(
    "name",
    [n for n, c in CALCULATORS.items() if {"cars", "brake_pipe_setting"} <= set(c.inputs())],
)
def test_a_train_set_under_the_rule_for_the_road_is_remarked(name: str):
    """49 CFR 232.103(o)(1): at least 90 on the road, 60 in switching; a note, and no refusal."""
    words = "at least 90 psi, in switching to 60 psi"

    def said(setting: str) -> int:
        found = finished(answer(CALCULATORS[name], {"brake_pipe_setting": setting}, example=True))
        assert found.outcome is not None
        return [words in n.text.text(found.display) for n in found.outcome.notes].count(True)

    assert (said("89"), said("90"), said("110")) == (1, 0, 0)


def test_an_own_figure_is_one_wherever_it_is_said():
    """The railroad's setting, a link's own limit and the calculator's input mean the same."""
    test = find_calculator("brake-test")
    asked = {"event": "unchanged", "hours_off_air": "6"}
    by_settings = answer(test, asked, settings={"limit.off-air-hours": "4"})
    by_link = answer(test, asked | {"limit.off-air-hours": "4"})
    by_input = answer(test, asked | {"own_off_air_hours": "4"})

    assert by_settings.results() == by_link.results() == by_input.results()
    assert by_input.results()["test"] == "class-1"
    for found in (by_settings, by_link, by_input):
        assert [(v.own, v.standing) for v in found.verdicts if "off-air" in v.limit.id] == [
            (True, "not within"),
            (False, "within"),
        ]
        again = answer(test, dict(parse_qsl(found.link_query(), keep_blank_values=True)))
        assert again.results() == found.results()
    assert answer(test, asked).results()["test"] == "none"
