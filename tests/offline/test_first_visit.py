"""The first visit: what comes, in which order, and what the page says meanwhile."""

import re

import pytest
from playwright.sync_api import expect

from tests.support.server import Fault
from tests.support.standin import LATER, RUNTIME
from tests.support.visitor import Visitor, wait_until_ready
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser


def test_every_file_goes_out_once(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)

    bodies = [served.path for served in server.log if served.status == 200]
    again = {path for path in bodies if bodies.count(path) > 1}
    assert again <= {"service-worker.js"}
    assert all(served.complete for served in server.log)
    assert visitor.errors == []


def test_page_says_what_it_holds(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)

    block = page.locator(".copy-status")
    expect(block).to_contain_text("Version 0.0.0")
    expect(block.locator(".copy-status-built")).to_contain_text(
        "This copy was built on Oct 1, 2026"
    )
    expect(block.locator(".copy-status-checked")).to_contain_text("(just now)")
    expect(block.get_by_role("status")).to_have_text("The whole site is now ready offline.")
    page.reload()
    wait_until_ready(page)
    expect(block.get_by_role("status")).to_have_text("")


def test_last_check_keeps_its_time_without_a_line(serve, visitor):
    server = serve()
    page = visitor.open(server.url)
    wait_until_ready(page)
    server.close()
    page.evaluate("localStorage.setItem('/ update checked', String(Date.now() - 3 * 86400e3))")

    page.reload()

    wait_until_ready(page)
    expect(page.locator(".copy-status-checked")).to_contain_text("(3 days ago)")


def test_pages_are_ready_before_the_runtime(serve, visitor):
    server = serve()
    for path in RUNTIME:
        server.spoil(path, Fault(bytes_per_second=60_000))
    page = visitor.open(server.url)
    half = re.compile(r"Not ready offline yet: \d+ of \d+ files are on this device, the rest")
    expect(page.locator(".copy-status-ready")).to_have_text(half)
    assert wait_for(lambda: any(server.asked_for(path) for path in RUNTIME))
    server.close()

    page = visitor.open(f"{server.url}circuits/release/")

    expect(page.get_by_role("heading", level=1)).to_have_text("Release")
    expect(page.locator(".copy-status-ready")).to_contain_text("Not ready offline")


def test_pages_and_calculators_are_ready_before_the_second_part(serve, visitor):
    server = serve()
    server.spoil(LATER, Fault(bytes_per_second=20_000))
    page = visitor.open(server.url)
    ready = page.locator(".copy-status-ready")
    spoken = page.locator(".copy-status").get_by_role("status")

    expect(ready).to_contain_text(
        "Pages and calculators are ready offline; study, worksheets and fault finding are being "
        "fetched: "
    )
    expect(spoken).to_have_text("Pages and calculators are now ready offline.")
    assert wait_for(lambda: server.asked_for(LATER))
    asked = [served.path for served in server.log]
    assert asked.index(LATER) > max(asked.index(path) for path in RUNTIME)
    server.mend()

    # Unasked, in the same visit.
    wait_until_ready(page)
    expect(spoken).to_have_text("The whole site is now ready offline.")


def test_the_first_part_serves_while_the_second_is_missing(serve, visitor):
    server = serve()
    server.spoil(LATER, Fault(refuse=True))
    page = visitor.open(server.url)
    ready = page.locator(".copy-status-ready")
    expect(ready).to_contain_text("Pages and calculators are ready offline; ")
    expect(ready).to_contain_text(f"error in place of a file ({LATER})")
    server.close()

    page = visitor.open(f"{server.url}units/")

    expect(page.get_by_role("heading", level=1)).to_have_text("Units")
    expect(ready).to_contain_text("Pages and calculators are ready offline; study, worksheets and ")
    server.mend()
    server.open()
    wait_until_ready(page)


def test_host_that_does_not_compress(serve, visitor):
    server = serve(compress=False)
    wait_until_ready(visitor.open(server.url))
    server.close()

    page = visitor.open(f"{server.url}units/")

    expect(page.get_by_role("heading", level=1)).to_have_text("Units")
    wait_until_ready(page)


def test_browser_offers_to_install(serve, visitor):
    server = serve("/ref/")
    page = visitor.open(server.url)
    wait_until_ready(page)

    tools = visitor.context.new_cdp_session(page)
    assert tools.send("Page.getAppManifest")["errors"] == []
    problems = tools.send("Page.getInstallabilityErrors")["installabilityErrors"]
    # Chromium installs nothing from the kind of window that the tests drive; all else is ours.
    assert [one["errorId"] for one in problems if one["errorId"] != "in-incognito"] == []


def test_page_without_scripts_names_its_version(serve, playwright, tmp_path):
    server = serve()
    with Visitor(playwright, tmp_path / "profile", java_script_enabled=False) as visitor:
        page = visitor.open(f"{server.url}units/")
        expect(page.locator(".copy-status")).to_have_text("Version 0.0.0")
