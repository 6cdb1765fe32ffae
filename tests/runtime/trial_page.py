"""A site of one page whose script offers the client of the Python worker to the tests."""

import shutil
from pathlib import Path
from typing import Any

from playwright.sync_api import Page

PAGE = """<!doctype html>
<html lang="en">
<head><meta charset="utf-8"><title>{title}</title>{script}
<link rel="icon" href="data:,"></head>
<body><p id="state"></p></body>
</html>
"""
SCRIPT = """
import * as client from "./browser/python-client.js";
globalThis.client = client;
client.watchState((state) => {
  globalThis.state = state;
  document.getElementById("state").textContent = `${state.phase}: ${state.words}`;
});
"""


def make_trial_site(site: Path, runtime: Path, modules: Path) -> Path:
    """Lay the page, our browser modules and a packed runtime out as the built site does."""
    site.mkdir(parents=True)
    shutil.copytree(runtime, site / "runtime")
    shutil.copytree(modules, site / "browser")
    tag = '<script type="module" src="trial.js"></script>'
    (site / "index.html").write_text(PAGE.format(title="Trial", script=tag), encoding="utf-8")
    (site / "404.html").write_text(PAGE.format(title="None", script=""), encoding="utf-8")
    (site / "trial.js").write_text(SCRIPT, encoding="utf-8")
    return site


class RunInPage:
    """Runs an expression in the page through the browser's debugger.

    The page's own content security policy forbids text that is run as script; the debugger's is
    not the page's.
    """

    def __init__(self, page: Page) -> None:
        self._page = page

    def __call__(self, expression: str) -> Any:
        """Give the expression's value back, a promise's when it is settled."""
        session = self._page.context.new_cdp_session(self._page)
        try:
            answer = session.send(
                "Runtime.evaluate",
                {"expression": expression, "awaitPromise": True, "returnByValue": True},
            )
        finally:
            session.detach()
        if "exceptionDetails" in answer:
            thrown = answer["exceptionDetails"].get("exception", {})
            raise AssertionError(thrown.get("description", answer["exceptionDetails"]))
        return answer["result"].get("value")
