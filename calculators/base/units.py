"""Units that people type, with exact factors.

Every factor is exact by definition: the international yard and pound agreement of 1959
(1 in = 0.0254 m, 1 lb = 0.45359237 kg) and the standard acceleration of gravity
9.80665 m/s² (3rd General Conference on Weights and Measures, 1901). All others follow.
A ton is 2,000 lb, the trade's ton. Pressures are gauge pressures unless a name says absolute,
so converting one is a matter of scale alone.
"""

from __future__ import annotations

from dataclasses import dataclass

INCH = 0.0254
FOOT = 12 * INCH
POUND = 0.45359237
GRAVITY = 9.80665
POUND_FORCE = POUND * GRAVITY
PSI = POUND_FORCE / INCH**2
CUBIC_INCH = INCH**3
CUBIC_FOOT = FOOT**3
MILE = 5280 * FOOT
POUNDS_PER_TON = 2000.0
TON = POUNDS_PER_TON * POUND
CUBIC_INCHES_PER_CUBIC_FOOT = 1728.0

ATMOSPHERE = 14.7
"""Pressure of the atmosphere at sea level, as the trade rounds it. [psi abs]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """One unit: its printed symbol, what kind of quantity it measures, its size in SI.

    ``offset`` is the SI value at zero and serves temperatures only.
    """

    symbol: str
    kind: str
    factor: float
    offset: float = 0.0
    spellings: tuple[str, ...] = ()


KINDS: dict[str, str] = {
    "pressure": "a pressure",
    "pressure rate": "a pressure per minute",
    "length": "a length",
    "area": "an area",
    "volume": "a volume",
    "flow": "a flow of air",
    "speed": "a speed",
    "acceleration": "a change of speed",
    "weight": "a weight",
    "force": "a force",
    "resistance": "a force per ton",
    "time": "a time",
    "share": "a share",
    "temperature": "a temperature",
    "curve": "a curve",
    "number": "a plain number",
}

_UNITS = (
    Unit(
        symbol="psi",
        kind="pressure",
        factor=PSI,
        spellings=("lb/in²", "lb/in2", "lbs", "lb", "pounds", "pound", "psig"),
    ),
    Unit(symbol="kPa", kind="pressure", factor=1e3, spellings=("kpa",)),
    Unit(symbol="bar", kind="pressure", factor=1e5, spellings=("bars",)),
    Unit(symbol="kgf/cm²", kind="pressure", factor=GRAVITY * 1e4, spellings=("kgf/cm2", "kg/cm2")),
    Unit(symbol="MPa", kind="pressure", factor=1e6, spellings=("mpa",)),
    Unit(symbol="psi/min", kind="pressure rate", factor=PSI / 60, spellings=("psi per minute",)),
    Unit(symbol="kPa/min", kind="pressure rate", factor=1e3 / 60, spellings=("kpa/min",)),
    Unit(symbol="bar/min", kind="pressure rate", factor=1e5 / 60),
    Unit(symbol="in", kind="length", factor=INCH, spellings=('"', "inch", "inches")),
    Unit(symbol="ft", kind="length", factor=FOOT, spellings=("'", "foot", "feet")),
    Unit(symbol="miles", kind="length", factor=MILE, spellings=("mi", "mile")),
    Unit(symbol="mm", kind="length", factor=1e-3),
    Unit(symbol="cm", kind="length", factor=1e-2),
    Unit(symbol="m", kind="length", factor=1.0),
    Unit(symbol="km", kind="length", factor=1e3),
    Unit(symbol="sq in", kind="area", factor=INCH**2, spellings=("in²", "in2")),
    Unit(symbol="sq ft", kind="area", factor=FOOT**2, spellings=("ft²", "ft2")),
    Unit(symbol="m²", kind="area", factor=1.0, spellings=("m2",)),
    Unit(symbol="cu in", kind="volume", factor=CUBIC_INCH, spellings=("in³", "in3")),
    Unit(symbol="cu ft", kind="volume", factor=CUBIC_FOOT, spellings=("ft³", "ft3")),
    Unit(symbol="L", kind="volume", factor=1e-3, spellings=("l", "liter", "liters", "litre")),
    Unit(symbol="m³", kind="volume", factor=1.0, spellings=("m3",)),
    Unit(symbol="cfm", kind="flow", factor=CUBIC_FOOT / 60, spellings=("scfm", "cu ft/min")),
    Unit(symbol="L/min", kind="flow", factor=1e-3 / 60, spellings=("l/min", "lpm")),
    Unit(symbol="L/s", kind="flow", factor=1e-3, spellings=("l/s",)),
    Unit(symbol="m³/min", kind="flow", factor=1 / 60, spellings=("m3/min",)),
    Unit(symbol="mph", kind="speed", factor=MILE / 3600, spellings=("mi/h",)),
    Unit(symbol="km/h", kind="speed", factor=1e3 / 3600, spellings=("kmh", "kph")),
    Unit(symbol="ft/s", kind="speed", factor=FOOT, spellings=("fps",)),
    Unit(symbol="m/s", kind="speed", factor=1.0),
    Unit(symbol="ft/s²", kind="acceleration", factor=FOOT, spellings=("ft/s2",)),
    Unit(symbol="mph/s", kind="acceleration", factor=MILE / 3600),
    Unit(symbol="m/s²", kind="acceleration", factor=1.0, spellings=("m/s2",)),
    Unit(symbol="tons", kind="weight", factor=TON, spellings=("ton",)),
    Unit(symbol="lb", kind="weight", factor=POUND, spellings=("pound", "pounds")),
    Unit(symbol="kg", kind="weight", factor=1.0),
    Unit(symbol="tonnes", kind="weight", factor=1e3, spellings=("t", "tonne")),
    Unit(symbol="lbf", kind="force", factor=POUND_FORCE, spellings=("lb", "pounds", "pound")),
    Unit(symbol="N", kind="force", factor=1.0),
    Unit(symbol="kN", kind="force", factor=1e3, spellings=("kn",)),
    Unit(symbol="lb/ton", kind="resistance", factor=POUND_FORCE / TON, spellings=("lbf/ton",)),
    Unit(symbol="N/t", kind="resistance", factor=1e-3, spellings=("N/tonne",)),
    Unit(symbol="s", kind="time", factor=1.0, spellings=("sec", "second", "seconds")),
    Unit(symbol="min", kind="time", factor=60.0, spellings=("minute", "minutes")),
    Unit(symbol="h", kind="time", factor=3600.0, spellings=("hour", "hours")),
    Unit(symbol="%", kind="share", factor=0.01, spellings=("percent", "per cent")),
    Unit(
        symbol="°F", kind="temperature", factor=5 / 9, offset=459.67 * 5 / 9, spellings=("F", "f")
    ),
    Unit(symbol="°C", kind="temperature", factor=1.0, offset=273.15, spellings=("C", "c")),
    Unit(symbol="deg", kind="curve", factor=1.0, spellings=("°", "degree", "degrees")),
    Unit(symbol="", kind="number", factor=1.0),
)

UNITS: dict[str, Unit] = {unit.symbol: unit for unit in _UNITS}
PRESSURE_UNITS = ("psi", "kPa", "bar")


def units_of(kind: str) -> tuple[Unit, ...]:
    """All units of one kind of quantity, in the order they are offered."""
    return tuple(unit for unit in _UNITS if unit.kind == kind)


def find_unit(text: str, kind: str) -> Unit | None:
    """The unit of this kind that a person means by ``text``; None if there is none."""
    wanted = text.strip()
    for fold in (str, str.casefold):
        for unit in units_of(kind):
            if fold(wanted) in {fold(name) for name in (unit.symbol, *unit.spellings)}:
                return unit
    return None


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Express ``value`` of one unit in another of the same kind.

    Parameters
    ----------
    value
        The number, in ``from_unit``.
    from_unit, to_unit
        Symbols listed in ``UNITS``.

    Returns
    -------
    float
        The same quantity in ``to_unit``.

    Raises
    ------
    ValueError
        If the two units do not measure the same kind of quantity.

    Examples
    --------
    >>> convert(90, "psi", "kPa")
    620.528
    >>> convert(5.9, "bar", "psi")
    85.572
    """
    source, target = UNITS[from_unit], UNITS[to_unit]
    if source.kind != target.kind:
        raise ValueError(
            f"{from_unit} is {KINDS[source.kind]} and {to_unit} is {KINDS[target.kind]}"
        )
    if source is target:
        return value
    return (value * source.factor + source.offset - target.offset) / target.factor
