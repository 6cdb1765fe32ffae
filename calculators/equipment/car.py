"""The brake of one freight car as volumes that share air: Boyle's law at one temperature.

Everything follows from four volumes. A reservoir gives air to the brake cylinder until the
pipe, the reservoir or the cylinder stops it:

============  ===========================================================================
Va            auxiliary reservoir, gives the air of a service application
Ve            emergency reservoir, joins the auxiliary in an emergency application
Vc            volume swept by the piston: bore and travel
Vk            space that is not swept and already holds air of the atmosphere
============  ===========================================================================

Vk is no dimension of a drawing. It is one lump (clearance, passages, piping, what quick service
loses) fitted so that 90 psi meets the cylinder at 64 psi after a reduction of 26 psi, the one
full-service reduction that was read (NTSB-90, p. 18). What follows was read elsewhere and not
used in the fit: 50 psi from 70, an emergency about a fifth above full service, no pressure from
the first 3 to 5 psi.

Pressures are gauge psi, volumes cubic inches, lengths inches. "Charged" is the pressure that
stands in the reservoirs of *this* car before the reduction, which at the rear of a train is not
the setting at the head.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

from calculators.base.units import ATMOSPHERE
from calculators.figures import nominal

AUXILIARY_VOLUME = nominal.AUXILIARY_VOLUME.value
"""Nominal auxiliary reservoir. [cu in] From memory; an input everywhere."""

EMERGENCY_VOLUME = nominal.EMERGENCY_VOLUME.value
"""Nominal emergency reservoir. [cu in] From memory; an input everywhere."""

CYLINDER_BORE = nominal.CYLINDER_BORE.value
"""Bore of the brake cylinder; 8 1/2 in is the other. [in] AAR S-400 (2018), table 2.1."""

PISTON_TRAVEL = nominal.CHECKED_TRAVEL.value
"""Piston travel of the check values; the fit of Vk holds at this travel. [in]"""

QUICK_SERVICE_LIMIT = nominal.QUICK_SERVICE_LIMIT.value
"""Pressure up to which quick service fills the cylinder; 8 to 12 [M]. [psi]"""

MOVING_REDUCTION = nominal.MOVING_REDUCTION.value
"""Reduction that moves a car's control valve [M]. [psi]"""

FIT_CHARGED = nominal.FIT_CHARGED.value
FIT_FULL_SERVICE = nominal.FIT_FULL_SERVICE.value

RULE_FACTOR = nominal.RULE_FACTOR.value
"""The rule of thumb: cylinder psi for each psi of reduction. HOWARD."""


def swept_volume(*, cylinder_bore: float, piston_travel: float) -> float:
    """Volume that the brake cylinder's piston sweeps, π/4 d² s.

    Parameters
    ----------
    cylinder_bore
        Bore of the cylinder, above zero. [in]
    piston_travel
        Travel of the piston, zero or more. [in]

    Returns
    -------
    float
        Swept volume. [cu in]

    Examples
    --------
    >>> swept_volume(cylinder_bore=10, piston_travel=8)
    628.3
    >>> swept_volume(cylinder_bore=8.5, piston_travel=8)
    454.0
    """
    return pi / 4 * cylinder_bore**2 * piston_travel


def fitted_unswept_volume(*, cylinder_bore: float) -> float:
    """Space Vk that makes 90 psi meet the cylinder at 64 psi, nominal reservoir, 8 in travel.

    The smaller cylinder gets the larger space, so that reduction and pressure keep their
    relation (AAR S-401 (2018), 2.1.3 asks for that).

    Parameters
    ----------
    cylinder_bore
        Bore of the cylinder, above zero and at most 11 in: a larger one leaves no space. [in]

    Returns
    -------
    float
        Space that is not swept. [cu in]

    Raises
    ------
    ValueError
        If the bore is outside its range.

    Examples
    --------
    >>> fitted_unswept_volume(cylinder_bore=10)
    243.0
    >>> fitted_unswept_volume(cylinder_bore=8.5)
    457.4
    """
    if not 0 < cylinder_bore <= 11:
        raise ValueError(f"cylinder_bore is {cylinder_bore} in; it must be above 0 and at most 11")
    P, p, A, Va = FIT_CHARGED, FIT_FULL_SERVICE, ATMOSPHERE, AUXILIARY_VOLUME
    Vc = swept_volume(cylinder_bore=cylinder_bore, piston_travel=PISTON_TRAVEL)
    return ((P + A) * Va - (p + A) * (Va + Vc)) / p


@dataclass(frozen=True, slots=True, kw_only=True)
class CarBrake:
    """The volumes of one car's brake.

    ``auxiliary_volume`` and ``emergency_volume`` in cubic inches, ``cylinder_bore`` and
    ``piston_travel`` in inches. ``unswept_volume`` None takes the space fitted to the bore.
    """

    auxiliary_volume: float = AUXILIARY_VOLUME
    emergency_volume: float = EMERGENCY_VOLUME
    cylinder_bore: float = CYLINDER_BORE
    piston_travel: float = PISTON_TRAVEL
    unswept_volume: float | None = None

    @property
    def swept(self) -> float:
        """Volume Vc swept by the piston, in cu in."""
        return swept_volume(cylinder_bore=self.cylinder_bore, piston_travel=self.piston_travel)

    @property
    def unswept(self) -> float:
        """Space Vk that is not swept, in cu in."""
        if self.unswept_volume is not None:
            return self.unswept_volume
        return fitted_unswept_volume(cylinder_bore=self.cylinder_bore)

    @property
    def cylinder(self) -> float:
        """Volume of the applied cylinder, Vc + Vk, in cu in."""
        return self.swept + self.unswept


NOMINAL_CAR = CarBrake()
"""The car of the check values: 2,500 and 3,500 cu in, 10-in cylinder, 8 in travel."""


def full_service_pressure(
    *, charged: float, car: CarBrake = NOMINAL_CAR, atmosphere: float = ATMOSPHERE
) -> float:
    """Cylinder pressure where auxiliary and cylinder meet (equalization, full service).

    p = ((P + A) Va + A Vk) / (Va + Vc + Vk) − A, and never below zero.

    Parameters
    ----------
    charged
        Pressure P in the auxiliary before the application, zero or more. [psi]
    car
        The car's volumes.
    atmosphere
        Pressure A of the atmosphere. [psi abs]

    Returns
    -------
    float
        Pressure in cylinder and auxiliary. [psi]

    Examples
    --------
    >>> full_service_pressure(charged=90)
    64.0
    >>> full_service_pressure(charged=70)
    49.2
    """
    P, A, Va, Vk = charged, atmosphere, car.auxiliary_volume, car.unswept
    return max(0.0, ((P + A) * Va + A * Vk) / (Va + car.cylinder) - A)


def full_service_reduction(
    *, charged: float, car: CarBrake = NOMINAL_CAR, atmosphere: float = ATMOSPHERE
) -> float:
    """Reduction at which auxiliary and cylinder meet; more of it adds nothing.

    Parameters
    ----------
    charged, car, atmosphere
        As in `full_service_pressure`.

    Returns
    -------
    float
        Reduction P − p. [psi]

    Examples
    --------
    >>> full_service_reduction(charged=90)
    26.0
    """
    return charged - full_service_pressure(charged=charged, car=car, atmosphere=atmosphere)


def service_pressure(
    *,
    charged: float,
    reduction: float,
    car: CarBrake = NOMINAL_CAR,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Cylinder pressure after a service reduction has settled, by volumes alone.

    p = (R Va + A Vk) / (Vc + Vk) − A, never below zero and never above full service. Quick
    service is left out: see `cylinder_pressure`.

    Parameters
    ----------
    charged
        Pressure P in the auxiliary before the application, zero or more. [psi]
    reduction
        Fall R of the brake pipe below P, zero or more. [psi]
    car
        The car's volumes.
    atmosphere
        Pressure A of the atmosphere. [psi abs]

    Returns
    -------
    float
        Cylinder pressure. [psi]

    Examples
    --------
    >>> service_pressure(charged=90, reduction=10)
    18.1
    >>> service_pressure(charged=90, reduction=3)
    0.0
    >>> service_pressure(charged=90, reduction=40)
    64.0
    """
    R, A, Va, Vk = reduction, atmosphere, car.auxiliary_volume, car.unswept
    partial = (R * Va + A * Vk) / car.cylinder - A
    full = full_service_pressure(charged=charged, car=car, atmosphere=atmosphere)
    return min(full, max(0.0, partial))


def emergency_pressure(
    *,
    charged: float,
    emergency_charged: float | None = None,
    car: CarBrake = NOMINAL_CAR,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Cylinder pressure where both reservoirs and the cylinder meet (emergency).

    p = ((P + A) Va + (Q + A) Ve + A Vk) / (Va + Ve + Vc + Vk) − A. It is the same after a
    service application, because the air is only shared out: give the auxiliary's pressure before
    that application.

    Parameters
    ----------
    charged
        Pressure P in the auxiliary before any application, zero or more. [psi]
    emergency_charged
        Pressure Q in the emergency reservoir; None means the same as in the auxiliary. [psi]
    car
        The car's volumes.
    atmosphere
        Pressure A of the atmosphere. [psi abs]

    Returns
    -------
    float
        Pressure in cylinder and reservoirs. [psi]

    Examples
    --------
    >>> emergency_pressure(charged=90)
    77.2
    >>> emergency_pressure(charged=64, emergency_charged=85)
    65.2
    """
    P, A, Va, Ve, Vk = (
        charged,
        atmosphere,
        car.auxiliary_volume,
        car.emergency_volume,
        car.unswept,
    )
    Q = P if emergency_charged is None else emergency_charged
    return max(0.0, ((P + A) * Va + (Q + A) * Ve + A * Vk) / (Va + Ve + car.cylinder) - A)


def cylinder_pressure(
    *,
    charged: float,
    reduction: float,
    quick_service_limit: float,
    moving_reduction: float,
    car: CarBrake = NOMINAL_CAR,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Cylinder pressure of a service reduction with quick service.

    Until the reduction has moved the valve there is none. From then on each car vents a little
    of the pipe into its own cylinder, up to the limiting pressure, so a light set gives the
    greater of that and the pressure by volumes; full service is never passed.

    Parameters
    ----------
    charged, reduction, car, atmosphere
        As in `service_pressure`.
    quick_service_limit
        Pressure up to which quick service fills the cylinder; 8 to 12, from memory. [psi]
    moving_reduction
        Reduction that moves the valve; about 2 on older, 4 on newer passenger equipment
        (AB13, p. 291). [psi]

    Returns
    -------
    float
        Cylinder pressure. [psi]

    Examples
    --------
    >>> cylinder_pressure(charged=90, reduction=6, quick_service_limit=10.0, moving_reduction=2.5)
    10.0
    >>> cylinder_pressure(charged=90, reduction=2, quick_service_limit=10.0, moving_reduction=2.5)
    0.0
    """
    if reduction < moving_reduction:
        return 0.0
    volumes = service_pressure(charged=charged, reduction=reduction, car=car, atmosphere=atmosphere)
    full = full_service_pressure(charged=charged, car=car, atmosphere=atmosphere)
    return min(full, max(volumes, quick_service_limit))


def rule_of_thumb(*, charged: float, reduction: float) -> float:
    """Quick estimate of the trade: 2.5 psi for each psi off, up to where the rule equalizes.

    The rule takes the auxiliary as 2.5 cylinders, so it stops at P / 1.4 after P / 3.5 off
    (algebra on HOWARD's rule). It promises too much for light sets.

    Parameters
    ----------
    charged
        Pressure P in the auxiliary before the application, zero or more. [psi]
    reduction
        Reduction of the brake pipe, zero or more. [psi]

    Returns
    -------
    float
        Estimated cylinder pressure. [psi]

    Examples
    --------
    >>> rule_of_thumb(charged=90, reduction=10)
    25.0
    >>> rule_of_thumb(charged=70, reduction=30)
    50.0
    """
    return min(RULE_FACTOR * reduction, rule_full_service_pressure(charged=charged))


def rule_full_service_pressure(*, charged: float) -> float:
    """Full service by the rule of thumb, P / 1.4, in psi.

    Examples
    --------
    >>> rule_full_service_pressure(charged=70)
    50.0
    """
    return charged * RULE_FACTOR / (RULE_FACTOR + 1)


def rise_to_release(
    *,
    charged: float,
    reduction: float,
    margin: float,
    car: CarBrake = NOMINAL_CAR,
    atmosphere: float = ATMOSPHERE,
) -> float:
    """Rise of the brake pipe after which a direct-release valve lets go.

    The valve compares the pipe with *its own* auxiliary. After a set up to full service the two
    stand level and the rise is the margin alone; what was taken off past full service comes on
    top, because there the auxiliary stayed behind.

    Parameters
    ----------
    charged, reduction, car, atmosphere
        As in `service_pressure`.
    margin
        How far the pipe must stand over the auxiliary; 1.5 to 3, from memory. [psi]

    Returns
    -------
    float
        Rise. [psi]

    Examples
    --------
    >>> rise_to_release(charged=90, reduction=12, margin=3.0)
    3.0
    >>> rise_to_release(charged=90, reduction=30, margin=3)
    7.0
    """
    full = full_service_reduction(charged=charged, car=car, atmosphere=atmosphere)
    return max(0.0, reduction - full) + margin
