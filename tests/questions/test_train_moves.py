"""Lists of moves: what is read, and what is refused in words."""

from __future__ import annotations

from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.base.errors import InputError
from calculators.base.results import Display
from calculators.equipment.train import Command
from calculators.questions.train_run.moves import MOST_MOVES, MOVES, moves_words, read_moves


def words(text: str) -> list[str]:
    return [move.text(Display()) for move in moves_words(read_moves(text, cars=9))]


def test_moves_are_put_in_order_of_time():
    assert read_moves("1 min release; 0 s service 10 psi", cars=9) == (
        Command(at_seconds=0.0, action="service", reduction=10.0),
        Command(at_seconds=60.0, action="release"),
    )


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("0 s service 10", "At 0 s service, 10 psi off"),
        ("0 set by 0.7 bar", "At 0 s service, 10 psi off"),
        ("at 30 s, release", "At 30 s release"),
        ("2 min EMERGENCY", "At 120 s emergency from the head"),
        ("5 s emergency from the rear", "At 5 s emergency from the rear"),
        ("5 s emergency both ends", "At 5 s emergency from both ends"),
        ("5 s emergency at car 7", "At 5 s emergency from car 7"),
        ("5 s cut-out", "At 5 s the brake valve is cut out"),
        ("5 s cut in", "At 5 s the brake valve is cut in"),
        ("5 s close angle cock 7", "At 5 s the angle cock behind car 7 is closed"),
        (
            "5 s close cock behind car 7 to 20 %",
            "At 5 s the angle cock behind car 7 is closed but for 20% of its opening",
        ),
        ("5 s open the angle cock 0", "At 5 s the angle cock behind the locomotive opens"),
        ("1,200 s release", "At 1,200 s release"),
    ],
)
def test_one_move(text: str, said: str):
    assert words(text) == [said]


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("service 10", "begin an entry with its time"),
        ("0 s relase", 'Moves has "0 s relase"; the moves are: service 10, release'),
        ("0 s service", "the moves are"),
        ("0 s service lots", "The reduction of a move"),
        ("0 s service 400", "it must be between 1 and 110 psi"),
        ("0 s emergency car 10", "names car 10; this train has cars 1 to 9"),
        ("0 s emergency car 0", "names car 0; this train has cars 1 to 9"),
        ("0 s close angle cock 10", "names car 10; this train has cars 0 to 9"),
        ("0 s close angle cock 3 to 100 %", "it must be between 0 and 99%"),
        ("99999 s release", "it must be between 0 and 10,800 s"),
        ("0 s release;" * (MOST_MOVES + 1), f"at most {MOST_MOVES} are read"),
        ("0 s " + "x" * 36, f'"0 s {"x" * 36}"'),
        ("0 s \x07" + "x" * 60, f'"0 s {"x" * 36}…"'),
    ],
)
def test_what_cannot_be_read(text: str, message: str):
    with pytest.raises(InputError) as refused:
        read_moves(text, cars=9)
    assert refused.value.field == "moves"
    assert message in refused.value.message
    assert refused.value.message.endswith(".")
    assert "\x07" not in refused.value.message


def test_nothing_is_no_moves():
    assert read_moves(" ; ;", cars=9) == ()


@pytest.mark.parametrize("piece", MOVES.pieces, ids=lambda piece: piece.words)
def test_every_entry_that_a_form_offers_can_be_read(piece):
    text = piece.text.replace("{at}", "12").replace("{figure}", "7")
    (move,) = read_moves(text, cars=9)
    assert move.at_seconds == 12.0
    assert ("{figure}" in piece.text) == bool(piece.figure)
    # What is shown of it can be read again: times and figures are all there.
    assert words(text)


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text: str):
    with suppress(InputError):
        moves = read_moves(text, cars=9)
        assert [move.at_seconds for move in moves] == sorted(move.at_seconds for move in moves)
