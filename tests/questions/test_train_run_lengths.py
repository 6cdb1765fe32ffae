"""Lengths of cars as written."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.base.errors import InputError
from calculators.questions.train_run.lengths import read_lengths


@pytest.mark.parametrize(
    ("text", "lengths"),
    [
        ("", ()),
        (" ; , ", ()),
        ("55, 55, 90", (55.0, 55.0, 90.0)),
        ("55,90", (55.0, 90.0)),
        ("55 then 90", (55.0, 90.0)),
        ("3 cars of 50; 2 x 90 ft", (50.0,) * 3 + (90.0,) * 2),
        ("1 car of 50, 2 of 60, 2×90, 1 * 40", (50.0, 60.0, 60.0, 90.0, 90.0, 40.0)),
        ("2 cars 52.5", (52.5, 52.5)),
        ("2 times 15.24 m", (50.0, 50.0)),
        ("250 of 55", (55.0,) * 250),
    ],
)
def test_lengths(text: str, lengths: tuple[float, ...]):
    assert read_lengths(text) == pytest.approx(lengths)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("long", "A length is"),
        ("2 of long", "A length is"),
        ("30", "A length is 30 ft; it must be between 40 and 125 ft"),
        ("300 of 50", "The number of cars of a length is 300; it must be between 1 and 250"),
        ("2.5 of 50", "it must be a whole number"),
        ("0 of 50", "it must be between 1 and 250"),
        ("200 of 50, 51 of 60", "given for 251 cars; a train has at most 250"),
    ],
)
def test_what_cannot_be_read(text: str, message: str):
    with pytest.raises(InputError) as refused:
        read_lengths(text)
    assert refused.value.field == "car_lengths"
    assert message in refused.value.message


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str):
    with suppress(InputError):
        assert all(40.0 <= length <= 125.0 for length in read_lengths(text))
