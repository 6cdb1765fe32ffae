"""The sheets: every line ends on ports, runs level or upright, and says what it carries."""

import re
from collections import defaultdict
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import pytest

from calculators.circuits.catalog import CIRCUITS
from calculators.circuits.sheet.parts import DEAD, LEAD, SHEETS, TRAILING
from calculators.equipment.running.following import WAYS
from calculators.rendering.circuit.picture import Keyed, picture, route_of
from calculators.rendering.circuit.symbols import ports

ROOT = Path(__file__).parents[2]
LOOK = (ROOT / "build/theme/own/look.css").read_text(encoding="utf-8")
OWN = (ROOT / "build/theme/own/circuits.css").read_text(encoding="utf-8")
EACH = pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
THEMES = ("default", "slate")
# Mean width of a letter in the widest common fallback font, measured, at the picture's 12 px. [px]
WIDEST_LETTER = 6.5


def test_every_circuit_has_a_sheet():
    assert {circuit.unit for circuit in CIRCUITS.values()} == set(SHEETS)


@EACH
def test_ids_are_unique(sheet):
    ids = [component.id for component in sheet.components]
    assert len(ids) == len(set(ids))
    joints = [joint.id for joint in sheet.joints]
    assert len(joints) == len(set(joints))


@EACH
def test_a_readable_number_of_components(sheet):
    assert 10 <= len(sheet.components) <= 18


@EACH
def test_lines_run_level_or_upright_between_ports(sheet):
    places = {component.id: ports(component) for component in sheet.components}
    for joint in sheet.joints:
        corners = route_of(joint, places)
        for (x1, y1), (x2, y2) in pairwise(corners):
            assert abs(x1 - x2) <= 1 or abs(y1 - y2) <= 1, (joint.id, (x1, y1), (x2, y2))


def test_an_arrow_off_its_line_is_refused():
    joint = replace(LEAD.joints[0], arrow=(300, 800))
    crooked = replace(LEAD, joints=(joint,))
    shown = Keyed(texts=defaultdict(str), classes=defaultdict(str), widths={})
    with pytest.raises(ValueError, match="no stretch of the line"):
        picture(crooked, shown, id="x", title="", words="")


@EACH
def test_everything_stands_on_the_sheet(sheet):
    places = {component.id: ports(component) for component in sheet.components}
    for joint in sheet.joints:
        for x, y in route_of(joint, places):
            assert 0 <= x <= sheet.width
            assert 0 <= y <= sheet.height
    for component in sheet.components:
        for lettering in filter(None, (component.named, component.state, component.reading)):
            x, y = lettering.at
            long = len(component.name) * WIDEST_LETTER if lettering is component.named else 0
            start = {"start": x, "middle": x - long / 2, "end": x - long}[lettering.anchor]
            assert start >= 0, component.id
            assert start + long <= sheet.width + 2, component.id
            assert 12 <= y <= sheet.height


@EACH
def test_bands_follow_the_flow_and_fill_the_sheet(sheet):
    assert [band.name for band in sheet.bands] == ["Supply", "Command", "Train", "Locomotive"]
    assert sheet.bands[0].top == 0
    assert sheet.bands[-1].bottom == sheet.height
    assert all(above.bottom == below.top for above, below in pairwise(sheet.bands))


@EACH
def test_parts_stand_in_their_band(sheet):
    where = {
        "main_reservoir": "Supply",
        "handle_valve": "Command",
        "lead_unit": "Command",
        "pipe_relay": "Command",
        "train": "Train",
        "control_valve": "Locomotive",
        "relay_valve": "Locomotive",
        "brake_cylinder": "Locomotive",
    }
    bands = {band.name: band for band in sheet.bands}
    for component in sheet.components:
        if component.id in where:
            band = bands[where[component.id]]
            assert band.top <= component.at[1] <= band.bottom


def test_every_passage_is_drawn():
    """Air that moves shows: as a line with an arrow, or as a part that blows."""
    drawn = {name for joint in LEAD.joints for name in joint.passages}
    blowing = {"handle-vent", "train-vent", "pipe-vent", "leakage", "compressor"}
    assert set(WAYS) - blowing - {"dead-engine"} <= drawn
    assert "dead-engine" in {name for joint in DEAD.joints for name in joint.passages}


@pytest.mark.parametrize("sheet", [TRAILING, DEAD], ids=["trailing", "dead"])
def test_shared_parts_stand_at_the_same_places(sheet):
    shared = {component.id for component in LEAD.components} & {
        component.id for component in sheet.components
    }
    for id in shared:
        assert sheet.component(id).at == LEAD.component(id).at


@EACH
def test_every_line_carries_a_known_role(sheet):
    for joint in sheet.joints:
        assert f".carries-{joint.carries} {{" in OWN


def test_dash_patterns_differ():
    patterns = re.findall(r"\.carries-(\w+) \{\s*--dashes: ([^;]+);", OWN)
    assert len(patterns) == 7
    assert len({pattern for _, pattern in patterns}) == len(patterns)


def colors(theme: str) -> dict[str, str]:
    block = re.search(rf'\[data-md-color-scheme="{theme}"\] \{{(.*?)\}}', LOOK, re.DOTALL)
    assert block is not None
    found = dict(re.findall(r"--([\w-]+): (#[0-9a-f]{6});", block[1]))
    own = re.findall(rf'\[data-md-color-scheme="{theme}"\] \{{\s*--stands: (#\w+);', OWN)
    return found | {"stands": own[0]}


def luminance(color: str) -> float:
    """Relative luminance, WCAG 2.2 (the sRGB formula)."""
    parts = [int(color[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_of_black_on_white_is_twenty_one():
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("theme", THEMES)
def test_lines_hold_three_to_one_on_both_grounds(theme):
    """WCAG 2.2, 1.4.11: graphical objects against what they stand on."""
    known = colors(theme)
    roles = {name: color for name, color in known.items() if name.startswith("pressure-")}
    assert len(roles) == 8
    for name, color in roles.items():
        for ground in ("paper", "panel"):
            assert contrast(color, known[ground]) >= 3.0, (name, ground)


@pytest.mark.parametrize("theme", THEMES)
def test_symbols_and_texts_hold_their_contrast(theme):
    known = colors(theme)
    for ground in ("paper", "panel", "stands"):
        assert contrast(known["ink"], known[ground]) >= 7.0
    for ground in ("paper", "panel"):
        assert contrast(known["quiet"], known[ground]) >= 4.5


def test_texts_of_the_picture_are_twelve_pixels_or_more():
    sizes = re.findall(r"\.circuit-picture[^{]*\{[^}]*font-size: (\d+)px", OWN)
    assert sizes
    assert min(map(int, sizes)) >= 12
    # A phone of 390 px shows the sheet about as wide as it is drawn.
    assert LEAD.width <= 360
