"""Codes as an outside reader reads them, from a picture of what stands on the screen or on paper."""

from __future__ import annotations

import base64
from functools import cache
from pathlib import Path

from playwright.sync_api import Browser

from generator.setup import node
from generator.setup.places import Places

ROOT = Path(__file__).parents[2]

_READ = """async (picture) => {
  const bytes = Uint8Array.from(atob(picture), (letter) => letter.charCodeAt(0));
  const image = await createImageBitmap(new Blob([bytes], { type: "image/png" }));
  const canvas = new OffscreenCanvas(image.width, image.height);
  const drawing = canvas.getContext("2d");
  drawing.drawImage(image, 0, 0);
  const { data, width, height } = drawing.getImageData(0, 0, image.width, image.height);
  return jsQR(data, width, height)?.data ?? "";
}"""


@cache
def _reader() -> str:
    folder = node.package_folder(Places(root=ROOT), node.TEST_TOOLS, "jsqr")
    return (folder / "dist" / "jsQR.js").read_text(encoding="utf-8")


def read_code(browser: Browser, picture: bytes) -> str:
    """The text of the code in a PNG picture; empty if none can be read."""
    page = browser.new_page()
    try:
        page.add_script_tag(content=_reader())
        read: str = page.evaluate(_READ, base64.b64encode(picture).decode("ascii"))
        return read
    finally:
        page.close()
