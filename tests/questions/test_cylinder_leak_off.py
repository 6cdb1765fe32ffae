"""A standing train's cylinder: by hand, against SciPy, and what must never be said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from calculators.air.orifice import flow_factor
from calculators.answering.answer import Answer, answer
from calculators.base.results import Display
from calculators.questions.cylinder_leak_off.declaration import CylinderLeakOff, cylinder_leak_off


def ask(**texts: str) -> Answer:
    found = answer(cylinder_leak_off, texts)
    assert found.errors == {}
    return found


def notes(found: Answer, kind: str = "warning") -> str:
    assert found.outcome is not None
    return " ".join(n.text.text(Display()) for n in found.outcome.notes if n.kind == kind)


def headline(found: Answer) -> str:
    assert found.outcome is not None
    return found.outcome.headline.text(Display())


def test_against_scipy():
    # 24 psi losing 0.1 psi in the first minute, three hours on; the orifice law integrated anew.
    k = 0.1 / (38.7 * flow_factor(14.7 / 38.7))
    solved = solve_ivp(
        lambda _, p: [-k * (p[0] + 14.7) * flow_factor(14.7 / (p[0] + 14.7))],
        (0, 180),
        [24],
        rtol=1e-9,
        atol=1e-9,
        max_step=1,
    )
    found = ask(brake_cylinder="24", leakage="0.1", wait="3 h").results()
    assert found["brake_cylinder_left"] == pytest.approx(float(solved.y[0][-1]), abs=1e-4)


def test_a_leak_slows_as_it_empties():
    # By hand: at a constant 0.1 psi/min 24 psi would last 240 min, 4 h; a hole passes ever less.
    found = ask(brake_cylinder="24", leakage="0.1").results()
    assert isinstance(found["hours_to_nothing"], float)
    assert isinstance(found["hours_to_half"], float)
    assert 2 <= found["hours_to_half"] <= 4 <= found["hours_to_nothing"]


def test_time_to_the_pressure_that_is_needed():
    # Half of 24 is 12: the two times must agree, whatever the law.
    found = ask(brake_cylinder="24", leakage="0.1", pressure_needed="12")
    assert found.results()["hours_to_needed"] == pytest.approx(found.results()["hours_to_half"])
    assert "is below what you need after" in headline(found)
    assert "was not given" not in notes(found, "note")
    already = ask(brake_cylinder="24", leakage="0.1", pressure_needed="30")
    assert already.results()["hours_to_needed"] == 0


def test_no_leakage_no_time():
    found = ask()
    assert set(found.results().values()) == {None}
    assert headline(found).startswith("No leakage was read")
    assert found.outcome is not None
    assert found.outcome.series == ()


@pytest.mark.parametrize("texts", [{}, {"leakage": "0.1"}, {"leakage": "0.001", "wait": "1"}])
def test_securement_is_always_said(texts):
    found = ask(**texts)
    assert "An applied brake is not securement" in notes(found)
    # H133 (FRA-2022-02) and H34 (TSB-19C): both trains stood about three hours.
    assert "let go after about 3 h" in notes(found)
    assert "prove them with the air off" in notes(found)


@pytest.mark.parametrize(
    ("texts", "marks"),
    [({"leakage": "0.1"}, 1), ({"leakage": "0.001", "wait": "100"}, 0), ({"leakage": "50"}, 1)],
)
def test_curve_ends_within_a_day(texts, marks):
    outcome = ask(**texts).outcome
    assert outcome is not None
    (curve,) = outcome.series
    assert curve.lines[0].points[-1][0] <= 24
    assert len(curve.marked) == marks
    # NRC-24 (H76): up to five times the air in great cold; the second line has such a leak.
    slow, quick = (dict(line.points) for line in curve.lines)
    assert all(quick[hour] <= slow[hour] for hour in slow)


@given(
    start=st.floats(1, 110),
    leakage=st.floats(0.001, 50),
    one=st.floats(0, 240),
    other=st.floats(0, 240),
    needed=st.none() | st.floats(0, 110),
)
def test_longer_stands_have_less(start, leakage, one, other, needed):
    early, late = (
        cylinder_leak_off.outcome(
            brake_cylinder=start, leakage=leakage, wait=wait, pressure_needed=needed
        )
        for wait in sorted((one, other))
    )
    assert isinstance(early, CylinderLeakOff)
    assert isinstance(late, CylinderLeakOff)
    assert early.brake_cylinder_left is not None
    assert late.brake_cylinder_left is not None
    assert 0 <= late.brake_cylinder_left <= early.brake_cylinder_left + 1e-9 <= start + 1e-6
    assert early.hours_to_nothing is not None
    assert early.hours_to_half is not None
    assert early.hours_to_half < early.hours_to_nothing
