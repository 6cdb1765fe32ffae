"""A quick look at one page, without a whole build: rendered, served, made anew when it changes."""

from __future__ import annotations

import shutil
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from generator import policy
from generator.closed_forms import close_forms
from generator.copy_stamp import MANIFEST_PATH, stamped
from generator.offline import WORKER
from generator.serving import SiteServer
from generator.site import (
    BuildError,
    check_leftovers,
    lean_pages,
    reachable_tables,
    render,
    write_pages,
)
from generator.theme_script import mend_theme_script

_LOOK_EVERY_S = 0.5


def preview_page(root: Path, page: Path, *, report: Callable[[str], None]) -> Path:
    """Render one page of ``content/`` alone.

    What a whole build left in ``site/`` stands around it, so that its calculators answer and its links lead
    somewhere; without one the page stands by itself.

    Returns
    -------
    Path
        The folder of the previewed site.

    Raises
    ------
    BuildError
        If there is no such page, or it embeds something that does not exist.
    """
    content = root / "content"
    name = _name_of(page, content)
    staged, rendered, out = (root / ".work" / "preview" / part for part in ("pages", "one", "site"))
    write_pages(root, staged, only=name)
    render(root, rendered, only=(name, staged))
    mend_theme_script(rendered)
    close_forms(rendered)
    reachable_tables(rendered)
    lean_pages(rendered)
    check_leftovers(rendered)
    shutil.rmtree(out, ignore_errors=True)
    if (root / "site" / "index.html").is_file():
        # Without its service worker, which would show the whole build's page.
        shutil.copytree(root / "site", out, ignore=shutil.ignore_patterns(WORKER))
        # Scripts without a stamp ask for the list of what Python is packed of by its bare name.
        for listed in out.glob(stamped(MANIFEST_PATH, "*")):
            shutil.copyfile(listed, out / MANIFEST_PATH)
    else:
        report(
            "There is no whole build beside it: nothing answers on this page, and links lead nowhere."
        )
    shutil.copytree(rendered, out, dirs_exist_ok=True)
    policy.write_policy(out, policy.content_security_policy(out))
    return out


def preview(root: Path, page: Path, *, port: int, report: Callable[[str], None]) -> None:
    """Serve one page until the keyboard stops it, and make it anew whenever its file changes."""
    out = preview_page(root, page, report=report)
    content = root / "content"
    name = _name_of(page, content)
    place = "" if name.stem == "index" else f"{name.stem}/"
    folder = "" if name.parent == Path() else f"{name.parent.as_posix()}/"
    with SiteServer(out, port=port) as server, suppress(KeyboardInterrupt):
        report(
            f"The page is at {server.url}{folder}{place} (only from this machine). Ctrl+C stops it."
        )
        seen = (content / name).stat().st_mtime_ns
        while True:
            time.sleep(_LOOK_EVERY_S)
            now = (content / name).stat().st_mtime_ns
            if now == seen:
                continue
            seen = now
            try:
                server.site = preview_page(root, page, report=report)
                report(f"{name}: made anew")
            except BuildError as error:
                report(f"Not made anew: {error}")


def _name_of(page: Path, content: Path) -> Path:
    """The page below ``content/``, given from there or from anywhere."""
    for tried in (page, content / page, content / page.with_suffix(".md")):
        file = tried.resolve()
        if file.is_file() and file.suffix == ".md" and file.is_relative_to(content.resolve()):
            return file.relative_to(content.resolve())
    raise BuildError(f"{page} is no page below content/")
