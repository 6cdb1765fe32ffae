"""Words at the begin of a sentence and inside it."""

from calculators.base.wording import at_begin, inside, spoken


def test_only_the_first_letter_changes():
    assert at_begin("pipe 16 of JF-3") == "Pipe 16 of JF-3"
    assert at_begin("{cars}: all") == "{cars}: all"
    assert inside("Ten off, OUT") == "ten off, OUT"
    assert at_begin("") == inside("") == ""


def test_what_is_written_in_capitals_stays():
    assert inside("OUT for a minute") == "OUT for a minute"
    assert inside("A minute later") == "a minute later"


def test_a_place_is_said_without_its_hyphens():
    assert spoken("brake-pipe-exhaust") == "brake pipe exhaust"
