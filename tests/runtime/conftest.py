"""The packed runtime, and a page that asks it questions in a real browser."""

import json
import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, Playwright

from generator.runtime import RuntimeReport, pack
from generator.runtime.cargo import Cargo
from generator.runtime.packing import kept_of, pack_cargo
from generator.setup import browsers
from generator.setup.places import Places
from tests.runtime.trial_page import RunInPage, make_trial_site
from tests.support.server import FaultyServer
from tests.support.visitor import FLAGS

ROOT = Path(__file__).parents[2]
STANDIN_ENTRY = Path(__file__).parent / "standin_entry.py"
STANDIN_LATER = Path(__file__).parent / "standin_later.py"


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """A folder with a packed runtime, and what the packing said of it."""

    folder: Path
    report: RuntimeReport


@pytest.fixture(scope="session")
def packed(tmp_path_factory: pytest.TempPathFactory) -> Packed:
    """The project's own runtime; not to be changed."""
    folder = tmp_path_factory.mktemp("packed") / "runtime"
    return Packed(folder=folder, report=pack(ROOT, folder))


@pytest.fixture(scope="session")
def standin(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a small package with the same entry as ours."""
    package = tmp_path_factory.mktemp("standin") / "calculators"
    package.mkdir()
    (package / "__init__.py").write_text('"""A stand-in."""\n', encoding="utf-8")
    (package / "word.txt").write_text("air\n", encoding="utf-8")
    shutil.copyfile(STANDIN_ENTRY, package / "browser.py")
    (package / "later").mkdir()
    shutil.copyfile(STANDIN_LATER, package / "later" / "__init__.py")
    (package / "later" / "word.txt").write_text("brake\n", encoding="utf-8")
    return package


@pytest.fixture(scope="session")
def packed_standin(standin: Path, tmp_path_factory: pytest.TempPathFactory) -> Packed:
    """A runtime that carries the stand-in; not to be changed."""
    folder = tmp_path_factory.mktemp("packed-standin") / "runtime"
    project = Places(root=ROOT)
    report = pack_cargo(project, standin_cargo(standin), folder, kept=kept_of(project))
    return Packed(folder=folder, report=report)


def standin_cargo(package: Path) -> Cargo:
    """The stand-in with the requests that lead through both of its parts."""
    return Cargo(
        package=package,
        self_test=json.dumps({}),
        requests=[json.dumps({}), json.dumps({"later": "n"})],
        streams=[json.dumps({"parts": 2, "work": 2}), json.dumps({"parts": 1, "later": "n"})],
        later=["later"],
        libraries={"beside.py": b"WORD = 'beside'\n"},
    )


@dataclass(slots=True, kw_only=True)
class Trial:
    """A served page whose script offers the client as `client`."""

    server: FaultyServer
    page: Page
    run: RunInPage
    complaints: list[str] = field(default_factory=list)
    """What the browser's console had to say."""

    def open(self) -> None:
        """Load the page."""
        self.page.goto(self.server.url)


@pytest.fixture(scope="module")
def device(
    playwright: Playwright, packed_standin: Packed, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[BrowserContext]:
    """A device whose browser has the interpreter compiled, as a page that stays open holds it.

    What the pages beside it keep goes by their server's port, and is cleared when they close.
    """
    browser = playwright.chromium.launch(executable_path=browsers.windowless(), args=FLAGS)
    context = browser.new_context()
    folder = tmp_path_factory.mktemp("held")
    site = make_trial_site(folder / "site", packed_standin.folder, ROOT / "build" / "browser")
    holding = context.new_page()
    with FaultyServer(site, prefix="/ref/") as server:
        holding.goto(server.url)
        RunInPage(holding)("client.ask({})")
    yield context
    browser.close()


@pytest.fixture
def trial(
    device: BrowserContext, playwright: Playwright, tmp_path: Path
) -> Iterator[Callable[[Packed], Trial]]:
    """Serves a runtime under a sub-path and opens a page on it; ``alone`` in a browser of its own."""
    with ExitStack() as closing:

        def start(packed: Packed, *, alone: bool = False) -> Trial:
            folder = tmp_path / f"site-{len(list(tmp_path.iterdir()))}"
            site = make_trial_site(folder, packed.folder, ROOT / "build" / "browser")
            server = FaultyServer(site, prefix="/ref/")
            closing.enter_context(server)
            context = device
            if alone:
                browser = playwright.chromium.launch(
                    executable_path=browsers.windowless(), args=FLAGS
                )
                closing.callback(browser.close)
                context = browser.new_context()
            page = context.new_page()
            closing.callback(leave, page, server.url)
            trial = Trial(server=server, page=page, run=RunInPage(page))
            page.on("console", lambda message: trial.complaints.append(message.text))
            return trial

        yield start


def leave(page: Page, url: str) -> None:
    """Close a page and clear what it kept: no other finds it on a port that is given again."""
    session = page.context.new_cdp_session(page)
    origin = "/".join(url.split("/")[:3])
    session.send("Storage.clearDataForOrigin", {"origin": origin, "storageTypes": "all"})
    session.send("Network.clearBrowserCache")
    page.close()
