"""Volumes and holes of the locomotive in time: every figure with its mark.

None comes from a drawing. Holes are diameters with discharge coefficient 1; "nominal" is from
memory, "fitted" meets the figure named. The brake valve, the pipe and the cars' valves are those
of the train model (`calculators.equipment.train.tables`).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import log, pi

from calculators.air.orifice import conductance
from calculators.base.units import ATMOSPHERE, CUBIC_INCH, INCH
from calculators.equipment.locomotive import Equipment
from calculators.equipment.train.tables import AIR_SUPPLY, BRAKE_VALVE, FREIGHT_VALVE, PIPE_LINE

TEMPERATURE = 293.15
"""Temperature of all air. [K]"""

EQUALIZING_VOLUME = 220.0
"""Equalizing reservoir. [cu in] Nominal."""

SERVICE_LAG = 5.75 / log((110.0 + ATMOSPHERE) / (90.0 + ATMOSPHERE))
"""Volume of the equalizing reservoir over the flow of its service choke per unit of pressure. [s]
Fitted to RLE: from 110 to 90 in 5.5 to 6 s, read of an older brake valve."""

PIPE_20_VOLUME = 60.0
"""Pipe 20 with its passages. [cu in] Nominal."""

PIPE_13_VOLUME = 60.0
"""Actuating pipe with its passages. [cu in] Nominal."""

CONTROL_RESERVOIR_VOLUME = 300.0
"""Control reservoir. [cu in] Nominal."""

CYLINDERS = 8.0
"""Brake cylinders of one locomotive. Common practice."""

CYLINDER_VOLUME = 300.0
"""One of them with the piston out, and its share of the piping. [cu in] Nominal."""

PIPE_16_HOLE = 0.06
"""Control valve to pipe 16 and back to atmosphere. [in] Nominal."""

LIMITING_HOLE = 0.08
"""Emergency limiting valve: main reservoir to pipe 16. [in] Nominal."""

PIPE_20_HOLE = 0.08
"""Independent brake valve, either way. [in] Nominal."""

PIPE_13_HOLE = 0.08
"""Actuating valve, either way. [in] Nominal."""

CONTROL_RESERVOIR_HOLE = 0.03
"""Brake pipe to control reservoir in release. [in] Nominal."""

BAIL_OFF_HOLE = 0.08
"""Control reservoir to atmosphere at a bail-off. [in] Nominal."""

RELAY_HOLE = 0.3
"""Relay valve, main reservoir to cylinders and cylinders to atmosphere. [in] Nominal."""

PARTED_HOLE = 1.0
"""A parted hose or an opened cock in the train. [in] Nominal: the pipe's own size."""

ACTUATES_AT = 15.0
"""Pressure in pipe 13 at which the bail-off acts. [psi] Nominal."""

QUICK_SERVICE = 4800.0
"""Air that one car's quick service takes out of the pipe at its first application [psi cu in].
Fitted: with it the exhaust of a first set of 10 to 26 psi on 26 to 150 cars blows within a third of
as long as in the train model (`calculators.equipment.train`), within a tenth for long trains; a
lighter set blows too short here."""

# Friction: a valve starts once what is asked and what it has given differ by so much. [psi]
PIPE_RELAY_STARTS = BRAKE_VALVE.dead_band
CONTROL_VALVE_STARTS = 1.0  # in pipe 16, so 0.4 in the brake pipe; nominal
RELAY_STARTS = 0.5  # nominal

EMERGENCY_SPEED = 930.0
"""Speed at which an emergency runs along the train. [ft/s] Nominal: 900 to 950."""

LOCOMOTIVE_LENGTH = 70.0
"""Brake pipe of one locomotive. [ft] Nominal."""

LONGEST_PART = 900.0
"""Length of brake pipe treated as one space. [ft]"""

MOST_PARTS = 10


def passing(hole: float) -> float:
    """Choked flow of a hole per unit of pressure before it, from its diameter in inches [cu in/s].

    Examples
    --------
    >>> passing(0.06)
    22.11
    """
    area = pi / 4.0 * (hole * INCH) ** 2
    return conductance(area=area, discharge_coefficient=1.0, temperature=TEMPERATURE) / CUBIC_INCH


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """The locomotive, its volumes, and the train behind it.

    ``cars`` 0 is a light locomotive. ``leakage`` is the brake pipe's fall in psi/min, standing
    alone at the setting, spread along the train. Volumes in cu in, lengths in ft, delivery of
    the compressor in cfm.
    """

    equipment: Equipment
    cars: int = 0
    car_length: float = 55.0
    pipe_bore: float = PIPE_LINE.bore
    leakage: float = 0.0
    cylinders: float = CYLINDERS
    cylinder_volume: float = CYLINDER_VOLUME
    main_reservoir_volume: float = AIR_SUPPLY.reservoir_volume
    compressor_delivery: float = AIR_SUPPLY.compressor_delivery
    equalizing_volume: float = EQUALIZING_VOLUME
    atmosphere: float = ATMOSPHERE

    @property
    def head_volume(self) -> float:
        """Brake pipe of the locomotive alone [cu in]."""
        return self.pipe_volume(LOCOMOTIVE_LENGTH) + FREIGHT_VALVE.branch_volume

    def pipe_volume(self, length: float) -> float:
        """Volume of a length of brake pipe [cu in]."""
        return pi / 4.0 * self.pipe_bore**2 * 12.0 * length
