"""Draw the site's icons: a gauge with two needles, as SVG and as PNG in the sizes asked for.

Run by hand after a change to the drawing (`.work/venv/bin/python build/icons/render.py`); the
results are kept in the repository, so that a build needs no browser.
"""

import math
import sys
from pathlib import Path
from xml.etree import ElementTree

from playwright.sync_api import sync_playwright

FOLDER = Path(__file__).resolve().parent
sys.path.append(str(FOLDER.parent))
from generator.setup import browsers  # noqa: E402 - the line above makes it importable

SIZE = 512
CENTER = SIZE / 2
GROUND = "#1f2a33"
DIAL = "#f5f7f9"
MARK = "#3a3f44"
PIPE_NEEDLE = "#0b5cad"
CYLINDER_NEEDLE = "#b3261e"

# The gauge's sweep, in degrees clockwise from straight up.
SWEEP_FROM, SWEEP_TO, MARKS = -130, 130, 11
FULL_SCALE_PSI = 100
# The readings of the reference's first example: 12 off an 85 psi brake pipe.
PIPE_PSI, CYLINDER_PSI = 73, 30

# PNG file: edge in pixels, whether the ground fills the corners, scale of the gauge. A maskable
# icon may lose all outside a circle of 80 % of its edge, so its gauge is drawn smaller.
PICTURES = {
    "icon-192.png": (192, False, 1.0),
    "icon-512.png": (512, False, 1.0),
    "icon-maskable-512.png": (512, True, 0.84),
    "apple-touch-180.png": (180, True, 0.92),
}


def drawing(*, fills_corners: bool, scale: float) -> str:
    """Give the icon as SVG text."""
    root = ElementTree.Element(
        "svg", {"xmlns": "http://www.w3.org/2000/svg", "viewBox": f"0 0 {SIZE} {SIZE}"}
    )
    corner = 0 if fills_corners else 96
    add(root, "rect", width=SIZE, height=SIZE, rx=corner, fill=GROUND)
    shift = CENTER * (1 - scale)
    gauge = ElementTree.SubElement(
        root, "g", {"transform": f"translate({shift:g} {shift:g}) scale({scale:g})"}
    )
    add(gauge, "rect", x=CENTER - 44, y=CENTER + 120, width=88, height=112, rx=14, fill=DIAL)
    add(gauge, "circle", cx=CENTER, cy=CENTER, r=200, fill=DIAL)
    for number in range(MARKS):
        is_long = number % 5 == 0
        angle = angle_at(FULL_SCALE_PSI * number / (MARKS - 1))
        line(gauge, angle, 136 if is_long else 152, 178, MARK, 16 if is_long else 9)
    line(gauge, angle_at(CYLINDER_PSI), -34, 128, CYLINDER_NEEDLE, 20)
    line(gauge, angle_at(PIPE_PSI), -34, 150, PIPE_NEEDLE, 20)
    add(gauge, "circle", cx=CENTER, cy=CENTER, r=30, fill=GROUND)
    ElementTree.indent(root)
    return ElementTree.tostring(root, encoding="unicode") + "\n"


def angle_at(pressure: float) -> float:
    """Give where the needle stands at a pressure in psi, in degrees clockwise from straight up."""
    return SWEEP_FROM + (SWEEP_TO - SWEEP_FROM) * pressure / FULL_SCALE_PSI


def add(parent: ElementTree.Element, tag: str, **attributes: float | str) -> None:
    """Add an element; underscores in names stand for hyphens."""
    values = {
        name.replace("_", "-"): value if isinstance(value, str) else f"{value:g}"
        for name, value in attributes.items()
    }
    ElementTree.SubElement(parent, tag, values)


def line(
    parent: ElementTree.Element, angle: float, start: float, end: float, color: str, width: float
) -> None:
    """Add a line along a ray from the center, from one radius to another."""
    x, y = math.sin(math.radians(angle)), -math.cos(math.radians(angle))
    add(
        parent,
        "line",
        x1=round(CENTER + start * x, 1),
        y1=round(CENTER + start * y, 1),
        x2=round(CENTER + end * x, 1),
        y2=round(CENTER + end * y, 1),
        stroke=color,
        stroke_width=width,
        stroke_linecap="round",
    )


def main() -> None:
    """Write all icons."""
    (FOLDER / "icon.svg").write_text(drawing(fills_corners=False, scale=1.0), encoding="utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=browsers.chromium(), args=browsers.CHROMIUM_FLAGS
        )
        for name, (edge, fills_corners, scale) in PICTURES.items():
            page = browser.new_page(viewport={"width": edge, "height": edge})
            svg = drawing(fills_corners=fills_corners, scale=scale)
            page.set_content(f"<body style='margin:0'>{svg}</body>")
            page.screenshot(path=FOLDER / name, omit_background=True)
            page.close()
        browser.close()


if __name__ == "__main__":
    main()
