"""Storage that is full, refused or emptied: a clear word and a working page."""

import json
import re

import pytest
from playwright.sync_api import expect

from tests.support.visitor import Visitor, wait_until_ready

pytestmark = pytest.mark.browser

EMPTY = """async () => {
    const cache = await caches.open('site copy /');
    for (const file of await cache.keys()) await cache.delete(file);
}"""


def test_full_device(serve, visitor):
    server = serve()
    page = visitor.context.pages[0]
    tools = visitor.context.new_cdp_session(page)
    tools.send(
        "Storage.overrideQuotaForOrigin",
        {"origin": server.url.rstrip("/"), "quotaSize": 1_000_000},
    )
    page.goto(server.url)

    line = page.locator(".copy-status-ready")
    expect(line).to_contain_text(
        re.compile(r"no room, or storage is refused\. The copy takes about [1-9]\d? MB\.")
    )
    expect(page.get_by_role("status")).to_contain_text("no room")
    page.goto(f"{server.url}units/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Units")
    assert page.evaluate("async () => (await fetch('../runtime/library.zip')).status") == 200


def test_storage_refused_by_a_setting(serve, playwright, tmp_path):
    server = serve()
    settings = tmp_path / "profile" / "Default" / "Preferences"
    settings.parent.mkdir(parents=True)
    block = 2
    settings.write_text(
        json.dumps({"profile": {"default_content_setting_values": {"cookies": block}}})
    )
    with Visitor(playwright, tmp_path / "profile") as visitor:
        page = visitor.open(f"{server.url}units/")

        expect(page.locator(".copy-status-ready")).to_contain_text("refused to keep the site")
        expect(page.locator(".copy-status-built")).to_contain_text("Oct 1, 2026")
        expect(page.get_by_role("heading", level=1)).to_have_text("Units")


def test_evicted_files_are_fetched_again(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    lost = page.evaluate(
        """async () => {
            const cache = await caches.open('site copy /');
            const files = (await cache.keys()).filter(({url}) => url.includes('/__f/'));
            for (const file of files.slice(0, 5)) await cache.delete(file);
            return files.length;
        }"""
    )
    assert lost > 5
    server.log.clear()

    page.reload()

    wait_until_ready(page)
    asked = {served.path for served in server.log} - {"service-worker.js"}
    assert len(asked) == 5


def test_evicted_files_without_a_line_are_said(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    page.evaluate(EMPTY)
    server.close()

    response = page.goto(f"{server.url}units/")

    assert response.status == 503
    expect(page.locator("body")).to_contain_text("This page (units/index.html) is not on this")
    server.open()
    page.goto(f"{server.url}units/")
    wait_until_ready(page)


def test_emptied_copy_shows_the_newer_site(serve, site, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    page.evaluate(EMPTY)
    for file in (site / "units").glob("index.html*"):
        file.write_text(file.read_text().replace("620.5", "620.53"))
    stamp = site / "copy.json"
    stamp.write_text(stamp.read_text().replace('"content": "', '"content": "0'))

    page.goto(f"{server.url}units/")

    expect(page.get_by_role("main")).to_contain_text("620.53")
