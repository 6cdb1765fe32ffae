"""From typed text to values: what is taken, and the words for what is not."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.base.errors import InputError
from calculators.base.fields import LONGEST, LONGEST_LIST, check_range, parse, range_words, typed
from calculators.base.quantities import Choice, Option, Quantity, Text, Words
from calculators.base.units import convert, units_of

PRESSURE = Quantity(term="Service limit", unit="psi", low=0, high=150)
TRAVEL = Quantity(term="Piston travel", unit="in", low=1, high=12)
GRADE = Quantity(term="Grade", unit="%", low=-5, high=5)
CARS = Quantity(term="Cars", unit="", low=1, high=250, whole=True)
SETS = Quantity(term="Reductions", unit="psi", low=0, high=90, many=True)
FREE = Quantity(term="Value", unit="")
DOWNWARD = Quantity(term="Depth", unit="ft", high=5)
UPWARD = Quantity(term="Length", unit="ft", low=5)
VALVE = Choice(
    term="Bail-off",
    options=(
        Option(value="none", words="not used", spellings=("no",)),
        Option(value="held", words="held"),
    ),
)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("85", 85),
        ("85 psi", 85),
        (" 85PSI ", 85),
        ("5.9 bar", convert(5.9, "bar", "psi")),
        ("620 kPa", convert(620, "kPa", "psi")),
        ("0.5", 0.5),
        (".5", 0.5),
        ("5.", 5),
        ("+5", 5),
    ],
)
def test_pressures_as_typed(text: str, value: float):
    assert parse("service_limit", PRESSURE, text) == pytest.approx(value, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("7 1/2", 7.5),
        ("7-1/2 in", 7.5),
        ("8 1/2 inches", 8.5),
        ("3/2", 1.5),
        ("190 mm", 190 / 25.4),
    ],
)
def test_travels_as_typed(text: str, value: float):
    assert parse("piston_travel", TRAVEL, text) == pytest.approx(value)


@pytest.mark.parametrize(("text", "value"), [("-1.5", -1.5), ("−1.5 %", -1.5), ("–2 percent", -2)])
def test_signs(text: str, value: float):
    assert parse("grade", GRADE, text) == value


@pytest.mark.parametrize(
    ("text", "values"),
    [
        ("6, 10, 12", (6, 10, 12)),
        ("6,10,12", (6, 10, 12)),
        ("6 psi; 10", (6, 10)),
        ("6 then 10", (6, 10)),
        ("0.5 bar, 7", (convert(0.5, "bar", "psi"), 7)),
    ],
)
def test_lists(text: str, values: tuple[float, ...]):
    assert parse("reductions", SETS, text) == pytest.approx(values)


def test_thousands_and_unbounded_numbers():
    assert parse("value", FREE, "1,200") == 1200
    assert parse("depth", DOWNWARD, "-3") == -3
    assert parse("length", UPWARD, "1,200 ft") == 1200


@pytest.mark.parametrize(
    ("description", "text", "message"),
    [
        (PRESSURE, "585", "Service limit is 585 psi; it must be between 0 and 150 psi."),
        (PRESSURE, "-1", "Service limit is -1 psi; it must be between 0 and 150 psi."),
        (
            PRESSURE,
            "40 bar",
            "Service limit is 40 bar (that is 580.2 psi); it must be between 0 and 150 psi.",
        ),
        (PRESSURE, "abc", 'Service limit is "abc"; write a number, for example 150 or 150 psi.'),
        (PRESSURE, "", "Service limit is empty; write a number, for example 150 or 150 psi."),
        (PRESSURE, ".", 'Service limit is "."; write a number, for example 150 or 150 psi.'),
        (
            PRESSURE,
            "12 mph",
            'Service limit is "12 mph"; mph is a speed, not a pressure; write it in psi or kPa or bar or kgf/cm² or MPa.',
        ),
        (
            PRESSURE,
            "12 furlongs",
            'Service limit is "12 furlongs"; "furlongs" is no unit this field knows; write it in psi or kPa or bar or kgf/cm² or MPa.',
        ),
        (TRAVEL, "7 1/0", 'Piston travel is "7 1/0"; nothing can be over 0.'),
        (CARS, "10.5", "Cars is 10.5; it must be a whole number."),
        (CARS, "0", "Cars is 0; it must be between 1 and 250."),
        (
            CARS,
            "3 psi",
            'Cars is "3 psi"; psi is a pressure, not a plain number; write a plain number.',
        ),
        (DOWNWARD, "6", "Depth is 6 ft; it must be 5 ft or less."),
        (UPWARD, "4", "Length is 4 ft; it must be 5 ft or more."),
        (GRADE, "9", "Grade is 9%; it must be between -5 and 5%."),
        (SETS, "", "Reductions is empty; write numbers parted by commas."),
        (SETS, "6, x", 'Reductions is "x"; write a number, for example 90 or 90 psi.'),
        (VALVE, "pressed", 'Bail-off is "pressed"; choose one of: none, held.'),
    ],
)
def test_errors_name_field_value_and_limit(description: Quantity | Choice, text: str, message: str):
    with pytest.raises(InputError) as caught:
        parse("name", description, text)
    assert caught.value.message == message
    assert caught.value.field == "name"


def test_long_texts_are_not_echoed():
    with pytest.raises(InputError, match="too long a text"):
        parse("x", PRESSURE, "9" * (LONGEST + 1))
    with pytest.raises(InputError, match="too long a list"):
        parse("x", SETS, "9, " * 500)
    with pytest.raises(InputError, match="has 41 numbers; at most 40"):
        parse("x", SETS, ", ".join(["9"] * 41))


def test_choices_take_their_spellings():
    assert parse("bail_off", VALVE, " None ") == "none"
    assert parse("bail_off", VALVE, "NO") == "none"


def test_a_result_is_no_input():
    with pytest.raises(TypeError):
        parse("decided_by", Words(term="Decided by"), "x")


@given(st.text(max_size=80))
def test_any_text_is_a_value_or_an_input_error(text: str):
    for description in (PRESSURE, TRAVEL, GRADE, CARS, SETS, FREE, VALVE):
        assert outcome_of(description, text)


def outcome_of(description: Quantity | Choice, text: str) -> bool:
    """Whether parsing gave a value, or an error in the field's own words."""
    try:
        return parse("field", description, text) is not None
    except InputError as error:
        return error.message.startswith(description.term)


@given(st.floats(0, 150), st.sampled_from([u.symbol for u in units_of("pressure")]))
def test_round_trip_through_any_pressure_unit(value: float, unit: str):
    text = f"{convert(value, 'psi', unit):.10f} {unit}"
    assert typed("service_limit", PRESSURE, text).value == pytest.approx(value, abs=1e-5)


def test_a_range_without_bounds_says_only_what_a_number_is():
    free = Quantity(term="Slope", unit="%")
    assert range_words(free) == "it must be a number"
    with pytest.raises(InputError, match="Slope is endless; write a number, for example 12"):
        check_range("slope", free, float("inf"), said="endless")


def test_texts_have_a_longest_length_and_single_spaces():
    text = Text(term="Moves", help="what is done, in order")
    assert parse("moves", text, "  take 10 \n wait  60 ") == "take 10 wait 60"
    with pytest.raises(InputError, match="Moves is too long a text; shorten it"):
        parse("moves", text, "x" * (LONGEST_LIST + 1))


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("12 pounds", 12),
        ("12 lb", 12),
        ("1 pound", 1),
        ("0.3333333333333333", 1 / 3),
        ("85.57226515890001", 85.57226515890001),
        ("12.0000000000000001", 12),
    ],
)
def test_pounds_and_a_machine_s_digits_are_read(text: str, value: float):
    assert parse("service_limit", PRESSURE, text) == value
