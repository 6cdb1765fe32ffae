"""Pipe friction against the fluids library and SciPy."""

import pytest
from fluids.compressible import isothermal_gas
from fluids.friction import Churchill_1977, friction_factor
from scipy.integrate import solve_ivp

from tests.support import pipe_flow as pipe

GAS = 287.05287 * 293.15
BORE = 0.03246
LENGTH = 2000.0


@pytest.mark.parametrize("reynolds", [100.0, 1900.0, 5e3, 3e4, 1e5, 1e6])
@pytest.mark.parametrize("roughness", [0.0, 0.0014, 0.01])
def test_friction_factor_is_that_of_fluids(reynolds: float, roughness: float) -> None:
    ours = pipe.friction_factor(reynolds=reynolds, relative_roughness=roughness)

    assert ours == pytest.approx(Churchill_1977(reynolds, roughness), rel=1e-9)
    if reynolds < 2000 or reynolds > 4000:
        assert ours == pytest.approx(friction_factor(reynolds, roughness), rel=0.04)


@pytest.mark.parametrize("outlet_psi_abs", [60.0, 80.0, 95.0, 104.0])
def test_isothermal_flow_is_that_of_fluids(outlet_psi_abs: float) -> None:
    inlet, outlet = 104.7 * 6894.757, outlet_psi_abs * 6894.757
    ours = pipe.isothermal_mass_flow(
        inlet_abs=inlet,
        outlet_abs=outlet,
        length=LENGTH,
        bore=BORE,
        friction_factor=0.028,
        gas_temperature=GAS,
    )
    # fluids takes the density at the inlet, by which the ideal gas law enters.
    density = inlet / GAS
    theirs = isothermal_gas(density, 0.028, P1=inlet, P2=outlet, L=LENGTH, D=BORE)

    assert ours == pytest.approx(theirs, rel=1e-6)


def test_outlet_pressure_undoes_flow_up_to_the_acceleration_term() -> None:
    flow = pipe.isothermal_mass_flow(
        inlet_abs=7e5,
        outlet_abs=6e5,
        length=LENGTH,
        bore=BORE,
        friction_factor=0.028,
        gas_temperature=GAS,
    )
    outlet = pipe.isothermal_outlet_pressure(
        inlet_abs=7e5,
        mass_flow=flow,
        length=LENGTH,
        bore=BORE,
        friction_factor=0.028,
        gas_temperature=GAS,
    )

    assert outlet == pytest.approx(6e5, rel=1e-3)


def test_side_flow_against_an_integrator() -> None:
    """Oracle: SciPy integrates d(p²)/dx = -f/D R T (ṁ/A)² with ṁ falling evenly to zero."""
    flow = 0.05
    area = pipe.bore_area(bore=BORE)

    def slope(x: float, square: list[float]) -> list[float]:
        local = flow * (1.0 - x / LENGTH)
        return [-0.028 / BORE * GAS * (local / area) ** 2]

    solution = solve_ivp(slope, (0.0, LENGTH), [7e5**2], rtol=1e-10)
    ours = pipe.isothermal_outlet_pressure(
        inlet_abs=7e5,
        mass_flow=flow,
        length=LENGTH,
        bore=BORE,
        friction_factor=0.028,
        gas_temperature=GAS,
        side_flow=True,
    )

    assert ours == pytest.approx(float(solution.y[0][-1]) ** 0.5, rel=1e-9)


def test_reynolds_number_by_hand() -> None:
    """ρ u D / μ with ρ u = ṁ / A."""
    area = pipe.bore_area(bore=BORE)

    assert pipe.reynolds_number(mass_flow=-0.02, bore=BORE, viscosity=1.8e-5) == pytest.approx(
        0.02 / area * BORE / 1.8e-5
    )


@pytest.mark.parametrize(
    ("call", "word"),
    [
        (lambda: pipe.friction_factor(reynolds=0.0), "reynolds"),
        (
            lambda: pipe.friction_factor(reynolds=1e5, relative_roughness=0.2),
            "relative_roughness",
        ),
        (
            lambda: pipe.isothermal_mass_flow(
                inlet_abs=1.0,
                outlet_abs=2.0,
                length=1.0,
                bore=1.0,
                friction_factor=0.02,
                gas_temperature=GAS,
            ),
            "pressures",
        ),
        (
            lambda: pipe.isothermal_outlet_pressure(
                inlet_abs=7e5,
                mass_flow=5.0,
                length=LENGTH,
                bore=BORE,
                friction_factor=0.028,
                gas_temperature=GAS,
            ),
            "mass_flow",
        ),
    ],
)
def test_errors_name_the_argument(call, word: str) -> None:
    with pytest.raises(ValueError, match=word):
        call()
