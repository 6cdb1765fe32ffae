"""What the page says of a bad line, and that it mends by itself: portals, hanging lines, errors, stores.

Each was seen in trials: an error that the browser's own cache kept, a portal called a refusal, a
hanging line called unknown, a damaged store that closed the site, a rollback called newer.
"""

import re
import time
from contextlib import ExitStack
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from generator.copy_stamp import version_of
from tests.browser.conftest import PHONE
from tests.offline.conftest import finish
from tests.offline.test_updates import edit, look
from tests.support.server import KINDS, Fault, FaultyServer
from tests.support.standin import RUNTIME
from tests.support.visitor import wait_until_ready
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser

CHECKED = ".copy-status-checked"
READY = ".copy-status-ready"
LIBRARY = "runtime/library.zip"
# A line is given up after 12 s, and asked again within 15.
HEALS_MS = 45_000


def whole(page: Page) -> None:
    expect(page.locator(READY)).to_contain_text("All ready offline:", timeout=HEALS_MS)


@pytest.mark.parametrize("path", [LIBRARY, "service-worker.js"])
def test_every_kind_of_fault_heals_without_a_reload(browser: Browser, site: Path, path: str):
    """A host's error may be kept by the browser's cache for ten minutes: it is asked past it.

    Every kind on a device of its own, all at one time: to heal is mostly to wait.
    """
    with ExitStack() as closing:
        servers = {kind: FaultyServer(site) for kind in KINDS}
        devices: dict[str, Page] = {}
        for kind, server in servers.items():
            closing.enter_context(server)
            server.spoil(path, Fault(kind=kind))
            context = closing.enter_context(browser.new_context(viewport=PHONE))  # type: ignore[arg-type]
            page = devices[kind] = context.new_page()
            page.goto(server.url)
            page.evaluate("window.mark = 1")
        time.sleep(1.5)
        ready = {kind: page.locator(READY).inner_text() for kind, page in devices.items()}
        assert [kind for kind, words in ready.items() if "All ready offline: " in words] == []
        for server in servers.values():
            server.mend()

        for kind, page in devices.items():
            expect(page.locator(READY), kind).to_contain_text(
                "All ready offline:", timeout=HEALS_MS
            )
            assert page.evaluate("window.mark") == 1, kind


def test_a_portal_is_called_so_and_what_is_held_is_said(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    server.spoil("*", Fault(kind="portal-200"))
    page.reload()

    whole(page)
    expect(page.locator(CHECKED)).to_contain_text("answers with a page of its own")
    assert "refused to keep" not in page.locator(".copy-status").inner_text()


def test_a_portal_on_the_first_visit(serve, visitor):
    server = serve()
    for path in (*RUNTIME, "service-worker.js", "copy.json"):
        server.spoil(path, Fault(kind="portal-200"))
    page = visitor.open(server.url)

    expect(page.locator(CHECKED)).to_contain_text(
        "answers with a page of its own", timeout=HEALS_MS
    )
    assert "refused to keep" not in page.locator(".copy-status").inner_text()
    server.mend()
    whole(page)


def test_a_hanging_line_is_called_so_and_keeps_nothing_waiting(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    server.spoil("*", Fault(kind="stall"))
    page.reload()

    # Said at once: what is on the device needs no line.
    expect(page.locator(READY)).to_contain_text("All ready offline:", timeout=5000)
    expect(page.locator(CHECKED)).to_contain_text("The line hangs", timeout=HEALS_MS)


def test_a_rollback_is_called_one(serve, visitor):
    server = serve("/ref/")
    page = visitor.open(server.url + "circuits/service/")
    page.clock.install()
    page.reload()
    wait_until_ready(page)
    edit(server.site)
    finish(server.site, built="2026-01-02T12:00:00+00:00")
    look(page)

    offer = page.get_by_role("complementary", name="Newer copy")
    expect(offer).to_contain_text("set back to an older copy, built on Jan 2, 2026")
    expect(offer.get_by_role("button", name="Use the older copy")).to_be_visible()


SPOIL = """async () => {
    const cache = await caches.open('site copy /');
    for (const key of await cache.keys()) {
        if (!key.url.includes('/__f/')) continue;
        const bytes = new Uint8Array(await (await cache.match(key)).arrayBuffer());
        bytes[bytes.length >> 1] ^= 1;
        await cache.put(key, new Response(bytes));
    }
}"""


def test_flipped_bytes_in_the_store_are_never_shown(serve, visitor):
    server = serve()
    page = visitor.open(f"{server.url}units/")
    wait_until_ready(page)
    page.evaluate(SPOIL)
    # A worker looks through its store once in its life: this one may have done so already.
    visitor.restart()
    server.log.clear()

    page = visitor.open(f"{server.url}units/")

    expect(page.get_by_role("main")).to_contain_text("620.5")
    assert server.asked_for("units/index.html.json")
    # The rest is found by looking through the store, and fetched again, unseen by a page that
    # needs none of it.
    unseen = "circuits/release/index.html.json"
    assert wait_for(lambda: server.asked_for(unseen), seconds=HEALS_MS / 1000)
    whole(page)
    server.close()
    page.goto(f"{server.url}circuits/release/")
    expect(page.get_by_role("main")).to_contain_text("recharging")


def test_flipped_bytes_without_a_line_are_said(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    page.evaluate(SPOIL)
    server.close()

    response = page.goto(f"{server.url}units/")

    assert response is not None
    assert response.status == 503
    expect(page.locator("body")).to_contain_text("is not on this device")


def test_a_store_that_cannot_be_opened_leaves_the_site(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    worker = visitor.context.service_workers[0]
    worker.evaluate(
        """() => {
            const { open } = CacheStorage.prototype;
            CacheStorage.prototype.open = () => Promise.reject(new DOMException("broken"));
            opened = null;
            self.mended = () => { CacheStorage.prototype.open = open; opened = null; };
        }"""
    )

    response = page.goto(f"{server.url}units/")

    assert response is not None
    assert response.status == 200
    expect(page.get_by_role("heading", level=1)).to_have_text("Units")
    worker.evaluate("() => self.mended()")
    page.reload()
    whole(page)


def test_lists_that_cannot_be_read(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    page.evaluate(
        """async () => {
            const cache = await caches.open('site copy /');
            for (const key of await cache.keys()) {
                if (key.url.includes('/__list/')) await cache.put(key, new Response('{no'));
            }
        }"""
    )
    page.goto(f"{server.url}units/")
    whole(page)
    edit_copy = server.site / "units/index.html"
    edit_copy.write_text(edit_copy.read_text().replace("620.5", "620.53"))
    finish(server.site, built="2026-10-02T12:00:00+00:00")
    page.reload()
    page.get_by_role("button", name="Use the newer copy").first.click()
    expect(page.get_by_role("main")).to_contain_text("620.53")


def test_a_deployment_during_the_first_visit(serve, visitor):
    """The page came from the old copy, and its scripts are gone: it is never joined to new ones."""
    server = serve()
    old = version_of(server.site)
    server.spoil(f"browser-{old}/offline.js", Fault(kind="stall", times=1))
    page = visitor.context.pages[0]
    page.goto(f"{server.url}circuits/service/", wait_until="commit")
    expect(page.get_by_role("main")).to_contain_text("The handle takes the pressure down.")
    edit(server.site)
    new = version_of(server.site)
    assert new != old
    page.goto(f"{server.url}circuits/service/")
    whole(page)
    assert page.locator(".copy-status").first.get_attribute("data-copy") == new
    expect(page.get_by_role("main")).to_contain_text("as edited")
    # By the page's own record: the server's log may still hold what the one before had asked for.
    taken = page.evaluate("() => performance.getEntriesByType('resource').map((one) => one.name)")
    stamps = {found[0] for one in taken if (found := re.search(r"browser-\w+", one))}
    assert stamps == {f"browser-{new}"}


def test_another_tab_is_loaded_anew_at_the_next_change_of_page(serve, visitor):
    """The theme would put the new page under the old scripts."""
    server = serve("/ref/")
    first = visitor.open(server.url + "circuits/service/")
    first.clock.install()
    first.reload()
    wait_until_ready(first)
    second = visitor.open(f"{server.url}units/", new_tab=True)
    wait_until_ready(second)
    second.evaluate("window.mark = 1")
    old = version_of(server.site)
    edit(server.site)
    look(first)
    first.get_by_role("button", name="Use the newer copy").first.click()
    expect(first.get_by_role("main")).to_contain_text("as edited")

    built = second.locator(".copy-status-built")
    expect(built).to_contain_text("Oct 1, 2026")
    assert second.locator(".copy-status").first.get_attribute("data-copy") == old
    second.get_by_role("link", name="Release").first.evaluate("link => link.click()")

    expect(second.locator(".copy-status").first).to_have_attribute(
        "data-copy", version_of(server.site)
    )
    expect(second.get_by_role("main")).to_contain_text("recharging")
    assert second.evaluate("window.mark ?? null") is None
    expect(built).to_contain_text("Oct 2, 2026")
