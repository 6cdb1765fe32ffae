"""The site that the build made, whole: one visit, the server stopped, the browser restarted.

Held to its own targets: the rows offline, size and privacy.
"""

import json
import re
import shutil
from html import unescape

import pytest
from playwright.sync_api import expect

from calculators.answering.answer import answer
from calculators.answering.shown import result_rows
from calculators.catalog import CALCULATORS
from generator.copy_stamp import stamped, version_of
from generator.later_part import is_later
from generator.policy import pages
from generator.weight import weigh
from tests.browser.conftest import SITE
from tests.offline.conftest import finish
from tests.offline.test_updates import look, take
from tests.support.server import FaultyServer
from tests.support.visitor import Visitor, wait_until_ready
from tests.support.waiting import wait_for

FIRST_PART_AT_MOST = 5_200_000
WHOLE_SITE_AT_MOST = 6_000_000
TEXT_EDIT_AT_MOST = 60_000
HEADING = re.compile(r"<h1[^>]*>(.*?)(?:<a class=\"headerlink|</h1>)", re.DOTALL)


@pytest.fixture(scope="module")
def built(tmp_path_factory):
    """A copy of the built site, which the build leaves finished."""
    assert (SITE / "service-worker.js").is_file(), "the site is not built: run `python3 build`"
    folder = tmp_path_factory.mktemp("built") / "site"
    shutil.copytree(SITE, folder)
    return folder


@pytest.fixture(scope="module", params=["/", "/ref/"])
def visited(request, built, playwright, tmp_path_factory):
    """The stopped server, the visitor after a restart, and the bytes that the first visit took.

    Those before the second part was asked for, and all.
    """
    server = FaultyServer(built, prefix=request.param)
    with Visitor(playwright, tmp_path_factory.mktemp("profile")) as visitor:
        with server:
            wait_until_ready(visitor.open(server.url))
        asked = [served.path or "" for served in server.log]
        later = min((asked.index(path) for path in asked if is_later(path)), default=len(asked))
        taken = [sum(one.sent for one in log) for log in (server.log[:later], server.log)]
        server.log.clear()
        visitor.restart()
        yield server, visitor, taken
        assert server.log == []


@pytest.mark.browser
def test_weights_are_within_their_limits(built):
    weights = weigh(built)
    assert weights.problems() + weights.heavy_pages() == []


@pytest.mark.browser
def test_first_visit_takes_what_was_promised(visited):
    first, whole = visited[2]
    assert first <= FIRST_PART_AT_MOST
    assert whole <= WHOLE_SITE_AT_MOST


@pytest.mark.browser
def test_pages_with_the_server_stopped(built, visited):
    """Some at the root, others under a sub-path; `test_every_page` walks over all of them."""
    server, visitor, _ = visited
    visitor.errors.clear()
    visitor.requests.clear()
    every = [file for file in pages(built) if file.name != "404.html"]
    for file in every[::24] if server.prefix == "/" else every[12::24]:
        path = file.relative_to(built).as_posix().removesuffix("index.html")
        page = visitor.context.pages[0]
        response = page.goto(server.url + path)
        found = HEADING.search(file.read_text(encoding="utf-8"))
        assert found is not None, path
        assert response is not None, path
        assert response.status == 200, path
        assert response.headers["content-security-policy"] == server.policy, path
        title = unescape(re.sub(r"<[^>]*>", "", found[1])).strip()
        expect(page.get_by_role("heading", level=1).first).to_contain_text(title)
        wait_until_ready(page)
    assert visitor.errors == []
    assert [one for one in visitor.requests if not one.startswith(server.url)] == []


@pytest.mark.browser
def test_the_runtime_is_read_past_the_service_worker(visited):
    server, visitor, _ = visited
    page = visitor.open(server.url)
    sizes = page.evaluate(
        """async (root) => {
          const stamp = (await (await fetch(new URL("copy.json", root))).json()).content;
          const { keptFile } = await import(new URL(`browser-${stamp}/kept-files.js`, root));
          const list = new URL(`runtime/runtime-${stamp}.json`, root);
          const manifest = await (await fetch(list)).json();
          const sizes = {};
          for (const [name, { pieces }] of Object.entries(manifest.large)) {
            const kept = await Promise.all(pieces.map(keptFile));
            sizes[name] = kept.reduce((sum, part) => sum + part.byteLength, 0);
          }
          sizes.unknown = (await keptFile("nothing.bin")) ?? null;
          return [sizes, Object.entries(manifest.large).map(([name, f]) => [name, f.packedSize])];
        }""",
        server.url,
    )
    assert sizes[0] == {**dict(sizes[1]), "unknown": None}
    assert sum(size for _, size in sizes[1]) > 1_000_000


@pytest.mark.browser
def test_new_answer(visited):
    server, visitor, _ = visited
    page = visitor.open(f"{server.url}calculators/locomotive-brake/")
    calculator = page.locator("brake-calculator[data-own-page]")
    calculator.locator("[name=brake_pipe_setting]").fill("88")
    calculator.locator("[name=reduction]").fill("9")

    expected = answer(
        CALCULATORS["locomotive-brake"], {"brake_pipe_setting": "88", "reduction": "9"}
    )
    row = next(row for row in result_rows(expected) if row.name == "brake_pipe")
    assert row.text == "79 psi"
    expect(calculator.locator("[data-result=brake_pipe]")).to_have_text(row.text)


@pytest.mark.browser
def test_the_interpreter_is_kept_unpacked_and_a_damaged_one_is_done_without(built, visited):
    """A short cut for the browser, which keeps the compiled code; the pieces always do as well."""
    server, visitor, _ = visited
    manifest = json.loads((built / stamped("runtime/runtime.json", version_of(built))).read_text())
    address = f"{server.url}__f/{manifest['large']['interpreter']['unpacked']}"
    page = visitor.open(f"{server.url}calculators/brake-force/")
    kept = """async (address) => {
        const file = await caches.match(address);
        return file && [file.headers.get("Content-Type"), (await file.arrayBuffer()).byteLength];
    }"""
    assert wait_for(lambda: page.evaluate(kept, address) is not None)
    size = manifest["large"]["interpreter"]["size"]
    assert page.evaluate(kept, address) == ["application/wasm", size]

    for damaged in (False, True):
        if damaged:
            page.evaluate(
                """async (address) => {
                    const [name] = (await caches.keys()).filter((key) => key.startsWith("site"));
                    const headers = { "Content-Type": "application/wasm" };
                    const wrong = new Response("no interpreter", { headers });
                    await (await caches.open(name)).put(address, wrong);
                }""",
                address,
            )
        visitor.restart()
        visitor.requests.clear()
        page = visitor.open(f"{server.url}calculators/brake-force/?v=1&brake_cylinder=50")
        calculator = page.locator("brake-calculator[data-own-page]")
        expect(calculator).to_have_attribute("data-state", "answered")
        expected = answer(CALCULATORS["brake-force"], {"brake_cylinder": "50"})
        row = next(row for row in result_rows(expected) if row.name == "shoe_force")
        expect(calculator.locator("[data-result=shoe_force]")).to_have_text(row.text)
        assert wait_for(lambda: address in visitor.requests)


@pytest.mark.browser
def test_search(visited):
    server, visitor, _ = visited
    page = visitor.open(server.url)
    page.get_by_role("button", name="Open the search").click()
    page.locator("#finder-query").press_sequentially("equalizing reservoir")

    expect(page.locator(".finder-state")).to_have_text(re.compile(r"\d+ results"))
    expect(page.locator(".finder-results a").first).to_contain_text("qualizing reservoir")


@pytest.mark.browser
def test_text_edit_costs_little(built, playwright, tmp_path):
    site = tmp_path / "site"
    shutil.copytree(built, site)
    dearest = weigh(site).dearest_edit.name.removeprefix("text edit of ")
    server = FaultyServer(site)
    with server, Visitor(playwright, tmp_path / "profile") as visitor:
        page = visitor.open(server.url)
        page.clock.install()
        page.reload()
        wait_until_ready(page)
        server.log.clear()
        heading = page.get_by_role("heading", level=1).first
        place = heading.bounding_box()
        file = site / dearest
        file.write_text(file.read_text().replace("</h1>", " as edited</h1>", 1))
        index = site / "search/search_index.json"
        address = dearest.removesuffix("index.html")
        old = f'{{"location":"{address}","kind":"answer","title":"'
        assert old in index.read_text()
        index.write_text(index.read_text().replace(old, f"{old}As edited: "))
        finish(site, built="2099-01-02T12:00:00Z")
        look(page)

        expect(page.get_by_role("button", name="Use the newer copy")).to_have_count(2)
        assert sum(served.sent for served in server.log) <= TEXT_EDIT_AT_MOST
        # The notice lies over the page and pushes nothing.
        assert heading.bounding_box() == place
        take(page)
        expect(page.locator(".copy-status-built")).to_contain_text("Jan 2, 2099")
        page.goto(server.url + address)
        expect(page.get_by_role("heading", level=1).first).to_contain_text("as edited")
