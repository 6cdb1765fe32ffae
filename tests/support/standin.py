"""A small site in the shape of the real one, for trials that change, cut and corrupt it."""

import hashlib
import logging
import shutil
import warnings
from pathlib import Path

import yaml

BROWSER_MODULES = Path(__file__).resolve().parents[2] / "build" / "browser"

PAGES = {
    "index.md": "# Start\n\nThe stand-in site. See [service](circuits/service.md#steps).\n",
    "circuits/service.md": "# Service\n\nThe handle takes the pressure down.\n\n## Steps\n\nOne.\n",
    "circuits/release.md": "# Release\n\nThe pressure comes back: the recharging word.\n",
    # Of the second part, which follows when the first is ready.
    "study/index.md": "# Study\n\nA page of the second part.\n",
    "units.md": "# Units\n\n| psi | kPa |\n| --- | --- |\n| 90 | 620.5 |\n",
}

_MAIN_TEMPLATE = """\
{% extends "base.html" %}
{% block extrahead %}
<link rel="manifest" href="{{ 'manifest.webmanifest' | url }}">
{% endblock %}
{% block scripts %}
{{ super() }}
<script type="module" src="{{ 'browser/offline.js' | url }}"></script>
{% endblock %}
{% block footer %}
<div class="copy-status" data-copy="@COPY@"><p>Version 0.0.0</p></div>
{{ super() }}
{% endblock %}
"""

PIECE = 300_000
RUNTIME = {f"runtime/piece-{number}.bin": PIECE for number in range(4)} | {
    "runtime/interpreter.mjs": 1_100_000,
    "runtime/library.zip": 1_200_000,
}
LATER = "runtime/later-1.bin"
LATER_SIZE = 250_000


def build_standin(folder: Path, *, pages: dict[str, str] = PAGES, site_url: str = "") -> Path:
    """Build the stand-in into `folder / "site"` and return that."""
    source = folder / "content"
    for name, text in pages.items():
        _write(source / name, text.encode())
    _write(folder / "theme" / "main.html", _MAIN_TEMPLATE.encode())
    settings = {
        "site_name": "Stand-in reference",
        "site_description": "A stand-in.",
        "site_url": site_url,
        "docs_dir": str(source),
        "site_dir": str(folder / "site"),
        "theme": {
            "name": "material",
            "custom_dir": str(folder / "theme"),
            "font": False,
            "features": ["navigation.instant"],
        },
        "plugins": ["search"],
        "markdown_extensions": [{"tables": {"use_align_attribute": True}}],
    }
    _write(folder / "mkdocs.yml", yaml.safe_dump(settings).encode())
    _render(folder / "mkdocs.yml")
    site = folder / "site"
    shutil.copytree(BROWSER_MODULES, site / "browser", ignore=_all_but_offline)
    for name, size in {**RUNTIME, LATER: LATER_SIZE}.items():
        content = incompressible(name, size)
        is_text = name.endswith(".mjs")
        _write(site / name, content.hex().encode()[:size] if is_text else content)
    return site


def incompressible(seed: str, size: int) -> bytes:
    """Bytes that no host can make smaller, the same for the same seed."""
    return hashlib.shake_256(seed.encode()).digest(size)


def _render(settings: Path) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # The renderer's own dependencies warn; not ours to mend.
        from mkdocs.commands.build import build
        from mkdocs.config import load_config

        logging.getLogger("mkdocs").setLevel(logging.ERROR)
        build(load_config(str(settings)))


def _all_but_offline(folder: str, names: list[str]) -> list[str]:
    needed = {"copy-stamp.js", "device-store.js", "page-fits.js", "registration.js"}
    return [name for name in names if not name.startswith("offline") and name not in needed]


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)
