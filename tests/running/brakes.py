"""What tests of the running brake start with."""

from __future__ import annotations

from calculators.equipment.locomotive import Equipment
from calculators.equipment.running import EXAMPLE, Brake, Setup, start


def charged(cars: int = 0, equipment: Equipment = EXAMPLE, **more) -> Brake:
    return start(Setup(equipment=equipment, cars=cars, **more))
