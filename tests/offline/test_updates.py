"""Updates: looked for, offered, never forced, cheap, and safe with two tabs.

Held to the target "size": a text edit of one page costs at most 60 kB.
"""

from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.offline.conftest import finish
from tests.support.server import Fault
from tests.support.visitor import wait_until_ready

pytestmark = pytest.mark.browser

OLD = "The handle takes the pressure down."
NEW = "The handle takes the pressure down, as edited."
TEXT_EDIT_AT_MOST = 60_000
PAGE = "circuits/service/"
# What the copy holds of it: its own text, beside the blocks that pages share.
PIECE = f"{PAGE}index.html.json"


def edit(site: Path, old: str = OLD, new: str = NEW) -> None:
    """Change a sentence in its page and in the search index, as a new build would."""
    for path in (site / PAGE / "index.html", site / "search/search_index.json"):
        text = path.read_text()
        assert old in text
        path.write_text(text.replace(old, new))
    finish(site, built="2026-10-02T12:00:00+00:00")


def look(page: Page) -> None:
    """Come back to the tab, a while later."""
    page.clock.fast_forward(120_000)
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")


def take(page: Page) -> None:
    """Take the newer copy from the offer above the page."""
    offer = page.get_by_role("complementary", name="Newer copy")
    offer.get_by_role("button", name="Use the newer copy").click()


@pytest.fixture
def reading(serve, visitor):
    """A reader with the old copy whole, and the server."""
    server = serve("/ref/")
    page = visitor.open(server.url + PAGE)
    page.clock.install()
    page.reload()
    wait_until_ready(page)
    server.log.clear()
    return server, page


def test_a_newer_copy_can_wait(reading):
    server, page = reading
    edit(server.site)
    look(page)
    offer = page.get_by_role("complementary", name="Newer copy")
    offer.get_by_role("button", name="Later").click()
    expect(offer).to_be_hidden()
    look(page)
    expect(offer).to_be_hidden()
    # The foot of the page goes on offering it.
    expect(
        page.locator(".copy-status").get_by_role("button", name="Use the newer copy")
    ).to_be_visible()
    page.reload()
    expect(offer).to_be_visible()


def test_offered_and_taken(reading):
    server, page = reading
    edit(server.site)
    look(page)

    offer = page.get_by_role("complementary", name="Newer copy")
    expect(offer).to_contain_text("A newer copy of this reference is ready.")
    expect(page.get_by_role("status")).to_contain_text("A newer copy of this reference is ready.")
    cost = sum(served.sent for served in server.log)
    assert cost <= TEXT_EDIT_AT_MOST
    fetched = sorted(
        served.path for served in server.log if served.status == 200 and served.method == "GET"
    )
    # The stamp as a file of the copy, and where the worker was asked for how the line is, once more.
    apart = [path for path in fetched if not path.startswith("search/pieces/")]
    assert sorted(set(apart)) == sorted([PIECE, "copy.json", "service-worker.js"])
    assert len(apart) - len(set(apart)) <= apart.count("copy.json") - 1 <= 1
    assert len(fetched) == len(apart) + 1

    page.reload()
    expect(page.get_by_role("main")).to_contain_text(OLD)
    offer.get_by_role("button", name="Use the newer copy").click()
    expect(page.get_by_role("main")).to_contain_text(NEW)
    wait_until_ready(page)
    expect(offer).to_be_hidden()
    expect(page.locator(".copy-status-built")).to_contain_text("Oct 2, 2026")


def test_new_copy_works_with_the_server_stopped(reading, visitor):
    server, page = reading
    edit(server.site)
    look(page)
    take(page)
    expect(page.get_by_role("main")).to_contain_text(NEW)
    server.close()
    visitor.restart()

    page = visitor.open(server.url + PAGE)

    expect(page.get_by_role("main")).to_contain_text(NEW)
    wait_until_ready(page)
    index = page.evaluate(
        "async (address) => (await fetch(address)).json()",
        f"{server.url}search/search_index.json",
    )
    assert NEW in str(index)


def test_unchanged_site_offers_nothing(reading):
    server, page = reading
    finish(server.site)
    look(page)

    page.wait_for_timeout(1500)
    # How the line is, if that was not asked a moment ago, and nothing else.
    fetched = [one.path for one in server.log if one.status == 200 and one.method == "GET"]
    assert fetched in ([], ["copy.json"])
    expect(page.get_by_role("complementary", name="Newer copy")).to_be_hidden()
    expect(page.locator(".copy-status-checked")).to_contain_text("just now")


def test_wrong_bytes_are_refused_while_the_old_copy_serves(reading):
    server, page = reading
    edit(server.site)
    server.spoil(PIECE, Fault(corrupt=True))
    look(page)

    expect(page.locator(".copy-status-newer")).to_contain_text(f"refused ({PIECE})")
    page.reload()
    expect(page.get_by_role("main")).to_contain_text(OLD)
    wait_until_ready(page)
    server.mend()
    look(page)
    block = page.locator(".copy-status")
    block.get_by_role("button", name="Use the newer copy").click()
    expect(page.get_by_role("main")).to_contain_text(NEW)


def test_cut_update_leaves_the_old_copy_whole(reading, visitor):
    server, page = reading
    edit(server.site)
    server.spoil(PIECE, Fault(cut_after=500))
    look(page)
    expect(page.locator(".copy-status-newer")).to_contain_text("A newer copy")
    server.close()
    visitor.restart()

    page = visitor.open(server.url + PAGE)

    expect(page.get_by_role("main")).to_contain_text(OLD)
    wait_until_ready(page)


def test_two_tabs(reading, visitor):
    server, first = reading
    second = visitor.open(f"{server.url}units/", new_tab=True)
    wait_until_ready(second)
    second.evaluate("window.mark = 1")
    (server.site / "runtime/piece-0.bin").rename(server.site / "runtime/piece-9.bin")
    edit(server.site)
    look(first)
    take(first)
    expect(first.get_by_role("main")).to_contain_text(NEW)

    told = second.get_by_role("complementary", name="Newer copy")
    expect(told).to_contain_text("A newer copy was taken in another tab.")
    assert second.evaluate("window.mark") == 1
    server.close()
    old_file = "async () => (await fetch('../runtime/piece-0.bin')).status"
    assert second.evaluate(old_file) == 200
    told.get_by_role("button", name="Load this page anew").click()
    wait_until_ready(second)
    expect(told).to_be_hidden()


def test_saved_data_outlives_the_update(reading):
    server, page = reading
    page.evaluate("localStorage.setItem('mine', 'kept')")
    edit(server.site)
    look(page)
    take(page)
    expect(page.get_by_role("main")).to_contain_text(NEW)

    assert page.evaluate("localStorage.getItem('mine')") == "kept"


def test_old_copies_are_dropped(reading):
    server, page = reading
    keys = """async () => (await (await caches.open('site copy /ref/')).keys()).length"""
    counts = []
    for turn in range(3):
        old, new = (OLD, NEW) if turn % 2 == 0 else (NEW, OLD)
        edit(server.site, old, new)
        look(page)
        take(page)
        expect(page.get_by_role("main")).to_contain_text(new)
        wait_until_ready(page)
        page.wait_for_timeout(500)
        counts.append(page.evaluate(keys))

    assert counts[2] == counts[1]
