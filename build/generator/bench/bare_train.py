"""The train model by itself in the browser's Python: no page around it, told only at the end."""

from __future__ import annotations

import io
import zipfile
from base64 import b64encode
from pathlib import Path

from playwright.sync_api import Playwright, Route

from generator.content_types import content_type
from generator.runtime.inside_pyodide import runtime_folder
from generator.setup import browsers
from generator.setup.places import Places

_ORIGIN = "http://localhost/"
"""Never asked for: every request is answered from the runtime's folder."""
_START = """
async (modules) => {
  const { loadPyodide } = await import("/pyodide.mjs");
  globalThis.python = await loadPyodide({ indexURL: "/" });
  const bytes = Uint8Array.from(atob(modules), (one) => one.charCodeAt(0));
  globalThis.python.unpackArchive(bytes, "zip", { extractDir: "/modules" });
  globalThis.python.runPython("import sys; sys.path.insert(0, '/modules')");
}
"""
_RUN = "(program) => globalThis.python.runPython(program)"


def seconds_of(playwright: Playwright, root: Path, program: str, *, times: int) -> list[float]:
    """Run a program of the calculators' package some times; the seconds of each.

    Parameters
    ----------
    program
        Python whose last line is an expression for the seconds that one run took.
    """
    runtime = runtime_folder(Places(root=root))

    def answered(route: Route) -> None:
        path = runtime / route.request.url.removeprefix(_ORIGIN)
        if path.is_file():
            route.fulfill(body=path.read_bytes(), content_type=content_type(path.name))
        else:
            route.fulfill(body="<!doctype html><title>bench</title>", content_type="text/html")

    browser = playwright.chromium.launch(
        executable_path=browsers.chromium(), args=browsers.CHROMIUM_FLAGS
    )
    try:
        page = browser.new_page()
        page.route("**/*", answered)
        page.goto(_ORIGIN)
        page.evaluate(_START, b64encode(_modules(root)).decode())
        # The first run looks its modules up.
        runs = [page.evaluate(_RUN, program) for _ in range(times + 1)]
        return [float(one) for one in runs[1:]]
    finally:
        browser.close()


def _modules(root: Path) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w") as archive:
        for module in sorted((root / "calculators").rglob("*.py")):
            archive.write(module, module.relative_to(root))
    return packed.getvalue()
