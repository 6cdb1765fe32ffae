"""Symbols of ISO 1219-1 (fluid power) as SVG groups, each with named ports.

A symbol is drawn around its own origin and knows nothing of what it stands for. Squares of a valve
carry the class ``square-NAME``; the group's class says which of them the valve stands in.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from xml.etree.ElementTree import Element

from calculators.circuits.description import Component, Spot
from calculators.rendering.elements import append, element

SQUARE = 28.0
HALF = SQUARE / 2
REDUCER = 30.0
_APART = 7.0
_DEVICE = 36.0


def ports(component: Component) -> Mapping[str, Spot]:
    """Places of a component's ports on the sheet."""
    x, y = component.at
    return {name: (x + dx, y + dy) for name, (dx, dy) in _PORTS[component.kind](component).items()}


def symbol(component: Component) -> Element:
    """The symbol at its place on the sheet."""
    x, y = component.at
    return element(
        "g",
        *_DRAWN[component.kind](component),
        transform=f"translate({x:g} {y:g})",
        class_="symbol",
    )


# --- Ports, from the origin of the symbol -------------------------------------------------------


def _reservoir_ports(component: Component) -> dict[str, Spot]:
    w, h = component.size
    return {"left": (-w / 2, 0), "right": (w / 2, 0), "top": (0, -h / 2), "bottom": (0, h / 2)}


def _three_way_ports(component: Component) -> dict[str, Spot]:
    return {
        "supply": (-_APART, -HALF),
        "exhaust": (_APART, -HALF),
        "out": (0, HALF),
        "left": (-1.5 * SQUARE, 0),
        "right": (1.5 * SQUARE, 0),
        "bail": (1.5 * SQUARE, 10),
    }


def _two_way_ports(component: Component) -> dict[str, Spot]:
    sign = -1 if component.faces == "up" else 1
    return {"in": (0, -sign * HALF), "out": (0, sign * HALF)}


def _change_over_ports(component: Component) -> dict[str, Spot]:
    return {"in": (_APART, -HALF), "exhaust": (-_APART, -HALF), "out": (0, HALF)}


def _reducer_ports(component: Component) -> dict[str, Spot]:
    half = REDUCER / 2
    if component.faces == "right":
        return {"in": (-half, 0), "out": (half, 0)}
    return {"in": (0, -half), "out": (0, half)}


def _shuttle_ports(component: Component) -> dict[str, Spot]:
    return {"a": (-22, 0), "b": (22, 0), "out": (0, 12)}


def _unit_ports(component: Component) -> dict[str, Spot]:
    w, h = component.size
    return {"brake_pipe": (15 - w / 2, h / 2), "pipe_13": (72, h / 2), "pipe_20": (w / 2, 20)}


def _restrictor_ports(component: Component) -> dict[str, Spot]:
    return {"in": (0, _DEVICE), "out": (0, -_DEVICE)}


_PORTS: dict[str, Callable[[Component], dict[str, Spot]]] = {
    "reservoir": _reservoir_ports,
    "three-way": _three_way_ports,
    "two-way": _two_way_ports,
    "change-over": _change_over_ports,
    "reducer": _reducer_ports,
    "shuttle": _shuttle_ports,
    "cylinder": _reservoir_ports,
    "cars": _reservoir_ports,
    "unit": _unit_ports,
    "restrictor": _restrictor_ports,
}


# --- Pieces --------------------------------------------------------------------------------------


def _line(*points: Spot, class_: str = "stroke") -> Element:
    return element("polyline", points=_points(points), class_=class_)


def _area(*points: Spot, class_: str = "head") -> Element:
    return element("polygon", points=_points(points), class_=class_)


def _points(points: tuple[Spot, ...]) -> str:
    return " ".join(f"{x:g},{y:g}" for x, y in points)


def _box(x: float, y: float, w: float, h: float, *, class_: str = "body", rx: float = 0) -> Element:
    rounded = {"rx": f"{rx:g}"} if rx else {}
    return element(
        "rect", x=f"{x:g}", y=f"{y:g}", width=f"{w:g}", height=f"{h:g}", class_=class_, **rounded
    )


def _arrow(start: Spot, end: Spot) -> tuple[Element, Element]:
    """A way through a valve's square, with its head at the end."""
    (x1, y1), (x2, y2) = start, end
    length = ((x2 - x1) ** 2 + (y2 - y1) ** 2) ** 0.5
    ux, uy = (x2 - x1) / length, (y2 - y1) / length
    base = (x2 - 7 * ux, y2 - 7 * uy)
    head = _area(
        end, (base[0] - 3.5 * uy, base[1] + 3.5 * ux), (base[0] + 3.5 * uy, base[1] - 3.5 * ux)
    )
    return _line(start, end), head


def _blocked(x: float, y: float) -> Element:
    """A port that a square shuts: a stub with a bar."""
    inner = y + (7 if y < 0 else -7)
    return element(
        "path", d=f"M{x:g} {y:g}V{inner:g}M{x - 4:g} {inner:g}H{x + 4:g}", class_="stroke"
    )


def _exhaust(x: float, y: float, *, up: bool = True, sideways: bool = False) -> Element:
    """An opening to atmosphere: a stub and a hollow triangle; dotted air when it blows."""
    if sideways:
        return element(
            "g",
            _line((x, y), (x - 4, y)),
            _area((x - 4, y - 5), (x - 4, y + 5), (x - 12, y), class_="outlet"),
            _line((x - 14, y), (x - 26, y), class_="air"),
            class_="exhaust",
        )
    sign = -1 if up else 1
    tip = y + sign * 20
    return element(
        "g",
        _line((x, y), (x, y + sign * 12)),
        _area((x - 5, y + sign * 12), (x + 5, y + sign * 12), (x, tip), class_="outlet"),
        _line((x, tip + sign * 2), (x, tip + sign * 14), class_="air"),
        class_="exhaust",
    )


def _pilot(spot: Spot, *, from_right: bool) -> Element:
    """A pressure that works on a valve: a hollow triangle toward it."""
    x, y = spot
    sign = 1 if from_right else -1
    return _area((x, y), (x + sign * 8, y - 4), (x + sign * 8, y + 4), class_="pilot")


def _lever(x: float, y: float, *, sign: int = 1) -> Element:
    """Worked by hand with a lever."""
    return element(
        "g",
        _line((x, y), (x + sign * 6, y), (x + sign * 12, y - 13)),
        element("circle", cx=f"{x + sign * 12:g}", cy=f"{y - 13:g}", r="2.5", class_="head"),
    )


def _button(x: float, y: float) -> Element:
    """Worked by pressing."""
    return element("path", d=f"M{x:g} {y:g}h8m0 -7a7 7 0 0 1 0 14z", class_="body")


def _spring(x: float, y: float, *, length: float = 12, sign: int = -1) -> Element:
    step = length / 4
    points = [(x + sign * step * n, y + (5 if n % 2 else -5)) for n in range(5)]
    return _line((x, y), *points)


# --- Symbols -------------------------------------------------------------------------------------


def _reservoir(component: Component) -> list[Element]:
    w, h = component.size
    return [_box(-w / 2, -h / 2, w, h, rx=h / 2)]


def _squares(*named: tuple[str, float, list[Element]]) -> list[Element]:
    """The squares of a valve, each a group at its own place along x."""
    return [
        element(
            "g",
            _box(-HALF, -HALF, SQUARE, SQUARE),
            *inside,
            transform=f"translate({x:g} 0)",
            class_=f"square square-{name}",
        )
        for name, x, inside in named
    ]


def _three_way(component: Component) -> list[Element]:
    feed = [*_arrow((-_APART, -HALF), (0, HALF)), _blocked(_APART, -HALF)]
    lap = [_blocked(-_APART, -HALF), _blocked(_APART, -HALF), _blocked(0, HALF)]
    exhaust = [*_arrow((0, HALF), (_APART, -HALF)), _blocked(-_APART, -HALF)]
    # A pilot pushes the square next to it into the lines.
    side = SQUARE if component.feeds == "right" else -SQUARE
    drawn = _squares(("exhaust", -side, exhaust), ("lap", 0, lap), ("feed", side, feed))
    drawn.append(_exhaust(_APART, -HALF))
    places = _three_way_ports(component)
    drawn += [_pilot(places[port], from_right=places[port][0] > 0) for port in component.pilots]
    if component.manual:
        drawn.append(_lever(1.5 * SQUARE, 0))
    return drawn


def _two_way(component: Component) -> list[Element]:
    sign = -1 if component.faces == "up" else 1
    opened = list(_arrow((0, -sign * HALF), (0, sign * HALF)))
    shut = [_blocked(0, -HALF), _blocked(0, HALF)]
    rests, other = ("open", "shut") if component.rests == "open" else ("shut", "open")
    inside = {"open": opened, "shut": shut}
    drawn = _squares((rests, 0, inside[rests]), (other, SQUARE, inside[other]))
    if component.manual:
        drawn.append(_lever(SQUARE + HALF, 0))
    if component.faces == "up":
        drawn.append(_exhaust(0, -HALF))
    return drawn


def _change_over(component: Component) -> list[Element]:
    shut = [*_arrow((0, HALF), (-_APART, -HALF)), _blocked(_APART, -HALF)]
    opened = [*_arrow((_APART, -HALF), (0, HALF)), _blocked(-_APART, -HALF)]
    return [
        *_squares(("shut", 0, shut), ("open", SQUARE, opened)),
        _button(SQUARE + HALF, 0),
        _spring(-HALF, 0),
        _exhaust(-_APART, -HALF),
    ]


def _reducer(component: Component) -> list[Element]:
    half = REDUCER / 2
    sideways = component.faces == "right"

    def way(offset: float) -> tuple[Element, Element]:
        if sideways:
            return _arrow((-half, offset), (half, offset))
        return _arrow((offset, -half), (offset, half))

    drawn = [
        _box(-half, -half, REDUCER, REDUCER),
        element("g", *way(0), class_="way-open"),
        element("g", *way(7), class_="way-shut"),
    ]
    if component.manual:
        drawn += [_lever(-half, -4, sign=-1), _exhaust(-half, 9, sideways=True)]
    elif sideways:
        drawn.append(element("g", _spring(0, 0), transform=f"translate(0 {half:g}) rotate(-90)"))
    else:
        drawn.append(_spring(half, 0, sign=1))
    return drawn


def _shuttle(component: Component) -> list[Element]:
    balls = [
        element("circle", cx=f"{x:g}", cy="0", r="6", class_=f"ball ball-{where}")
        for where, x in (("a", 10.0), ("neither", 0.0), ("b", -10.0))
    ]
    return [
        _box(-22, -12, 44, 24),
        _line((-16, -8), (-16, 8), class_="seat"),
        _line((16, -8), (16, 8), class_="seat"),
        *balls,
    ]


def _cylinder(component: Component) -> list[Element]:
    w, h = component.size

    def piston(where: str, x: float) -> Element:
        return element(
            "g",
            _box(x - 4, -h / 2 + 2, 8, h - 4, class_="head"),
            _line((x + 4, 0), (x + w / 2 + 26, 0), class_="rod"),
            class_=f"piston piston-{where}",
        )

    return [
        _box(-w / 2, -h / 2, w, h),
        piston("in", -w / 2 + 14),
        piston("out", -w / 2 + 52),
        element(
            "g",
            _spring(w / 2, -h / 4, length=w / 2 - 24),
            class_="return-spring",
        ),
    ]


def _cars(component: Component) -> list[Element]:
    w, h = component.size
    wheels = [
        element("circle", cx=f"{x:g}", cy=f"{h / 2 + 4:g}", r="4", class_="body")
        for x in (-w / 2 + 12, -w / 2 + 24, w / 2 - 24, w / 2 - 12)
    ]
    return [_box(-w / 2, -h / 2, w, h, rx=3), *wheels, _exhaust(w / 2 - 8, -h / 2)]


def _unit(component: Component) -> list[Element]:
    w, h = component.size
    return [_box(-w / 2, -h / 2, w, h, rx=6)]


def _restrictor(component: Component) -> list[Element]:
    return [
        _line((0, _DEVICE), (0, 26)),
        _area((-8, 26), (8, 26), (-8, 10), (8, 10), class_="body"),
        _line((0, 18), (0, 8)),
        element("path", d="M-7 6Q0 0 -7 -6M7 6Q0 0 7 -6M0 10V-14", class_="stroke"),
        element("path", d="M-8 -14L0 -22L8 -14", class_="stroke"),
        element("circle", cx="0", cy="-16", r="4", class_="body"),
        _line((0, -22), (0, -_DEVICE)),
    ]


_DRAWN: dict[str, Callable[[Component], list[Element]]] = {
    "reservoir": _reservoir,
    "three-way": _three_way,
    "two-way": _two_way,
    "change-over": _change_over,
    "reducer": _reducer,
    "shuttle": _shuttle,
    "cylinder": _cylinder,
    "cars": _cars,
    "unit": _unit,
    "restrictor": _restrictor,
}


def lettering(text: str, at: Spot, anchor: str, class_: str, **more: str) -> Element:
    """A text on the sheet."""
    x, y = at
    made = element("text", text, x=f"{x:g}", y=f"{y:g}", class_=class_, **more)
    if anchor != "start":
        made.set("text-anchor", anchor)
    return made


def arrowheads(spot: Spot, along: Spot) -> tuple[Element, Element]:
    """The two heads of a line: one each way, of which the state shows one or none."""
    x, y = spot
    dx, dy = along

    def head(sign: int, class_: str) -> Element:
        ux, uy = sign * dx, sign * dy
        return _area(
            (x + 7 * ux, y + 7 * uy),
            (x - 5 * ux - 6 * uy, y - 5 * uy + 6 * ux),
            (x - 5 * ux + 6 * uy, y - 5 * uy - 6 * ux),
            class_=class_,
        )

    return head(1, "arrow forward"), head(-1, "arrow backward")


def group(class_: str, *children: Element, id: str) -> Element:
    """A group whose class the states change."""
    made = element("g", id=id, class_=class_)
    append(made, *children)
    return made
