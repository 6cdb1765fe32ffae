"""The web app manifest and the icons, by which a browser offers to install the site."""

import json
import shutil
from pathlib import Path

ICONS = Path(__file__).resolve().parents[1] / "icons"
MANIFEST = "manifest.webmanifest"

# Addresses are relative to the manifest: the site may stand under any path.
_SETTINGS = {
    "id": "./",
    "name": "Air Brake Field Reference",
    "short_name": "Air Brake",
    "description": (
        "Offline field reference for the 26-L type locomotive air brake and its train. "
        "Training and reference only."
    ),
    "lang": "en-US",
    "dir": "ltr",
    "start_url": "./",
    "scope": "./",
    "display": "standalone",
    "background_color": "#ffffff",
    "theme_color": "#1f2a33",
    "categories": ["education", "utilities"],
    "icons": [
        {"src": "icons/icon.svg", "sizes": "any", "type": "image/svg+xml"},
        {"src": "icons/icon-192.png", "sizes": "192x192", "type": "image/png"},
        {"src": "icons/icon-512.png", "sizes": "512x512", "type": "image/png"},
        {
            "src": "icons/icon-maskable-512.png",
            "sizes": "512x512",
            "type": "image/png",
            "purpose": "maskable",
        },
    ],
}


def write_manifest(site: Path) -> None:
    """Write `manifest.webmanifest` and the folder `icons/` into the built site."""
    text = json.dumps(_SETTINGS, indent=2) + "\n"
    (site / MANIFEST).write_text(text, encoding="utf-8", newline="\n")
    folder = site / "icons"
    folder.mkdir(exist_ok=True)
    for icon in sorted([*ICONS.glob("*.svg"), *ICONS.glob("*.png")]):
        shutil.copyfile(icon, folder / icon.name)
