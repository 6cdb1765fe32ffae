"""Random faults with the real site and its Python: nothing mixed, nothing stale, all healed.

The short form stands in the gate; the long one (200 first visits, 100 updates, 50 stores) in the
longer trials. Each trial is named by its number, by which it runs again.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import SITE
from tests.offline import trials
from tests.support.server import KINDS, FaultyServer

pytestmark = pytest.mark.browser

INSTALLS, UPDATES, STORES = 200, 100, 50
# One of each kind of fault, and of each of the store's, is in the gate between them.
SHORT_INSTALLS = (1, 3, 5, 9)
SHORT_STORES = (0, 6, 7)
# To the newer copy and back to the older one.
SHORT_UPDATES = (0, 1)


@pytest.fixture(scope="module")
def built() -> Path:
    assert (SITE / "service-worker.js").is_file(), "the site is not built: run `python3 build`"
    return SITE


@pytest.fixture(scope="module")
def copies(built: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """The site as built, and the copy that comes after it."""
    folder = tmp_path_factory.mktemp("copies")
    shutil.copytree(built, folder / "old")
    shutil.copytree(built, folder / "new")
    trials.edited(folder / "new")
    return folder / "old", folder / "new"


@pytest.fixture(scope="module")
def device(
    browser: Browser, copies: tuple[Path, Path], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[trials.Device]:
    """One device for all trials that begin with a whole copy."""
    site = tmp_path_factory.mktemp("served") / "site"
    shutil.copytree(copies[0], site)
    server = FaultyServer(site, prefix="/ref/")
    with server:
        context = browser.new_context()
        page = context.new_page()
        page.goto(server.url + trials.PAGE)
        trials.until_well(page, "the first visit")
        yield trials.Device(server=server, context=context, page=page)
        context.close()


@pytest.mark.parametrize("number", SHORT_INSTALLS)
def test_a_first_visit_with_a_fault(browser: Browser, built: Path, number: int):
    assert trials.install(browser, built, number).healed_after < trials.PATIENCE_S


@pytest.mark.parametrize("number", SHORT_STORES)
def test_a_damaged_store(device: trials.Device, number: int):
    assert trials.store(device, number).healed_after < trials.PATIENCE_S


@pytest.mark.parametrize("number", SHORT_UPDATES)
def test_an_update_with_a_fault(device: trials.Device, copies: tuple[Path, Path], number: int):
    assert trials.update(device, copies, number).healed_after < trials.PATIENCE_S


def _numbers(most: int) -> range:
    """All of them, or the part that REFERENCE_TRIALS asks for as START:STOP."""
    start, _, stop = os.environ.get("REFERENCE_TRIALS", f"0:{most}").partition(":")
    return range(int(start), min(int(stop), most))


@pytest.mark.long
@pytest.mark.parametrize("number", _numbers(INSTALLS))
def test_first_visits(browser: Browser, built: Path, number: int):
    assert trials.install(browser, built, number).healed_after < 4 * trials.PATIENCE_S


@pytest.mark.long
@pytest.mark.parametrize("number", _numbers(STORES))
def test_stores(device: trials.Device, number: int):
    assert trials.store(device, number).healed_after < 4 * trials.PATIENCE_S


@pytest.mark.long
@pytest.mark.parametrize("number", _numbers(UPDATES))
def test_updates(device: trials.Device, copies: tuple[Path, Path], number: int):
    assert trials.update(device, copies, number).healed_after < 4 * trials.PATIENCE_S


def test_every_kind_of_fault_is_drawn():
    assert {KINDS[number % len(KINDS)] for number in range(INSTALLS)} == set(KINDS)
    kinds = trials.STORE_KINDS
    assert {kinds[number % len(kinds)] for number in range(STORES)} == set(kinds)
