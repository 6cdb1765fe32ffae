"""A worksheet as files at a desk: PDF by the browser, a table, a package for other programs.

The same worksheet gives the same bytes: the moments that a browser and a zip write into their files
are replaced by a fixed one.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Mapping
from pathlib import Path
from urllib.parse import urljoin

from calculators.base.errors import InputError
from calculators.rendering.worksheets import worksheet_html
from calculators.short_links.packing import FIELD, shortened
from calculators.worksheets.asking import DEFAULTS, PAPERS, Worksheet, worksheet
from calculators.worksheets.exchange import as_csv, as_qti
from generator.setup import browsers
from generator.site import BuildError

FOLDER = "worksheets"
PAGE = "teach/worksheet/"
# The word of the command that says where the site is to be had; without it the paper has no code.
SITE = "site"
# A fixed moment, as in the site's build: 2024-01-01.
_MOMENT = b"D:20240101000000+00'00'"
_ZIP_MOMENT = (2024, 1, 1, 0, 0, 0)
_DATE = re.compile(rb"\((D:\d{14}[^)]*)\)")
_CODE = '<div class="paper-code"></div>'
_ADDRESS = '<span class="paper-address"></span>'
_QUIET = 4
_EDGE = "14mm"
# The colors, the circuit's lines and the paper, as on the worksheet's page in the site.
_STYLES = ("look.css", "circuits.css", "paper.css")


def asked(words: tuple[str, ...]) -> dict[str, str]:
    """The words of the command, each ``name=value``.

    Raises
    ------
    BuildError
        If one reads otherwise, or a name stands twice.
    """
    found: dict[str, str] = {}
    for word in words:
        name, equals, text = word.partition("=")
        if not equals:
            raise BuildError(
                f'"{word}" should read name=value; names: {", ".join([*DEFAULTS, SITE])}'
            )
        if name in found:
            raise BuildError(f'"{name}" is given more than once')
        found[name] = text
    return found


def write_worksheet(root: Path, words: tuple[str, ...]) -> tuple[Path, ...]:
    """Write PDF, CSV and QTI package into ``worksheets/``; returns the files.

    Raises
    ------
    BuildError
        If the worksheet cannot be made; says what to change.
    """
    given = asked(words)
    site = given.pop(SITE, "")
    try:
        sheet = worksheet(given)
    except InputError as error:
        raise BuildError(error.message) from error
    folder = root / FOLDER
    folder.mkdir(exist_ok=True)
    stem = folder / f"worksheet-{re.sub(r'[^A-Za-z0-9-]+', '-', sheet.seed)}"
    files = {
        stem.with_suffix(".pdf"): pdf(root, sheet, site=site),
        stem.with_suffix(".csv"): as_csv(sheet).encode("utf-8"),
        stem.with_suffix(".qti.zip"): packed(as_qti(sheet)),
    }
    for file, content in files.items():
        file.write_bytes(content)
    return tuple(files)


def packed(files: Mapping[str, str]) -> bytes:
    """Files by name as a zip; the same files give the same bytes."""
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in files.items():
            archive.writestr(zipfile.ZipInfo(name, _ZIP_MOMENT), text.encode("utf-8"))
    return made.getvalue()


def document(root: Path, sheet: Worksheet, *, site: str = "") -> str:
    """The two papers as a page of their own, with the style of the printed sheets."""
    styles = root / "build" / "theme" / "own"
    style = "".join((styles / name).read_text(encoding="utf-8") for name in _STYLES)
    papers = worksheet_html(sheet)
    if site:
        address = f"{urljoin(site.rstrip('/') + '/', PAGE)}?{FIELD}={shortened('worksheet', sheet.query())}"
        papers = papers.replace(_CODE, f'<div class="paper-code">{code(address)}</div>')
        papers = papers.replace(
            _ADDRESS, f'<span class="paper-address">{_escaped(address)} </span>'
        )
    return (
        '<!DOCTYPE html><html lang="en-US" data-paper="yes"><head><meta charset="utf-8">'
        f"<title>{_escaped(sheet.title())}, seed {_escaped(sheet.seed)}</title>"
        f"<style>body{{font-family:sans-serif;margin:0}}{style}</style></head>"
        f'<body><main class="papers md-typeset">{papers}</main></body></html>'
    )


def code(address: str) -> str:
    """An address as a code on paper: level M, four modules of quiet."""
    import segno

    drawn = segno.make(address, error="m", micro=False, boost_error=False)
    return str(
        drawn.svg_inline(
            border=_QUIET, svgclass="code", lineclass=None, omitsize=True, light="#fff"
        )
    )


def pdf(root: Path, sheet: Worksheet, *, site: str = "") -> bytes:
    """The papers as a tagged PDF with an outline, in US English."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as started:
        browser = started.chromium.launch(
            executable_path=browsers.chromium(), args=browsers.CHROMIUM_FLAGS
        )
        try:
            page = browser.new_page()
            page.set_content(document(root, sheet, site=site))
            made: bytes = page.pdf(
                format=PAPERS[sheet.paper],
                margin={"top": _EDGE, "bottom": _EDGE, "left": _EDGE, "right": _EDGE},
                tagged=True,
                outline=True,
                print_background=True,
            )
        finally:
            browser.close()
    return with_fixed_dates(made)


def with_fixed_dates(made: bytes) -> bytes:
    """The PDF with every date in it replaced by a fixed one of the same length."""
    return _DATE.sub(
        lambda found: b"(" + _MOMENT[: len(found[1])].ljust(len(found[1])) + b")", made
    )


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
