"""The charged train at rest with its leaks: gradient along the pipe, flow that keeps it."""

from __future__ import annotations

from dataclasses import dataclass

from calculators.air.gas import free_air_cfm
from calculators.base.units import PSI
from calculators.equipment.train.consist import Train
from calculators.equipment.train.setup import put_together, settle


@dataclass(frozen=True, slots=True, kw_only=True)
class Steady:
    """A charged train at rest; pressures in gauge psi."""

    head: float
    """Brake pipe at the leading brake valve."""
    rear: float
    """Brake pipe at the rear end."""
    gradient: float
    """Head less rear. [psi]"""
    flow: float
    """Free air into the pipe at the head. [cfm]"""
    remote_flow: float
    """Free air into the pipe at the remote locomotives, 0 if there are none. [cfm]"""
    brake_pipe: tuple[float, ...]
    """At each car from the head."""


def steady(train: Train) -> Steady:
    """Settle a train's leaks to their gradient, whatever its starting pressure.

    Parameters
    ----------
    train
        The train; its leaks' flows are those with all the pipe at the setting, so the flow that
        settles is a little less where the gradient lowers the pressure.

    Returns
    -------
    Steady
        Pressures and flows at rest.
    """
    state, relays = put_together(train)
    flows = settle(state, relays)
    atmosphere = state.grid.atmosphere
    gauge = [(pressure - atmosphere) / PSI for pressure in state.pressure]
    cfm = [free_air_cfm(content_flow=flow, atmosphere=atmosphere) for flow in flows]
    return Steady(
        head=gauge[0],
        rear=gauge[-1],
        gradient=gauge[0] - gauge[-1],
        flow=cfm[0],
        remote_flow=sum(cfm[1:]),
        brake_pipe=tuple(gauge[cell] for cell in state.grid.car_cell),
    )
