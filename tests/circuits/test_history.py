"""What one move leaves behind for the next."""

from dataclasses import dataclass, replace

import pytest

from calculators.answering.answer import answer
from calculators.catalog import find_calculator
from calculators.circuits import moves
from calculators.circuits.moves import Move, Standing, first
from calculators.equipment.running import Brake, Setup, start
from tests.circuits.locomotives import PLAIN

WITHIN = 0.2
"""How near a figure worked out by hand the brake comes to rest. [psi]"""


@dataclass(frozen=True)
class Rest:
    """A brake as moves left it."""

    brake: Brake
    standing: Standing

    @property
    def move(self) -> Move:
        return self.standing.move

    def shows(self, place: str) -> float:
        return self.brake.gauge(place)


def then(before: Rest, move: Move, **more) -> Rest:
    brake = before.brake.copy()
    if "covers" in more:
        brake.suppressed = more.pop("covers")
    standing = moves.then(brake, before.standing, move, **more)
    brake.to_rest()
    brake.advance(70.0)
    return Rest(brake, standing)


def chain(*made: Move, equipment=PLAIN) -> Rest:
    brake = start(Setup(equipment=equipment))
    rest = Rest(brake, first(brake, made[0]))
    brake.to_rest()
    for move in made[1:]:
        rest = then(rest, move)
    return rest


def near(pressure: float):
    return pytest.approx(pressure, abs=WITHIN)


SERVICE = Move(handle="service", reduction=12.0)


def test_the_equalizing_reservoir_does_not_rise_half_way_back() -> None:
    """ARMY-223 p. 2-7 step 6: a service set, handle half-way back: no rise."""
    standing = chain(Move(), SERVICE, Move(handle="service", reduction=6.0))

    assert standing.shows("equalizing_reservoir") == near(78.0)
    assert standing.shows("brake_pipe") == near(78.0)


def test_after_a_bail_off_only_what_comes_off_further_counts() -> None:
    """ARMY-223 p. 2-7 steps 2, 4, 5: 10 off, bailed, 5 more gives 10 to 25."""
    standing = chain(
        Move(),
        Move(handle="service", reduction=10.0),
        Move(handle="service", reduction=10.0, bail_off="held"),
        Move(handle="service", reduction=10.0),
        Move(handle="service", reduction=15.0),
    )

    assert standing.move.bail_off == "released"
    assert 10.0 <= standing.shows("brake_cylinder") <= 25.0


def test_a_release_ends_a_bail_off() -> None:
    standing = chain(Move(), replace(SERVICE, bail_off="held"), Move(), SERVICE)

    assert standing.move.bail_off == "none" or standing.shows("brake_cylinder") == near(0.0)
    again = then(then(standing, Move()), SERVICE)
    assert again.shows("brake_cylinder") == near(30.0)


def test_a_bail_off_pressed_again_counts_from_then() -> None:
    once = chain(Move(), SERVICE, replace(SERVICE, bail_off="held"), SERVICE)
    deeper = replace(SERVICE, reduction=20.0)

    twice = then(then(then(once, deeper), replace(deeper, bail_off="held")), deeper)

    assert twice.shows("brake_cylinder") == near(0.0)
    assert twice.standing.bailed_at == near(20.0)


def test_a_bail_off_said_to_be_over_counts_from_where_the_pipe_stands() -> None:
    standing = chain(Move(), SERVICE, replace(SERVICE, bail_off="released"))

    assert standing.standing.bailed_at == near(12.0)
    assert standing.shows("brake_cylinder") == near(0.0)


def test_a_pipe_emptied_from_the_train_charges_only_after_emergency_and_release() -> None:
    """ARMY-223 p. 4-78: emergency, then release; only in release does the pipe charge."""
    parted = chain(Move(), Move(event="emergency-from-train"))
    assert parted.shows("brake_pipe") == near(0.0)
    assert parted.shows("equalizing_reservoir") == near(90.0)

    assert then(parted, Move()).shows("brake_pipe") == near(0.0)
    reset = then(parted, Move(handle="emergency"))
    assert reset.move.event == "emergency-from-train"
    assert then(reset, Move()).shows("brake_pipe") == near(90.0)


def test_a_penalty_keeps_on_until_it_is_taken_up() -> None:
    """MUS-26: suppression is the position for getting back from a penalty."""
    penalty = chain(Move(), Move(event="penalty"))
    assert penalty.shows("equalizing_reservoir") == near(0.0)

    assert then(penalty, Move()).move.event == "penalty"
    taken_up = then(penalty, Move(handle="suppression"))
    assert taken_up.move.event == "none"
    assert taken_up.shows("equalizing_reservoir") == near(0.0)
    assert then(taken_up, Move()).shows("brake_pipe") == near(90.0)


def test_emergency_is_stronger_than_a_penalty() -> None:
    assert chain(Move(), Move(handle="emergency", event="penalty")).shows("pipe_12") > 100.0


def test_a_direct_release_stays_released_until_more_comes_off() -> None:
    """With the cut-off in passenger the pipe rises with the handle, part of the way."""
    passenger = replace(PLAIN, cut_off="passenger")
    set_ = Move(handle="service", reduction=15.0, cut_off="passenger")
    back = replace(set_, reduction=8.0)
    released = chain(set_, back, equipment=passenger)
    assert released.shows("brake_cylinder") == near(0.0)

    assert then(released, replace(back, independent=20.0)).shows("pipe_16") == near(0.0)
    assert then(released, replace(set_, reduction=10.0)).shows("pipe_16") > 0.0


def test_cut_out_the_reservoir_goes_its_own_way_and_does_not_rise() -> None:
    out = Move(handle="service", reduction=15.0, cut_off="out")
    standing = chain(Move(cut_off="out"), out, replace(out, reduction=5.0))

    assert standing.shows("equalizing_reservoir") == near(75.0)
    assert standing.shows("brake_pipe") == near(90.0)
    assert then(standing, replace(out, handle="release")).shows("equalizing_reservoir") == near(
        90.0
    )


def test_cut_out_after_a_set_the_pipe_stays_where_it_was() -> None:
    """ARMY-223 p. 2-7 step 2: 10 off, cut OUT: the reservoir and pipe stand at 80."""
    set_ = Move(handle="service", reduction=10.0)
    standing = chain(Move(), set_, replace(set_, cut_off="out"))

    assert standing.shows("equalizing_reservoir") == near(80.0)
    assert standing.shows("brake_pipe") == near(80.0)


def test_graduated_release_gives_back_what_the_pipe_rises() -> None:
    """By hand: 15 off, back to 8 with the cut-off in passenger leaves 2.5 times 8."""
    graduated = replace(PLAIN, cut_off="passenger", release_type="graduated")
    set_ = Move(handle="service", reduction=15.0, cut_off="passenger")

    standing = chain(
        Move(cut_off="passenger"), set_, replace(set_, reduction=8.0), equipment=graduated
    )

    assert standing.shows("brake_cylinder") == pytest.approx(20.0, abs=0.5)


SUPPRESSED = Move(handle="suppression")


def test_suppression_set_before_holds_a_covered_penalty_off() -> None:
    """By hand: 26 off 90 stands, and nothing more comes off."""
    standing = chain(Move(), SUPPRESSED, replace(SUPPRESSED, event="penalty"))

    assert standing.move.event == "none"
    assert standing.shows("brake_pipe") == near(64.0)


def test_a_source_that_suppression_does_not_cover_empties_the_pipe() -> None:
    before = chain(Move(), SUPPRESSED)

    after = then(before, replace(SUPPRESSED, event="penalty"), covers=(), source="alerter")

    assert after.shows("brake_pipe") == near(0.0)


def test_a_penalty_that_has_begun_runs_on_in_suppression() -> None:
    begun = chain(Move(), Move(event="penalty"))

    after = then(begun, replace(SUPPRESSED, event="penalty"))

    assert after.shows("brake_pipe") == near(0.0)


@pytest.mark.parametrize(
    ("source", "covers", "pipe"),
    [
        ("pedal", "pedal-and-overspeed", 64.0),
        ("overspeed", "pedal-and-overspeed", 64.0),
        ("alerter", "pedal-and-overspeed", 0.0),
        ("train-control", "pedal-and-overspeed", 0.0),
        ("alerter", "every-source", 64.0),
        ("pedal", "none", 0.0),
    ],
)
def test_what_suppression_covers_is_asked(source, covers, pipe) -> None:
    found = answer(
        find_calculator("circuit"),
        {
            "circuit": "suppression",
            "from_handle": "suppression",
            "handle": "suppression",
            "event": "penalty",
            "penalty_source": source,
            "suppression_covers": covers,
            "cars": "0",
        },
    )

    assert found.results()["brake_pipe"] == pytest.approx(pipe, abs=0.1)
    assert found.outcome is not None
    said = " ".join(note.text.template for note in found.outcome.notes)
    assert ("does not cover" in said) == (pipe == 0.0)
    assert ("holds the penalty off" in said) == (pipe == 64.0)
