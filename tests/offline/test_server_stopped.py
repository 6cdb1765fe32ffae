"""The site with its server stopped: an emulated switch would not reach the workers.

Held to the target "offline": after one visit every page and the search work with the server
stopped, after a browser restart, under a sub-path.
"""

import pytest
from playwright.sync_api import expect

from generator.copy_stamp import stamped, version_of
from tests.offline.conftest import finished_copy
from tests.support.server import FaultyServer
from tests.support.visitor import Visitor, wait_until_ready

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module", params=["/", "/ref/"])
def visited(request, rendered, playwright, tmp_path_factory):
    """A server under the prefix, stopped after one visit, and the visitor after a restart."""
    folder = tmp_path_factory.mktemp("visited")
    server = FaultyServer(finished_copy(rendered, folder), prefix=request.param)
    with Visitor(playwright, folder / "profile") as visitor:
        with server:
            wait_until_ready(visitor.open(server.url))
        server.log.clear()
        visitor.restart()
        visitor.requests.clear()
        yield server, visitor
        assert server.log == []
        assert [one for one in visitor.requests if not one.startswith(server.url)] == []


@pytest.fixture
def stopped(visited):
    return visited[0]


@pytest.fixture
def visitor(visited):
    visited[1].errors.clear()
    return visited[1]


def test_all_pages_after_restart(stopped, visitor):
    for path, title in {
        "": "Start",
        "units/": "Units",
        "units": "Units",
        "units/?x=1#y": "Units",
        "units/index.html": "Units",
        "circuits/service/#steps": "Service",
        "circuits/release/": "Release",
    }.items():
        page = visitor.open(stopped.url + path)
        expect(page.get_by_role("heading", level=1)).to_have_text(title)
        wait_until_ready(page)
    page = visitor.open(f"{stopped.url}units?x=1#y")
    assert page.url == f"{stopped.url}units/?x=1#y"
    assert visitor.errors == []


def test_search(stopped, visitor):
    page = visitor.open(stopped.url)
    page.locator("label[for=__search]").first.click()
    page.get_by_role("textbox", name="Search").press_sequentially("recharging")

    expect(page.locator(".md-search-result__meta")).to_have_text("1 matching document")
    page.locator(".md-search-result__link").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Release")


def test_theme_swaps_pages_in_place(stopped, visitor):
    page = visitor.open(stopped.url)
    wait_until_ready(page)
    page.evaluate("window.mark = 1")

    page.locator("article a", has_text="service").click()

    expect(page.get_by_role("heading", level=1)).to_have_text("Service")
    assert page.evaluate("window.mark") == 1
    wait_until_ready(page)
    page.go_back()
    expect(page.get_by_role("heading", level=1)).to_have_text("Start")
    assert page.evaluate("window.mark") == 1


@pytest.mark.parametrize("path", ["nothing/", "nothing", "a/b/c/nothing.html", "404.html"])
def test_unknown_page_is_a_404_with_the_theme(stopped, visitor, path):
    page = visitor.context.pages[0]
    response = page.goto(stopped.url + path)

    assert response.status == 404
    expect(page.get_by_role("heading", level=1)).to_have_text("404 - Not found")
    assert page.locator("link[rel=stylesheet]").first.evaluate("link => link.sheet !== null")
    assert page.locator("a.md-logo").first.evaluate("link => link.href") == stopped.url


def test_unknown_file_is_a_404(stopped, visitor):
    page = visitor.open(stopped.url)

    assert page.evaluate("async () => (await fetch('missing.json')).status") == 404


def test_policy_stands_on_every_answer(stopped, visitor):
    page = visitor.open(f"{stopped.url}units/")
    paths = [
        "./",
        "units/",
        stamped("browser/offline.js", version_of(stopped.site)),
        "search/search_index.json",
        "sitemap.xml",
        "runtime/library.zip",
        "missing",
    ]
    headers = page.evaluate(
        """async (addresses) => Promise.all(addresses.map(async (address) =>
            (await fetch(address)).headers.get("Content-Security-Policy")))""",
        [stopped.url + path for path in paths],
    )

    assert dict(zip(paths, headers, strict=True)) == dict.fromkeys(paths, stopped.policy)
