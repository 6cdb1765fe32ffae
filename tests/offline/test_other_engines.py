"""The built site in Firefox and WebKitGTK with the server stopped: long trials, not gates."""

import re
import shutil
import time
from collections.abc import Iterator
from contextlib import suppress
from typing import Any

import pytest

from calculators.answering.answer import answer
from calculators.answering.shown import result_rows
from calculators.catalog import CALCULATORS
from tests.browser.conftest import SITE
from tests.offline import trials
from tests.offline.conftest import finish
from tests.support.other_engines import Engine, EngineError, Firefox, WebKit, is_installed
from tests.support.server import Fault, FaultyServer
from tests.support.waiting import wait_for

pytestmark = [pytest.mark.browser, pytest.mark.long]

CALCULATOR = "brake-calculator[data-own-page]"
TYPE_REDUCTION = f"""
const field = document.querySelector("{CALCULATOR} [name=reduction]");
if (!customElements.get("brake-calculator") || field.value === "9") return;
field.value = "9";
field.dispatchEvent(new Event("input", {{ bubbles: true }}));
"""


@pytest.fixture(params=[Firefox, WebKit])
def engine(request, tmp_path) -> Iterator[Engine]:
    kind = request.param
    assert is_installed(kind.PROGRAM), f"{kind.PROGRAM} is missing: run `python3 build test --long`"
    started = kind(tmp_path / "engine")
    yield started
    started.close()


@pytest.fixture
def server(tmp_path) -> Iterator[FaultyServer]:
    """The built site, or one built elsewhere, under a sub-path."""
    assert (SITE / "service-worker.js").is_file(), "the site is not built: run `python3 build`"
    shutil.copytree(SITE, tmp_path / "site")
    started = FaultyServer(tmp_path / "site", prefix="/ref/")
    with started:
        yield started


def wait_until_ready(engine: Engine, root: str) -> None:
    engine.open(root)
    words = engine.wait_for_text(".copy-status-ready", "All ready offline:")
    assert re.match(r"All ready offline: (\d+) of \1 ", words), words


def test_offline(engine, server):
    wait_until_ready(engine, server.url)
    server.close()
    server.log.clear()
    if isinstance(engine, Firefox):
        engine.restart()

    engine.open(f"{server.url}calculators/units")
    assert engine.run("return location.href") == f"{server.url}calculators/units/"
    assert "Units" in engine.text("h1")
    engine.wait_for_text(".copy-status-ready", "All ready offline:")
    engine.open(f"{server.url}nothing/here")
    assert "This address is not in this copy" in engine.text("h1")
    assert engine.run("return document.styleSheets.length") > 0
    assert server.log == []


def test_answer_offline(engine, server):
    wait_until_ready(engine, server.url)
    server.close()
    engine.open(f"{server.url}calculators/locomotive-brake/")
    rows = result_rows(answer(CALCULATORS["locomotive-brake"], {"reduction": "9"}))
    expected = next(row.text for row in rows if row.name == "brake_pipe")

    def is_answered() -> bool:
        engine.run(TYPE_REDUCTION)
        # The group of all figures may be closed: what stands there, seen or not.
        place = f"{CALCULATOR} [data-result=brake_pipe]"
        found = engine.run("return document.querySelector(arguments[0])?.textContent", place)
        return bool(found == expected)

    assert wait_for(is_answered, seconds=90.0), engine.text(f"{CALCULATOR} .state")


def test_cut_line_and_update(engine, server):
    library = max(server.site.glob("runtime/*.bin"), key=lambda path: path.stat().st_size)
    name = library.relative_to(server.site).as_posix()
    server.spoil(name, Fault(cut_after=library.stat().st_size // 2, times=1))
    wait_until_ready(engine, server.url)
    assert sum(one.sent for one in server.asked_for(name)) <= library.stat().st_size + 600_000

    home = server.site / "index.html"
    home.write_text(home.read_text().replace("</h1>", " as edited</h1>", 1))
    finish(server.site, built="2099-01-02T12:00:00Z")
    engine.open(server.url)
    engine.wait_for_text(".copy-offer", "A newer copy of this reference is ready.")
    assert "as edited" not in engine.text("h1")
    engine.run("document.querySelector('.copy-offer button').click()")
    engine.wait_for_text("h1", "as edited")


SEE = f"return ({trials.SEEN})();"
TYPE = f"""
const field = document.querySelector("{CALCULATOR} [name=reduction]");
if (!field || field.disabled || field.value === "20") return;
field.value = "20";
field.dispatchEvent(new Event("input", {{ bubbles: true }}));
"""


def seen(engine: Engine) -> dict[str, Any] | None:
    try:
        found: dict[str, Any] | None = engine.run(SEE)
    except EngineError:
        return None  # Between two documents there is nothing to see.
    return found


@pytest.mark.parametrize("number", range(22))
def test_a_first_visit_with_a_fault(engine, server, number):
    path, fault, what = trials.drawn(server.site, number)
    server.spoil(path, fault)
    address = server.url + trials.PAGE
    engine.open("about:blank")
    engine.run("location.assign(arguments[0])", address)
    end = time.monotonic() + 4
    while time.monotonic() < end:
        trials.check(seen(engine), what)
        time.sleep(0.2)
    server.mend()
    if seen(engine) is None:
        # The page itself did not come: nothing of ours is there that could ask again.
        engine.run("location.assign(arguments[0])", address)
    found = None
    end = time.monotonic() + trials.PATIENCE_S
    while time.monotonic() < end:
        found = seen(engine)
        trials.check(found, what)
        with suppress(EngineError):
            engine.run(TYPE)
        is_answered = bool(found and found["figure"] == trials.FIGURES["20"])
        if is_answered and trials.is_whole(found):
            return
        time.sleep(0.3)
    raise AssertionError(f"{what}: not well: {found}")
