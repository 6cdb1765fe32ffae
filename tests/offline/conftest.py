"""A stand-in site, the faulty server and a visitor for the trials of the offline copy."""

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright

from generator.offline import OfflineReport, finish_offline
from generator.policy import content_security_policy
from generator.setup import browsers
from tests.support.server import FaultyServer
from tests.support.standin import build_standin
from tests.support.visitor import FLAGS, Visitor

BUILT = "2026-10-01T12:00:00+00:00"


def finish(site: Path, *, built: str = BUILT) -> OfflineReport:
    """Finish a site as the build does."""
    policy = content_security_policy(site)
    return finish_offline(site, policy=policy, built=built, version="0.0.0")


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """The whole browser, with no profile: each context in it is a device of its own."""
    started = playwright.chromium.launch(executable_path=browsers.chromium(), args=FLAGS)
    yield started
    started.close()


@pytest.fixture(scope="session")
def rendered(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The stand-in as the renderer leaves it; not to be changed."""
    return build_standin(tmp_path_factory.mktemp("standin"))


@pytest.fixture
def site(rendered: Path, tmp_path: Path) -> Path:
    """A finished stand-in of the test's own."""
    return finished_copy(rendered, tmp_path)


def finished_copy(rendered: Path, folder: Path) -> Path:
    """Copy what the renderer left and finish it."""
    site = folder / "site"
    shutil.copytree(rendered, site)
    finish(site)
    return site


@pytest.fixture
def serve(site: Path) -> Iterator[Callable[..., FaultyServer]]:
    """Starts faulty servers and closes them in the end."""
    with ExitStack() as closing:

        def start(prefix: str = "/", *, compress: bool = True) -> FaultyServer:
            server = FaultyServer(site, prefix=prefix, compress=compress)
            closing.enter_context(server)
            return server

        yield start


@pytest.fixture
def visitor(playwright: Playwright, tmp_path: Path) -> Iterator[Visitor]:
    """A phone-sized browser with an empty profile."""
    with Visitor(playwright, tmp_path / "profile") as someone:
        yield someone
