"""A figure on the screen is for the entries beside it, or it is struck out, or it is not shown.

Tried where trials found otherwise: scripts off, one script missing, a field filled before its script
is there, Python on its way or never coming, a reload, the back key.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Browser, Page, Route, expect

from calculators.answering.answer import answer
from calculators.answering.shown import result_rows
from calculators.catalog import every_calculator
from generator.serving import SiteServer
from tests.browser.conftest import SITE, Tab, hold_python, new_device
from tests.support.python_beside import answer_beside
from tests.support.visitor import LEFT_OPEN, wait_until_live

CALCULATORS = every_calculator()

pytestmark = pytest.mark.browser

PAGE = "calculators/locomotive-brake/"
CIRCUIT = "circuits/service-application/"
MODULES = {path.name: path for path in SITE.glob("browser*/*.js")}
CONTROLS = ":is(brake-calculator, brake-circuit, my-railroad, pocket-card) :is(input, select, textarea, button)"

IMPORTED = re.compile(r'(?:from|import)\s*"\./([\w-]+\.js)"')

CLOSED = """() => ({
  live: document.querySelector("brake-calculator").hasAttribute("data-live"),
  closed: document.querySelector("[name=reduction]").disabled,
  text: document.querySelector("[name=reduction]").value,
  way: [...document.links].some(
    (link) => link.textContent === "Load this page again" && link.checkVisibility()),
})"""
# A page whose Python has to start first, on a machine with other work.
START_MS = 60_000
ANSWER = '[data-result="brake_cylinder"]'


@pytest.fixture(scope="module")
def inside(browser: Browser, served: SiteServer) -> Iterator[Tab]:
    """A tab that runs the packed Python: its files and its worker are among the subjects here."""
    context = new_device(browser)
    context.add_init_script(LEFT_OPEN)
    hold_python(context.new_page(), served.url)
    yield Tab(context.new_page(), served.url)
    context.close()


@pytest.fixture(scope="module")
def shared(browser: Browser, served: SiteServer) -> Iterator[Tab]:
    """A tab that the Python of the tests answers."""
    context = new_device(browser)
    context.add_init_script(LEFT_OPEN)
    answer_beside(context)
    yield Tab(context.new_page(), served.url)
    context.close()


def cylinder(reduction: str) -> str:
    found = answer(CALCULATORS["locomotive-brake"], {"reduction": reduction})
    return {row.name: row.text for row in result_rows(found)}["brake_cylinder"]


def the_field(page: Page) -> str:
    return page.locator("[name=reduction]").input_value()


def follow_link(page: Page, href: str) -> None:
    """Follow a link in the page's text, as a tap does."""
    page.locator("article").evaluate(
        """(article, href) => {
            const link = document.createElement('a');
            link.href = new URL(href, location.href).href;
            article.prepend(link);
            link.click();
        }""",
        href,
    )


def is_struck(page: Page, selector: str = ".answer-place") -> bool:
    found: str = page.locator(selector).evaluate("e => getComputedStyle(e).textDecorationLine")
    return "line-through" in found


def assert_the_bar_is_struck(page: Page) -> None:
    """The figures of the bar, and how they stood to a limit, are none of the entries below it."""
    for kind in (".big", ".standing-line"):
        old = page.locator(f".bar-place {kind}").all()
        assert old, kind
        for one in old:
            decoration = one.evaluate("e => getComputedStyle(e).textDecorationLine")
            assert "line-through" in decoration, one.inner_text()


def assert_figure_is_for_the_field(page: Page) -> None:
    """Whatever the page does now: what can be read as the answer is the answer to the field."""
    for name, value in (("10", "10"), ("20", "20")):
        if the_field(page) == value and page.locator(ANSWER).is_visible():
            struck = is_struck(page)
            assert struck or page.locator(ANSWER).inner_text() == cylinder(name)


@pytest.mark.parametrize(
    "path",
    [*(f"calculators/{name}/" for name in sorted(CALCULATORS)), CIRCUIT, "my-railroad/"],
)
def test_scripts_off(scriptless: Tab, path: str):
    page = scriptless.open(f"{path}?reduction=20")
    assert page.locator(CONTROLS).count() > 0
    assert page.locator(CONTROLS).evaluate_all("all => all.filter(e => !e.disabled).length") == 0
    words = page.locator(".not-started").first
    assert "Scripts are off in this browser." in (words.text_content() or "")
    expect(words.get_by_text("The fields stay closed.")).to_be_visible()
    assert "the answer follows" not in page.locator("article").inner_text()


def closure(*entries: str) -> set[str]:
    """The scripts that some need, by what they import with themselves."""
    found: set[str] = set()
    new = set(entries)
    while new:
        found |= new
        texts = [MODULES[name].read_text(encoding="utf-8") for name in new if name in MODULES]
        new = {name for text in texts for name in IMPORTED.findall(text)} - found
    return found


# What comes between a typed figure and its answer; every other script is a help beside it.
FOR_AN_ANSWER = sorted(closure("start.js", "early.js", "calculator.js", "python-worker.js"))
OF_THE_WORKER = closure("python-worker.js")
HELPS = sorted(set(MODULES) - set(FOR_AN_ANSWER))


@contextmanager
def missing(shared: Tab, *modules: str) -> Iterator[Page]:
    """The calculator's page without some scripts, in a session of its own."""
    page = shared.page
    address = re.compile(rf"/browser[^/]*/({'|'.join(map(re.escape, modules))})$")
    # A page loads itself anew only so often in one session.
    shared.open("units/")
    page.evaluate("sessionStorage.clear()")
    page.route(address, lambda route: route.fulfill(status=404, body="no"))
    try:
        yield shared.open(PAGE)
    finally:
        page.unroute(address)


def test_what_is_fetched_beside_a_silent_worker_is_all_that_it_needs():
    client = MODULES["python-client.js"].read_text(encoding="utf-8")
    listed = re.search(r"WORKER_SCRIPTS = \[(.*?)\];", client, re.DOTALL)
    assert listed
    assert set(re.findall(r'"(.*?)"', listed[1])) == closure("python-worker.js")


@pytest.mark.parametrize("module", FOR_AN_ANSWER)
def test_each_script_missing(shared: Tab, inside: Tab, module: str):
    """A typed figure is answered, or cannot be typed and the page says why; and it heals alone."""
    with missing(inside if module in OF_THE_WORKER else shared, module) as page:
        field = page.locator("[name=reduction]")
        live = page.locator("brake-calculator[data-live]")
        told = page.get_by_text("The fields stay closed.")
        expect(live.or_(told).first).to_be_visible()
        if live.count():
            field.fill("20")
            expect(
                page.locator(":is([data-state=answered], [data-state=failed])").first
            ).to_be_attached()
        else:
            # On a slow machine the page says so while the scripts still come: all of it at one moment.
            now = page.evaluate(CLOSED)
            assert now["live"] or now == {"live": False, "closed": True, "text": "10", "way": True}
        assert_figure_is_for_the_field(page)
    if not live.count():
        expect(live).to_be_attached()
        assert field.is_enabled()
        expect(page.locator(".not-started")).to_have_count(0)


def answers_without(shared: Tab, *modules: str) -> None:
    with missing(shared, *modules) as page:
        # Until its script is there the page may say that it waits.
        expect(page.locator("brake-calculator[data-live]")).to_be_attached()
        page.locator("[name=reduction]").fill("20")
        expect(page.locator(ANSWER)).to_have_text(cylinder("20"), timeout=START_MS)
        expect(page.locator(".not-started")).to_have_count(0)


def test_no_help_stands_between_a_figure_and_its_answer(shared: Tab):
    """All of them may be missing at once; each alone is a longer trial."""
    assert len(HELPS) > len(FOR_AN_ANSWER) > 10
    answers_without(shared, *HELPS)


@pytest.mark.long
@pytest.mark.parametrize("module", HELPS)
def test_each_help_missing(shared: Tab, module: str):
    answers_without(shared, module)


class Held:
    """A script that is on its way until it is let go."""

    def __init__(self, page: Page, address: re.Pattern[str]) -> None:
        self._page, self._address, self._routes = page, address, list[Route]()
        page.route(address, lambda route: self._routes.append(route))

    def let_go(self) -> None:
        for route in self._routes:
            route.continue_()
        self._page.unroute(self._address)


def test_filled_before_the_script_is_there(shared: Tab):
    """Browsers put typed texts back after a reload, before any script: each is answered."""
    page = shared.page
    held = Held(page, re.compile(r"/browser[^/]*/calculator\.js"))
    page.goto(shared.root + PAGE, wait_until="commit")
    field = page.locator("[name=reduction]")
    expect(field).to_be_disabled()
    field.evaluate("(field, text) => { field.value = text }", "20")
    held.let_go()
    expect(page.locator(ANSWER)).to_have_text(cylinder("20"), timeout=START_MS)
    assert the_field(page) == "20"
    assert_figure_is_for_the_field(page)


def test_circuit_moved_before_the_script_is_there(shared: Tab):
    page = shared.page
    held = Held(page, re.compile(r"/browser[^/]*/circuit\.js"))
    page.goto(shared.root + CIRCUIT, wait_until="commit")
    field = page.locator(".handles input[name=reduction]")
    field.evaluate("(field, text) => { field.value = text }", "15")
    held.let_go()
    expect(page.locator("brake-circuit")).to_have_attribute(
        "data-state", "answered", timeout=START_MS
    )
    page.locator("[data-step]").press("End")
    expect(page.locator(".circuit-status")).to_contain_text("75 psi", timeout=START_MS)


def test_old_figure_is_struck_while_python_loads(inside: Tab):
    page = inside.page
    held = Held(page, re.compile(r"/runtime/"))
    inside.open(PAGE)
    page.locator("[name=reduction]").fill("20")
    calculator = page.locator("brake-calculator")
    expect(calculator).to_have_attribute("data-state", "working")
    place = page.locator(".answer-headline")
    expect(place).to_have_attribute("data-working", re.compile("Working"))
    page.wait_for_timeout(300)
    assert is_struck(page)
    assert is_struck(page, ".answer-headline")
    for figure in page.locator(".answer-place :is(.figure, [data-result])").all():
        decoration = figure.evaluate("e => getComputedStyle(e).textDecorationLine")
        assert "line-through" in decoration, figure.inner_text()
    # A stroke goes through what is in its flow; a caution is a box of its own and keeps its words.
    cautions = page.locator(".answer-place :is(.warning, .caution)")
    assert cautions.count() > 0
    for caution in cautions.all():
        assert caution.evaluate("e => getComputedStyle(e).display") == "inline-block"
    shown = place.evaluate("e => getComputedStyle(e, '::before').content")
    assert "Working" in shown
    assert_the_bar_is_struck(page)
    held.let_go()
    expect(page.locator(ANSWER)).to_have_text(cylinder("20"), timeout=START_MS)
    expect(calculator).to_have_attribute("data-state", "answered")
    assert not is_struck(page)


@pytest.mark.parametrize("path", [PAGE, CIRCUIT])
def test_no_old_figure_where_python_never_comes(inside: Tab, path: str):
    page, address = inside.page, re.compile(r"/runtime/")
    page.route(address, lambda route: route.abort())
    inside.open(path)
    wait_until_live(page)
    if path == CIRCUIT:
        page.locator("[data-do=sheet]").click()
    page.locator("[name=reduction]").first.fill("20")
    shell = page.locator("[data-own-page]")
    expect(shell).to_have_attribute("data-state", "failed")
    for figures in (".answer-place", ".answer-headline", ".gauges", ".circuit-figure"):
        for place in shell.locator(figures).all():
            expect(place).to_be_hidden()
    expect(shell.locator(".state")).to_contain_text("taken away")
    page.unroute(address)
    shell.get_by_role("button", name="Try again").click()
    expect(shell).to_have_attribute("data-state", "answered", timeout=START_MS)
    expect(shell.locator(".state")).to_be_visible()
    assert page.locator(".answer-place, .circuit-figure").first.is_visible()


def test_address_follows_and_a_reload_asks_the_same(shared: Tab):
    page = shared.open(PAGE)
    page.locator("[name=reduction]").fill("20")
    expect(page.locator(ANSWER)).to_have_text(cylinder("20"), timeout=START_MS)
    expect(page).to_have_url(re.compile(r"[?&]reduction=20(&|$)"))
    page.reload()
    expect(page.locator(ANSWER)).to_have_text(cylinder("20"), timeout=START_MS)
    assert the_field(page) == "20"
    # By link and back: the theme changes pages in place.
    follow_link(page, "../units/")
    expect(page).to_have_url(re.compile("/units/$"))
    expect(page.locator("[data-calculator=units]")).to_be_attached()
    page.go_back()
    expect(page.locator("[name=reduction]")).to_have_value("20")
    expect(page.locator(ANSWER)).to_have_text(cylinder("20"), timeout=START_MS)


def test_an_entry_in_error_survives_a_reload(shared: Tab):
    page = shared.open(PAGE)
    page.locator("[name=reduction]").fill("lots")
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "refused")
    expect(page).to_have_url(re.compile(r"reduction=lots"))
    assert_the_bar_is_struck(page)
    page.reload()
    expect(page.locator("brake-calculator")).to_have_attribute("data-state", "refused")
    assert the_field(page) == "lots"
    assert_the_bar_is_struck(page)


def test_another_link_to_the_page_itself_is_answered(shared: Tab):
    page = shared.open(f"{PAGE}?v=1&reduction=20")
    expect(page.locator(ANSWER)).to_have_text(cylinder("20"), timeout=START_MS)
    follow_link(page, "?v=1&reduction=12")
    expect(page.locator(ANSWER)).to_have_text(cylinder("12"), timeout=START_MS)
    assert the_field(page) == "12"
    page.go_back()
    expect(page.locator(ANSWER)).to_have_text(cylinder("20"), timeout=START_MS)
    assert the_field(page) == "20"


def test_a_circuit_keeps_its_move_in_the_address(shared: Tab):
    page = shared.open(CIRCUIT)
    wait_until_live(page)
    page.locator("[data-do=sheet]").click()
    page.locator(".handles input[name=reduction]").fill("15")
    expect(page.locator("brake-circuit")).to_have_attribute(
        "data-state", "answered", timeout=START_MS
    )
    expect(page).to_have_url(re.compile("reduction=15"))
    page.reload()
    expect(page.locator("brake-circuit")).to_have_attribute(
        "data-state", "answered", timeout=START_MS
    )
    expect(page.locator(".handles input[name=reduction]")).to_have_value("15")
