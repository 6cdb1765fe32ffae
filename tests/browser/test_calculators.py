"""The calculators in a real browser: same figures as the module, errors by field, links, units."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Callable
from urllib.parse import parse_qsl, urlencode, urlsplit

import pytest
from playwright.sync_api import Locator, Page, expect

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.answering.shown import result_rows
from calculators.catalog import every_calculator
from tests.browser.conftest import ROOT, Tab
from tests.support.visitor import PATIENCE_MS, wait_until_live

CALCULATORS = every_calculator()

pytestmark = pytest.mark.browser

LOCOMOTIVE = "calculators/locomotive-brake/"
EXAMPLE = {
    "brake_pipe_setting": "85",
    "reduction": "12",
    "service_limit": "58",
    "independent": "20",
    "relay_ratio_automatic": "1",
    "relay_ratio_independent": "1",
}
# The train model charges a train of 118 cars for an hour of its time.
LONG_ANSWER_MS = 240_000
EACH = pytest.mark.parametrize("name", sorted(CALCULATORS))


def the_calculator(page: Page) -> Locator:
    return page.locator("brake-calculator[data-own-page]")


def results(page: Page) -> dict[str, str]:
    cells = the_calculator(page).locator("[data-result]")
    names = cells.evaluate_all("cells => cells.map(c => c.dataset.result)")
    return dict(zip(names, cells.all_text_contents(), strict=True))


def module_results(name: str, entries: dict[str, str], *, example: bool = False) -> dict[str, str]:
    found = finished(answer(CALCULATORS[name], entries, example=example))
    return {row.name: row.text for row in result_rows(found)}


def answered(page: Page, *, patience: float = PATIENCE_MS) -> None:
    calculator = the_calculator(page)
    expect(calculator).to_have_attribute("data-state", "answered", timeout=patience)


def type_into(page: Page, field: str, text: str) -> None:
    # A group that was left open opens with the script: what is asked before may change.
    wait_until_live(page)
    place = the_calculator(page).locator(f"[name={field}]")
    for group in the_calculator(page).locator("details", has=page.locator(f"[name={field}]")).all():
        if group.get_attribute("open") is None:
            group.locator("summary").first.click()
    place.fill(text)


@pytest.mark.inside
def test_the_main_job_on_a_phone(phone: Tab):
    """The worked example of the trade, typed with a thumb; the command line says the same."""
    page = phone.open(LOCOMOTIVE)
    for field, text in EXAMPLE.items():
        type_into(page, field, text)
    answered(page)
    expect(the_calculator(page).locator("[data-result=brake_cylinder]")).to_have_text("30 psi")

    shown = results(page)
    assert shown["equalizing_reservoir"] == "73 psi"
    assert shown["brake_pipe"] == "73 psi"
    assert shown["pipe_16"] == "30 psi"
    assert shown["pilot"] == "30 psi"
    assert shown["decided_by"] == "pipe 16"
    words = the_calculator(page).inner_text()
    assert "2.5 × (85 psi − 73 psi) → 30 psi" in words
    assert "this decided" in words
    assert "a qualified person decide" in words

    line = subprocess.run(
        [
            sys.executable,
            "-m",
            "calculators",
            "locomotive-brake",
            *(f"{k}={v}" for k, v in EXAMPLE.items()),
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    for text in shown.values():
        assert text in line
    assert phone.complaints == []


@EACH
def test_prerendered_answer_is_the_module_answer(name: str, scriptless: Tab):
    """Scripts off: the whole worked example stands in the page."""
    page = scriptless.open(f"calculators/{name}/")
    assert results(page) == module_results(name, {}, example=True)
    assert "Worked out when this page was made" in the_calculator(page).inner_text()


@EACH
def test_page_shows_the_module_answer(name: str, phone: Tab):
    """A link with every input: what the page shows, to the letter."""
    example = answer(CALCULATORS[name], {}, example=True)
    page = phone.open(f"calculators/{name}/?{example.link_query()}")
    answered(page, patience=LONG_ANSWER_MS)
    assert results(page) == module_results(name, {}, example=True)
    assert phone.complaints == []


@pytest.mark.inside
def test_answers_follow_typing_and_the_last_question_wins(phone: Tab):
    page = phone.open(LOCOMOTIVE)
    place = the_calculator(page).locator("[name=reduction]")
    place.fill("")
    place.press_sequentially("14", delay=20)
    expect(the_calculator(page).locator("[data-result=brake_cylinder]")).to_have_text("35 psi")
    answered(page)


def test_an_error_stands_by_its_field_and_keeps_the_others(phone: Tab):
    page = phone.open(LOCOMOTIVE)
    type_into(page, "reduction", "12")
    type_into(page, "service_limit", "585")
    calculator = the_calculator(page)
    expect(calculator).to_have_attribute("data-state", "refused")
    error = calculator.locator("[id$=-service_limit-error]")
    expect(error).to_have_text(
        "Service limiting valve set at is 585 psi; it must be between 0 and 150 psi."
    )
    expect(calculator.locator("[name=service_limit]")).to_have_attribute("aria-invalid", "true")
    expect(calculator.locator("[name=reduction]")).to_have_value("12")
    line = subprocess.run(
        [
            sys.executable,
            "-m",
            "calculators",
            "locomotive-brake",
            "reduction=12",
            "service_limit=585",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert (line.returncode, line.stderr.strip()) == (2, error.inner_text())
    type_into(page, "service_limit", "58")
    answered(page)
    expect(error).to_be_empty()


@pytest.mark.inside
def test_a_link_with_bad_and_unknown_fields(phone: Tab):
    query = urlencode(
        {
            "v": "7",
            "reduction": "12",
            "service_limit": "<b>x</b>",
            "handle": "sideways",
            "colour": "<img src=x>",
        }
    )
    page = phone.open(f"{LOCOMOTIVE}?{query}")
    calculator = the_calculator(page)
    expect(calculator).to_have_attribute("data-state", "refused")
    expect(calculator.locator("[id$=-service_limit-error]")).to_contain_text('is "<b>x</b>"')
    expect(calculator.locator("[id$=handle-error]")).to_contain_text('is "sideways"; choose one of')
    refused = calculator.locator(".answer-refused")
    expect(refused).to_contain_text("made by a later version")
    expect(refused).to_contain_text('no field "colour" (given as "<img src=x>")')
    # Said once; what is typed now asks without what no field holds.
    type_into(page, "service_limit", "58")
    answered(page)
    expect(page).not_to_have_url(re.compile("colour"))
    assert calculator.locator("img").count() == 0
    assert phone.complaints == []


def test_copied_link_asks_the_same(phone: Tab):
    page = phone.open(LOCOMOTIVE)
    type_into(page, "reduction", "0.9 bar")
    answered(page)
    page.get_by_role("button", name="Copy link").click()
    expect(page.get_by_role("button", name="Copied")).to_be_visible()
    link = page.evaluate("navigator.clipboard.readText()")
    pairs = dict(parse_qsl(urlsplit(link).query, keep_blank_values=True))
    assert pairs["v"] == "1"
    assert set(CALCULATORS["locomotive-brake"].inputs()) <= set(pairs)
    before = results(page)
    page.goto(link)
    answered(page)
    assert results(page) == before
    # 0.9 bar off 90 psi leaves 77 psi; the form's own unit decides how it is shown.
    assert before["brake_pipe"] == "77 psi"


def test_switching_the_unit_keeps_the_question(phone: Tab):
    page = phone.open(LOCOMOTIVE)
    calculator = the_calculator(page)
    calculator.locator("[name=pressure_unit]").select_option("kPa")
    expect(calculator.locator("[name=brake_pipe_setting]")).to_have_value("620.5")
    expect(calculator.locator("[data-result=brake_pipe]")).to_have_text("552 kPa")
    calculator.locator("[name=pressure_unit]").select_option("psi")
    expect(calculator.locator("[data-result=brake_pipe]")).to_have_text("80 psi")
    expect(calculator.locator("[name=brake_pipe_setting]")).to_have_value("90")


def test_starting_over(phone: Tab):
    page = phone.open(f"{LOCOMOTIVE}?v=1&reduction=20")
    answered(page)
    page.get_by_role("button", name="Start over").click()
    expect(the_calculator(page)).to_have_attribute("data-state", "prerendered")
    assert results(page) == module_results("locomotive-brake", {})
    assert urlsplit(page.url).query == ""


def test_a_failure_says_why_and_takes_the_old_figures_away(newcomer: Callable[..., Tab]):
    phone = newcomer()
    phone.page.route(re.compile(r"/runtime/"), lambda route: route.abort())
    page = phone.open(LOCOMOTIVE)
    type_into(page, "reduction", "12")
    calculator = the_calculator(page)
    expect(calculator).to_have_attribute("data-state", "failed")
    expect(calculator.locator(".state")).to_contain_text("could not be loaded")
    expect(calculator.locator(".answer-place")).to_be_hidden()
    phone.page.unroute(re.compile(r"/runtime/"))
    calculator.get_by_role("button", name="Try again").click()
    answered(page)
    expect(calculator.locator("[data-result=brake_cylinder]")).to_have_text("30 psi")


@pytest.mark.inside
def test_the_worker_outlives_a_change_of_page(phone: Tab):
    """Instant navigation keeps the worker: the second calculator answers without a new start."""
    page = phone.open(LOCOMOTIVE)
    type_into(page, "reduction", "12")
    answered(page)
    page.evaluate("window.stillHere = true")
    page.goto(phone.root)
    assert page.evaluate("window.stillHere") is None


@pytest.mark.inside
def test_no_request_leaves_the_site(phone: Tab):
    for path in ("", LOCOMOTIVE, "calculators/units/"):
        page = phone.open(path)
        page.wait_for_load_state("networkidle")
    assert phone.requests
    assert {urlsplit(url).netloc for url in phone.requests if not url.startswith("data:")} == {
        urlsplit(phone.root).netloc
    }
