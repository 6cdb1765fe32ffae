"""Rigging: piston force, levers, shoe force, braking ratio."""

from math import isclose

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.equipment.force.rigging import (
    braking_ratio,
    braking_ratio_at,
    lever,
    lightest_weight,
    piston_force,
    shoe_force,
    truck_lever_ratio,
)

UREG: pint.UnitRegistry[float] = pint.UnitRegistry()

POSITIVE = st.floats(0.1, 1000)


# H27 of the project's published values: follows from geometry alone.
@pytest.mark.parametrize(
    ("bore", "pressure", "force"), [(10, 50, 3927), (10, 64, 5027), (10, 77, 6048), (8.5, 64, 3632)]
)
def test_piston_force(bore: float, pressure: float, force: float) -> None:
    assert piston_force(brake_cylinder=pressure, cylinder_bore=bore) == pytest.approx(
        force, abs=0.5
    )


def test_piston_force_against_pint() -> None:
    area = 3.141592653589793 / 4 * (8.5 * UREG.inch) ** 2
    force = (2 * area * 64 * UREG.psi).to(UREG.pound_force)

    ours = piston_force(brake_cylinder=64, cylinder_bore=8.5, cylinders=2)

    assert ours == pytest.approx(force.magnitude, rel=1e-12)


def test_braking_ratio_against_pint() -> None:
    weight = 131.5 * UREG.short_ton * UREG.standard_gravity
    ratio = (26_300 * UREG.pound_force / weight).to("percent").magnitude

    assert braking_ratio(shoe_force=26_300, weight=131.5) == pytest.approx(ratio, rel=1e-12)


def test_lever_chain_of_a_printed_example() -> None:
    # LUDY p. 101 (H40): 1,500 lb and 4,500 lb add to 6,000 lb a beam, 3,000 lb a shoe, 24,000 lb on
    # eight shoes; at most 70 % of the light weight, so that weighs at least 34,286 lb.
    live = lever(pull=1500, upper_arm=3, lower_arm=1)
    total = 4 * live.middle

    assert (live.other_end, live.middle) == (4500, 6000)
    assert total == 24_000
    assert total / 8 == 3000
    assert 2000 * lightest_weight(shoe_force=total, ratio=70) == pytest.approx(34_286, abs=0.5)
    assert truck_lever_ratio(cylinder_lever=1, upper_arm=3, lower_arm=1, beams=4) * 1500 == total


@given(pull=POSITIVE, upper=POSITIVE, lower=POSITIVE)
def test_lever_is_in_balance(pull: float, upper: float, lower: float) -> None:
    forces = lever(pull=pull, upper_arm=upper, lower_arm=lower)

    assert isclose(forces.middle, forces.pull + forces.other_end, rel_tol=1e-12)
    assert isclose(forces.pull * (upper + lower), forces.middle * lower, rel_tol=1e-9)


# M4 (AB13 p. 73): 60 psi is 90 %, at fixed leverage 1.5 % per psi; 40 psi 60 %, 50 psi 75 %.
@pytest.mark.parametrize(("pressure", "ratio"), [(60, 90), (50, 75), (40, 60), (0, 0)])
def test_braking_ratio_follows_the_cylinder(pressure: float, ratio: float) -> None:
    assert braking_ratio_at(ratio=90, stated_at=60, brake_cylinder=pressure) == pytest.approx(ratio)


@given(
    piston=POSITIVE,
    ratio=st.floats(1, 20),
    efficiency=st.floats(20, 100),
    weight=st.floats(10, 200),
)
def test_braking_ratio_and_lightest_weight_are_inverse(
    piston: float, ratio: float, efficiency: float, weight: float
) -> None:
    force = shoe_force(piston=piston, lever_ratio=ratio, efficiency=efficiency)

    made = braking_ratio(shoe_force=force, weight=weight)

    assert force <= piston * ratio * (1 + 1e-12)
    assert lightest_weight(shoe_force=force, ratio=made) == pytest.approx(weight)
