"""A railroad's settings written as text and read back."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.kept.settings import check, settings
from calculators.kept.text import LONGEST, as_text, from_text

RECORD = {
    "brake_pipe_setting": "85",
    "service_limit": "4 bar",
    "limit.brake-pipe-leakage": "3.5",
    "limit.off-air-hours": "4",
    "pressure_unit": "kPa",
}

texts = st.text(min_size=1, max_size=40).filter(str.strip)


def test_comes_back_as_it_went():
    assert from_text(as_text(RECORD)).record == RECORD
    assert from_text(as_text(RECORD)).problems == ()


def test_people_can_read_it():
    text = as_text(RECORD)
    assert "version = 1\n" in text
    assert (
        "# Brake pipe setting, in psi unless the line says another unit\nbrake_pipe_setting = 85\n"
        in text
    )
    assert "# Your own stricter limits\n" in text


@given(st.dictionaries(st.sampled_from(list(settings())), texts, max_size=8))
def test_every_known_setting_comes_back_unchanged(record: dict[str, str]):
    read = from_text(as_text(record))
    assert read.record == record
    assert read.problems == ()


@given(st.dictionaries(texts, texts, max_size=5))
def test_nothing_unknown_is_lost_from_the_text(record: dict[str, str]):
    unknown = {key: text for key, text in record.items() if key not in settings()}
    read = from_text(as_text(record))
    assert len(read.problems) >= len(unknown)
    assert set(read.record) <= set(settings())


@given(st.text(max_size=400))
def test_any_text_is_read_without_a_crash(text: str):
    read = from_text(text)
    assert set(read.record) <= set(settings())
    check(read.record)


def test_what_people_write():
    read = from_text(
        "\ufeff# mine\r\nversion=1\r\n\r\n  brake_pipe_setting=85 psi\r\nCars = 90\n"
        "brake pipe setting = 90\nno equals sign\nservice_limit = \n"
    )
    assert read.record == {"brake_pipe_setting": "85 psi"}
    assert read.problems == (
        'Line 5: this copy knows no setting "Cars".',
        'Line 6: this copy knows no setting "brake pipe setting".',
        'Line 7, "no equals sign", does not read name = value.',
    )


def test_a_setting_that_stands_twice_is_not_guessed():
    read = from_text("version = 1\ncars = 90\ncars = 110\ncars = 90\ncar_length = 60\n")
    assert read.record == {"car_length": "60"}
    assert [problem.split(":")[0] for problem in read.problems] == ["Line 3", "Line 4"]


@pytest.mark.parametrize(
    ("first", "told"),
    [
        ("", "No line says version = 1"),
        ("version = 7", "written by a later version"),
        ("version = new", "which is no number"),
    ],
)
def test_says_when_the_version_is_not_this_one(first: str, told: str):
    read = from_text(f"{first}\ncars = 90\n")
    assert read.record == {"cars": "90"}
    assert told in read.problems[0]


def test_broken_quotes_are_told():
    read = from_text('version = 1\ncars = "90\n"cars = 3\n"cars" = "90" 5\n"cars" 5\ncars = "90"\n')
    assert read.record == {"cars": "90"}
    assert len(read.problems) == 4


def test_a_whole_book_is_refused():
    read = from_text("cars = 90\n" * LONGEST)
    assert read.record == {}
    assert "too long" in read.problems[0]
