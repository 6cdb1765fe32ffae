"""Full service and emergency for any pressure: H7, H9, and what the usual table is for."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.full_service_figures.declaration import (
    FullServiceFigures,
    full_service_figures,
)


def ask(**texts: str) -> Answer:
    found = answer(full_service_figures, texts)
    assert found.errors == {}
    return found


def notes(found: Answer) -> str:
    assert found.outcome is not None
    return " ".join(note.text.text(Display()) for note in found.outcome.notes)


@pytest.mark.parametrize(
    ("setting", "full", "reduction", "emergency"),
    # H9 table (worked there from Boyle's law).
    [
        ("60", 41.8, 18.2, 51.0),
        ("80", 56.6, 23.4, 68.5),
        ("90", 64.0, 26.0, 77.2),
        ("110", 78.8, 31.2, 94.7),
    ],
)
def test_table(setting, full, reduction, emergency):
    found = ask(brake_pipe_setting=setting).results()
    assert found["full_service_pressure"] == pytest.approx(full, abs=0.06)
    assert found["full_service_reduction"] == pytest.approx(reduction, abs=0.06)
    assert found["emergency_pressure"] == pytest.approx(emergency, abs=0.06)


def test_curve_holds_the_whole_table_whatever_is_asked():
    # H9 table: one brake pipe pressure a line, full service, reduction and emergency beside it.
    table = {
        60: (41.8, 51.0, 18.2),
        70: (49.2, 59.8, 20.8),
        80: (56.6, 68.5, 23.4),
        90: (64.0, 77.2, 26.0),
        110: (78.8, 94.7, 31.2),
    }
    found = ask(brake_pipe_setting="85")
    assert found.outcome is not None
    (curve,) = found.outcome.series
    lines = [dict(line.points) for line in curve.lines[:3]]
    for pressure, printed in table.items():
        for line, figure in zip(lines, printed, strict=True):
            assert line[pressure] == pytest.approx(figure, abs=0.06)
    # A point every 5 psi, so that a straight line between two is no further off than the print.
    assert all(sorted(line) == [float(at) for at in range(50, 115, 5)] for line in lines)


def test_headline():
    found = ask(brake_pipe_setting="80")
    assert found.outcome is not None
    # H9 at 80: 56.6, 23.4, 68.5, in whole psi.
    assert found.outcome.headline.text(Display()) == (
        "Off 80 psi: full service 57 psi after 23 psi off, emergency 69 psi."
    )


def test_own_space_is_said_to_be_your_own():
    assert "it is no dimension of a drawing" in notes(ask())
    assert "your own figure" in notes(ask(unswept_volume="250"))


def test_memory_is_said_to_be_memory():
    found = ask()
    assert found.outcome is not None
    (curve,) = found.outcome.series
    assert [line.name for line in curve.lines if "memory" in line.name] == [
        "Usual table, full service (nominal, from memory)",
        "Usual table, emergency (nominal, from memory)",
    ]
    assert "not as a check" in notes(found)


def test_long_travel_is_judged():
    # R14: 6 to 9 in.
    (verdict,) = ask(piston_travel="10").verdicts
    assert (verdict.limit.id, verdict.standing) == ("piston-travel", "not within")


@given(setting=st.floats(40, 130), travel=st.floats(3, 12), bore=st.floats(8, 10.5))
def test_emergency_is_more_than_full_service_and_less_than_the_pipe(setting, travel, bore):
    found = full_service_figures.outcome(
        brake_pipe_setting=setting, piston_travel=travel, cylinder_bore=bore
    )
    assert isinstance(found, FullServiceFigures)
    assert 0 < found.full_service_pressure < found.emergency_pressure < setting
    assert found.full_service_pressure + found.full_service_reduction == pytest.approx(setting)


@given(one=st.floats(40, 130), other=st.floats(40, 130))
def test_a_higher_pipe_never_gives_less(one, other):
    low, high = (
        full_service_figures.outcome(brake_pipe_setting=setting) for setting in sorted((one, other))
    )
    assert isinstance(low, FullServiceFigures)
    assert isinstance(high, FullServiceFigures)
    assert low.full_service_pressure <= high.full_service_pressure + 1e-12
    assert low.emergency_pressure <= high.emergency_pressure + 1e-12
