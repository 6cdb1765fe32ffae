"""My railroad on a phone: kept, used, shown as such, exported, refused, never lost."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

from tests.browser.conftest import PHONE, Tab
from tests.browser.test_accessibility import violations
from tests.support.visitor import wait_until_live
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser

KEPT = "my-railroad"
MINE = "my-railroad/"
LOCOMOTIVE = "calculators/locomotive-brake/"
RECORD = {"brake_pipe_setting": "85", "service_limit": "58"}


def field(page: Page, key: str) -> Locator:
    """A field of the form, its part of the form opened."""
    wait_until_live(page)
    place = page.locator(f"my-railroad [name='{key}']")
    group = page.locator("my-railroad details", has=page.locator(f"[name='{key}']"))
    if group.count() and group.get_attribute("open") is None:
        group.locator("summary").first.click()
    return place


def keep(page: Page, record: dict[str, str]) -> None:
    """Fill the form, as a person does: it keeps by itself."""
    page.goto(page.url) if MINE in page.url else None
    for key, text in record.items():
        place = field(page, key)
        if place.evaluate("e => e.localName") == "select":
            place.select_option(text)
        else:
            place.fill(text)


def store(tab: Tab, text: str) -> None:
    """Put a text into the device's storage as the record, before any page of the site loads."""
    tab.page.add_init_script(
        f"localStorage.getItem('{KEPT}') === null && localStorage.setItem('{KEPT}', {json.dumps(text)})"
    )


def stored(page: Page, key: str = KEPT) -> str | None:
    found: str | None = page.evaluate("key => localStorage.getItem(key)", key)
    return found


def state(page: Page) -> Locator:
    return page.locator("my-railroad > .state")


def calculator(page: Page) -> Locator:
    return page.locator("brake-calculator[data-own-page]")


def result(page: Page, name: str) -> Locator:
    return calculator(page).locator(f"[data-result={name}]")


def note(page: Page, name: str) -> Locator:
    return page.locator(f"[id$='-{name}-settings']")


def test_what_is_kept_every_calculator_starts_from_and_says_so(phone: Tab):
    page = phone.open(MINE)
    keep(page, RECORD)
    expect(state(page)).to_contain_text("2 settings kept on this device")
    assert json.loads(stored(page) or "") == RECORD

    page = phone.open(f"{LOCOMOTIVE}")
    expect(calculator(page)).to_have_attribute("data-state", "answered")
    place = calculator(page).locator("[name=brake_pipe_setting]")
    expect(place).to_have_value("85")
    expect(note(page, "brake_pipe_setting")).to_have_text("From your railroad's settings.")
    described = place.get_attribute("aria-describedby") or ""
    assert (note(page, "brake_pipe_setting").get_attribute("id") or "?") in described.split()
    expect(note(page, "reduction")).to_have_count(0)

    calculator(page).locator("[name=reduction]").fill("12")
    expect(result(page, "brake_pipe")).to_have_text("73 psi")
    expect(note(page, "brake_pipe_setting")).to_have_text("From your railroad's settings.")
    calculator(page).locator("[name=brake_pipe_setting]").fill("80")
    expect(note(page, "brake_pipe_setting")).to_have_text("Your railroad's settings say 85 psi.")
    assert phone.complaints == []


@pytest.mark.inside
def test_settings_reach_a_page_opened_without_a_reload(phone: Tab):
    """The theme swaps pages in place; the next page's calculator must know the settings too."""
    page = phone.open(MINE)
    keep(page, RECORD)
    expect(state(page)).to_contain_text("2 settings kept on this device")
    page.get_by_role("link", name="pocket card").click()
    expect(page.locator("pocket-card")).to_have_attribute("data-state", "answered")
    expect(page.locator("pocket-card")).to_contain_text("Worked out for your railroad's settings")
    expect(page.locator("pocket-card tr.own")).to_have_count(2)
    expect(page.locator("pocket-card .example-mark")).to_be_hidden()


def test_a_link_beats_the_settings_and_says_so(phone: Tab):
    store(phone, json.dumps(RECORD))
    page = phone.open(f"{LOCOMOTIVE}?v=1&brake_pipe_setting=90&reduction=12")
    expect(calculator(page)).to_have_attribute("data-state", "answered")
    expect(result(page, "brake_pipe")).to_have_text("78 psi")
    expect(calculator(page)).to_contain_text(
        "Brake pipe setting is 90 psi here; your own settings say 85 psi."
    )
    expect(note(page, "brake_pipe_setting")).to_have_text("Your railroad's settings say 85 psi.")
    expect(note(page, "service_limit")).to_have_text("From your railroad's settings.")


def test_examples_are_marked_before_any_answer(newcomer: Callable[..., Tab]):
    """With the page's modules held back, only the head's own script has run."""
    tab = newcomer()
    store(tab, json.dumps({"service_limit": "58"}))
    tab.page.route("**/browser*/*.js", lambda route: route.abort())
    page = tab.open(LOCOMOTIVE)
    mark = page.locator("brake-calculator .example-mark")
    expect(mark).to_be_visible()
    expect(mark).to_have_text("Example settings, not yours.")
    expect(calculator(page).locator("[data-figure=brake_cylinder]")).to_be_visible()
    page.goto(tab.root + "calculators/units/")
    expect(page.locator("brake-calculator .example-mark")).to_be_hidden()


def test_the_mark_goes_when_the_answer_lands(phone: Tab):
    store(phone, json.dumps({"brake_pipe_setting": "90"}))
    page = phone.open(LOCOMOTIVE)
    expect(calculator(page)).to_have_attribute("data-state", "answered")
    expect(calculator(page).locator(".example-mark")).to_be_hidden()
    expect(note(page, "brake_pipe_setting")).to_have_text("From your railroad's settings.")


def test_no_mark_where_there_are_no_settings(phone: Tab):
    page = phone.open(LOCOMOTIVE)
    expect(calculator(page).locator(".example-mark")).to_be_hidden()
    expect(calculator(page)).to_have_attribute("data-state", "prerendered")


def test_the_mark_stays_while_no_answer_can_come(newcomer: Callable[..., Tab]):
    tab = newcomer()
    store(tab, json.dumps(RECORD))
    tab.page.route("**/runtime/**", lambda route: route.abort())
    page = tab.open(LOCOMOTIVE)
    expect(calculator(page)).to_have_attribute("data-state", "failed")
    expect(calculator(page).locator(".example-mark")).to_be_visible()


def test_errors_stand_by_their_field_and_what_is_wrong_is_not_kept(phone: Tab):
    page = phone.open(MINE)
    keep(page, {"brake_pipe_setting": "5.9", "service_limit": "58"})
    place = field(page, "brake_pipe_setting")
    expect(place).to_have_attribute("aria-invalid", "true")
    error = page.locator("[id='my-railroad-brake_pipe_setting-error']")
    expect(error).to_contain_text("must be between 40 and 130 psi")
    expect(state(page)).to_contain_text("1 setting kept on this device. Not kept: 1 marked field.")
    assert json.loads(stored(page) or "") == {"service_limit": "58"}
    place.fill("5.9 bar")
    expect(error).to_have_text("")
    expect(state(page)).to_contain_text("2 settings kept")


def test_a_field_that_cannot_be_read_keeps_what_was_kept(phone: Tab):
    store(phone, json.dumps(RECORD))
    page = phone.open(MINE)
    expect(state(page)).to_contain_text("2 settings kept")
    field(page, "brake_pipe_setting").fill("none of your business")
    expect(state(page)).to_contain_text("Not kept: 1 marked field.")
    assert json.loads(stored(page) or "") == RECORD


def test_leaving_before_an_answer_loses_nothing(newcomer: Callable[..., Tab]):
    """Python never comes; the page is left at once."""
    tab = newcomer()
    tab.page.route("**/runtime/**", lambda route: route.abort())
    page = tab.open(MINE)
    wait_until_live(page)
    page.locator("my-railroad [name=brake_pipe_setting]").fill("85")
    page.goto(f"{tab.root}about/cautions/")
    assert json.loads(stored(page) or "") == {"brake_pipe_setting": "85"}


def test_emptied_fields_are_forgotten(phone: Tab):
    store(phone, json.dumps({"cars": "90"}))
    page = phone.open(MINE)
    expect(state(page)).to_contain_text("1 setting kept")
    field(page, "cars").fill("")
    expect(state(page)).to_contain_text("Nothing of your own is kept")
    assert stored(page) is None


def test_eight_figures_come_first_and_fit_one_screen(phone: Tab):
    page = phone.open(MINE)
    wait_until_live(page)
    first = page.locator("my-railroad .first :is(input, select)")
    expect(first).to_have_count(8)
    last = first.last.bounding_box()
    assert last
    assert last["y"] + last["height"] <= PHONE["height"]
    assert page.locator("my-railroad details[open]").count() == 0


def test_own_limits_stand_with_the_answer(phone: Tab):
    page = phone.open(MINE)
    keep(page, {"limit.brake-pipe-leakage": "3", "limit.air-flow-two-sources": "80"})
    expect(state(page)).to_contain_text("2 settings kept")
    page = phone.open(
        "calculators/leakage-and-flow/?v=1&leakage=4&air_flow=70&air_sources=two-or-more"
    )
    expect(calculator(page)).to_have_attribute("data-state", "answered")
    limits = calculator(page).locator(".limits > li")
    expect(limits.first).to_have_class(re.compile("own"))
    expect(limits.first).to_contain_text("at most 3.0 psi/min: not within")
    expect(limits.first).to_contain_text("your railroad's own figure, from your settings")
    expect(calculator(page)).to_contain_text("at most 90 cfm: within")


def test_a_limit_that_is_not_stricter_is_remarked(phone: Tab):
    page = phone.open(MINE)
    field(page, "limit.brake-pipe-leakage").fill("9")
    remark = page.locator("[id='my-railroad-limit.brake-pipe-leakage-remark']")
    expect(remark).to_contain_text("Not stricter than at most 5 psi/min")


def test_pressures_in_the_unit_of_the_railroad(phone: Tab):
    page = phone.open(MINE)
    field(page, "brake_pipe_setting").fill("85")
    page.locator("my-railroad [name=pressure_unit]").select_option("kPa")
    expect(field(page, "brake_pipe_setting")).to_have_value("586.1")
    field(page, "service_limit").fill("400")
    expect(state(page)).to_contain_text("3 settings kept")
    assert json.loads(stored(page) or "") == {
        "pressure_unit": "kPa",
        "brake_pipe_setting": "586.1 kPa",
        "service_limit": "400 kPa",
    }
    page = phone.open(MINE)
    expect(field(page, "service_limit")).to_have_value("400")
    page = phone.open(LOCOMOTIVE)
    expect(calculator(page)).to_have_attribute("data-state", "answered")
    expect(calculator(page).locator("[name=brake_pipe_setting]")).to_have_value("586.1")
    expect(result(page, "brake_pipe")).to_have_text("517 kPa")
    assert "your own settings say" not in calculator(page).inner_text()


def test_a_bare_number_is_in_psi_whatever_unit_is_shown(phone: Tab):
    """85 with kPa beside it would be read as 85 kPa: the form must say what was meant."""
    store(phone, json.dumps({"brake_pipe_setting": "85", "pressure_unit": "kPa"}))
    page = phone.open(MINE)
    expect(field(page, "brake_pipe_setting")).to_have_value("85 psi")
    expect(state(page)).to_contain_text("2 settings kept on this device.")
    field(page, "cars").fill("90")
    expect(state(page)).to_contain_text("Every calculator starts from them now")
    assert json.loads(stored(page) or "")["brake_pipe_setting"] == "85 psi"


def test_export_and_import_come_round(phone: Tab, tmp_path: Path):
    record = RECORD | {"limit.air-flow": "50", "limit.off-air-hours": "4", "cars": "90"}
    page = phone.open(MINE)
    keep(page, record)
    expect(state(page)).to_contain_text("5 settings kept")
    page.get_by_role("button", name="Copy as text").click()
    expect(page.get_by_role("button", name="Copied")).to_be_visible()
    text = page.evaluate("navigator.clipboard.readText()")
    assert "version = 1" in text
    assert "brake_pipe_setting = 85" in text
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as a file").click()
    file = tmp_path / "mine.txt"
    saved.value.save_as(file)
    assert saved.value.suggested_filename == "my-railroad.txt"
    assert file.read_text(encoding="utf-8") == text

    page.get_by_role("button", name="Forget them all").click()
    expect(state(page)).to_contain_text("Forgotten")
    assert stored(page) is None
    file.write_text(text + "flux = 3\n", encoding="utf-8")
    page.locator("my-railroad input[type=file]").set_input_files(file)
    expect(state(page)).to_contain_text("5 settings read from the text and kept on this device.")
    expect(page.locator(".railroad-problems")).to_contain_text('knows no setting "flux"')
    assert json.loads(stored(page) or "") == record


def test_forgetting_can_be_undone(phone: Tab):
    page = phone.open(MINE)
    keep(page, RECORD)
    expect(state(page)).to_contain_text("2 settings kept")
    page.get_by_role("button", name="Forget them all").click()
    expect(field(page, "brake_pipe_setting")).to_have_value("")
    page.get_by_role("button", name="Undo").click()
    expect(field(page, "brake_pipe_setting")).to_have_value("85")
    assert json.loads(stored(page) or "") == RECORD
    expect(page.get_by_role("button", name="Undo")).to_be_hidden()


@pytest.mark.parametrize(
    "broken", ["{not json", "[1, 2]", '{"brake_pipe_setting": 85}', "", '"text"', "null"]
)
def test_a_broken_record_is_shown_and_never_lost(phone: Tab, broken: str):
    store(phone, broken)
    page = phone.open(LOCOMOTIVE)
    mark = calculator(page).locator(".example-mark")
    expect(mark).to_be_visible()
    calculator(page).locator("[name=reduction]").fill("12")
    expect(result(page, "brake_pipe")).to_have_text("78 psi")
    expect(mark).to_be_visible()

    page = phone.open(MINE)
    trouble = page.locator(".railroad-trouble")
    expect(trouble).to_contain_text("cannot be read")
    expect(trouble.locator("pre")).to_have_text(broken)
    assert stored(page) == broken
    trouble.get_by_role("button", name="Copy it").click()
    expect(trouble.get_by_role("button", name="Copied")).to_be_visible()
    assert page.evaluate("navigator.clipboard.readText()") == broken

    field(page, "cars").fill("90")
    expect(state(page)).to_contain_text("1 setting kept")
    assert json.loads(stored(page) or "") == {"cars": "90"}
    assert stored(page, f"{KEPT} set aside") == broken
    assert phone.complaints == []


def test_what_was_set_aside_stays_until_thrown_away(phone: Tab):
    store(phone, "{half a rec")
    page = phone.open(MINE)
    page.get_by_role("button", name="Forget them all").click()
    aside = page.locator(".railroad-trouble", has_text="Set aside")
    expect(aside.locator("pre")).to_have_text("{half a rec")
    page = phone.open(MINE)
    expect(aside.locator("pre")).to_have_text("{half a rec")
    aside.get_by_role("button", name="Throw it away").click()
    expect(aside).to_have_count(0)
    assert stored(page, f"{KEPT} set aside") is None


def test_what_this_copy_does_not_know_stays_in_the_record(phone: Tab):
    store(phone, json.dumps(RECORD | {"of_a_later_version": "3"}))
    page = phone.open(MINE)
    trouble = page.locator(".railroad-trouble")
    expect(trouble.locator("pre")).to_have_text("of_a_later_version = 3")
    field(page, "cars").fill("90")
    expect(state(page)).to_contain_text("kept on this device. Every")
    assert json.loads(stored(page) or "")["of_a_later_version"] == "3"
    trouble.get_by_role("button", name="Leave them out").click()
    # The sentence of what is kept stood there before: the record is what is waited for.
    assert wait_for(lambda: "of_a_later_version" not in json.loads(stored(page) or "{}"))
    expect(state(page)).to_contain_text("kept on this device. Every")


def test_a_stored_setting_that_a_field_refuses_is_shown_there(phone: Tab):
    store(phone, json.dumps({"brake_pipe_setting": "lots", "service_limit": "58"}))
    page = phone.open(MINE)
    expect(state(page)).to_contain_text("1 of them cannot be used")
    expect(page.locator("[id='my-railroad-brake_pipe_setting-error']")).to_contain_text("lots")
    page = phone.open(LOCOMOTIVE)
    expect(calculator(page)).to_have_attribute("data-state", "refused")
    expect(calculator(page).locator("[name=brake_pipe_setting]")).to_have_value("lots")
    assert json.loads(stored(page) or "")["brake_pipe_setting"] == "lots"


REFUSED = "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError') } })"
FULL = "Storage.prototype.setItem = () => { throw new DOMException('no', 'QuotaExceededError') }"


@pytest.mark.parametrize(
    ("trouble", "told"), [(REFUSED, "lets this page keep nothing"), (FULL, "no room left")]
)
def test_storage_that_takes_nothing(phone: Tab, trouble: str, told: str):
    """A clear message, the form as it was, the text to take along, and pages that go on working."""
    phone.page.add_init_script(trouble)
    page = phone.open(MINE)
    field(page, "brake_pipe_setting").fill("85")
    expect(state(page)).to_contain_text(told)
    expect(field(page, "brake_pipe_setting")).to_have_value("85")
    page.get_by_role("button", name="Copy as text").click()
    expect(page.get_by_role("button", name="Copied")).to_be_visible()
    assert "brake_pipe_setting = 85" in page.evaluate("navigator.clipboard.readText()")
    page = phone.open(LOCOMOTIVE)
    calculator(page).locator("[name=reduction]").fill("12")
    expect(result(page, "brake_pipe")).to_have_text("78 psi")
    # The theme's own script reads storage unguarded; what it says there is not ours to mend.
    assert set(phone.complaints) <= {"no"}


def test_another_tab_follows(phone: Tab):
    page = phone.open(LOCOMOTIVE)
    other = page.context.new_page()
    other.goto(phone.root + MINE)
    keep(other, RECORD)
    expect(state(other)).to_contain_text("2 settings kept")
    expect(calculator(page).locator("[name=brake_pipe_setting]")).to_have_value("85")
    expect(note(page, "brake_pipe_setting")).to_have_text("From your railroad's settings.")


def test_start_over_goes_back_to_the_railroad_s_figures(phone: Tab):
    store(phone, json.dumps(RECORD))
    page = phone.open(f"{LOCOMOTIVE}?v=1&brake_pipe_setting=70")
    expect(result(page, "brake_pipe")).to_have_text("60 psi")
    calculator(page).get_by_role("button", name="Start over").click()
    expect(calculator(page).locator("[name=brake_pipe_setting]")).to_have_value("85")
    expect(calculator(page)).to_have_attribute("data-state", "answered")


def test_by_keyboard(phone: Tab):
    page = phone.open(MINE)
    wait_until_live(page)
    field(page, "brake_pipe_setting").focus()
    page.keyboard.type("85")
    page.keyboard.press("Enter")
    expect(state(page)).to_contain_text("1 setting kept")


def test_accessible_with_errors_and_troubles_open(phone: Tab):
    store(phone, "{broken")
    page = phone.open(MINE)
    expect(page.locator(".railroad-trouble")).to_be_visible()
    page.locator("my-railroad details").evaluate_all("all => all.forEach(e => (e.open = true))")
    field(page, "brake_pipe_setting").fill("x")
    field(page, "limit.brake-pipe-leakage").fill("9")
    expect(page.locator("[id='my-railroad-brake_pipe_setting-error']")).not_to_be_empty()
    assert violations(page) == []
    small = page.locator("my-railroad :is(button, input, select, textarea, summary)").evaluate_all(
        "all => all.map(e => [e.name || e.textContent, e.getBoundingClientRect()])"
        ".filter(([, box]) => box.height && box.height < 47.5).map(([name]) => name)"
    )
    assert small == []


def test_nothing_of_it_leaves_the_device(phone: Tab):
    page = phone.open(MINE)
    keep(page, {"brake_pipe_setting": "87"})
    expect(state(page)).to_contain_text("1 setting kept")
    phone.open(LOCOMOTIVE)
    expect(calculator(page)).to_have_attribute("data-state", "answered")
    assert all(
        request.startswith(phone.root)
        for request in phone.requests
        if not request.startswith("blob:")
    )
    assert not any(
        "87" in request.removeprefix(phone.root).split("?")[-1]
        for request in phone.requests
        if "?" in request
    )


def test_scripts_off_says_so(scriptless: Tab):
    page = scriptless.open(MINE)
    expect(state(page)).to_contain_text("With scripts off nothing can be kept here")


def test_figures_in_a_text_follow_the_settings_and_the_circuit(newcomer: Callable[..., Tab]):
    """Before Python they are marked as the example's; then they are the reader's; then the circuit's."""
    tab = newcomer()
    store(
        tab,
        json.dumps(
            {"brake_pipe_setting": "80", "limit.air-flow": "50", "suppression_reduction": "24"}
        ),
    )
    tab.page.route("**/runtime/**", lambda route: route.abort())
    page = tab.open("positions/service/")
    mark = page.locator(".page-figures .example-mark")
    text = page.locator(".md-content__inner")
    expect(mark).to_be_visible()
    expect(mark).to_contain_text("for the example settings, not yours")
    tab.page.unroute("**/runtime/**")
    page = tab.open("positions/service/")
    expect(page.locator(".page-figures .own-mark")).to_have_text(
        "The figures in this text are for your own settings."
    )
    expect(mark).to_be_hidden()
    expect(text).to_contain_text("with 10 psi off, to 70 psi")
    page = tab.open("tests/air-flow/")
    expect(text).to_contain_text("(your railroad: at most 50 cfm)")
    page = tab.open("circuits/service-application/")
    expect(text).to_contain_text("stops sharp at 70 psi")
    # The page's own circuit tells where it stands once it is answered: what is told after that counts.
    expect(page.locator("brake-circuit")).to_have_attribute("data-state", "answered")
    page.evaluate(
        """document.dispatchEvent(new CustomEvent("circuit-moved", {detail: {calculator: "circuit",
        entries: {brake_pipe_setting: "100 psi", handle: "service"}}}))"""
    )
    expect(text).to_contain_text("stops sharp at 90 psi")
    expect(page.locator(".page-figures .own-mark")).to_contain_text("of the circuit above")
