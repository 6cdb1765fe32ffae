"""A sitting on a phone: by keyboard, by touch, read out, closed in the middle, in two tabs, offline."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, Playwright, expect

from calculators.study.catalog import SKILLS
from calculators.study.items import DRAWN_AS, item
from generator.serving import SiteServer
from tests.browser.conftest import SITE, Regulars, Tab
from tests.browser.test_accessibility import violations
from tests.support.visitor import Visitor, wait_until_ready
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser

STUDY = "study/"
LINK = f"study/?drill=tests&seed=7&v={DRAWN_AS}"
SITTING = "study-sitting[data-set=today]"
# Answers that come at once are taken for guesses; a person reads first.
READ_MS = 2100
# The page's own clock goes ahead; nobody waits for it.
A_READER = """(() => {
  const now = performance.now.bind(performance);
  let ahead = 0;
  performance.now = () => now() + ahead;
  globalThis.readFor = (milliseconds) => { ahead += milliseconds; };
})()"""


@pytest.fixture
def phone(phone: Tab) -> Tab:
    phone.page.add_init_script(A_READER)
    return phone


def read(page: Page) -> None:
    """Have the question in sight as long as somebody who reads it."""
    page.evaluate("milliseconds => readFor(milliseconds)", READ_MS)


def begin(page: Page) -> None:
    page.locator(f"{SITTING} [data-do=begin]").click()
    expect(page.locator(f"{SITTING} .study-asked")).to_be_visible()


def right_answer(page: Page) -> str:
    """The right answer of the question on show, from the generator itself."""
    kept: list[dict[str, Any]] = json.loads(
        page.evaluate("localStorage.getItem('study sittings')") or "[]"
    )
    sitting = kept[-1]
    one = sitting["items"][len(sitting["said"])]
    return item(one["skill"], one["seed"]).right.words


def on(page: Page) -> Locator:
    return page.locator(f"{SITTING} .study-on")


def records(page: Page) -> dict[str, Any]:
    kept = page.evaluate("localStorage.getItem('study')")
    found: dict[str, Any] = json.loads(kept)["records"] if kept else {}
    return found


def choose_or_type(page: Page, text: str) -> None:
    """Answer the question on show by whatever it offers."""
    box = page.locator(f"{SITTING} input[name=answer]")
    if box.count():
        box.fill(text.split()[0].replace(",", ""))
        page.locator(f"{SITTING} [type=submit]").click()
    else:
        page.locator(f"{SITTING} [data-answer]", has_text=text).first.click()


@pytest.mark.inside
def test_a_set_from_a_link_by_touch(regulars: Regulars):
    tab = regulars.tab(has_touch=True, is_mobile=True)
    tab.page.add_init_script(A_READER)
    page = tab.open(LINK)
    page.locator(f"{SITTING} [data-do=begin]").tap()
    asked = []
    for turn in range(12):
        expect(page.locator(f"{SITTING} .study-count")).to_have_text(f"Question {turn + 1} of 12")
        asked.append(page.locator(f"{SITTING} .study-asked").inner_text())
        for control in page.locator(f"{SITTING} :is(button, input)").all():
            size = control.bounding_box()
            assert size is None or size["height"] >= 48
        read(page)
        answer = right_answer(page)
        box = page.locator(f"{SITTING} input[name=answer]")
        if box.count():
            box.fill(answer.split()[0].rstrip("%"))
            page.locator(f"{SITTING} [type=submit]").tap()
        else:
            page.locator(f'{SITTING} [data-answer="{answer}"]').tap()
        expect(page.locator(f"{SITTING} .study-said")).to_contain_text("Right")
        expect(page.locator(f"{SITTING} .study-rest .caution")).to_be_visible()
        on(page).tap()
    expect(page.locator(SITTING)).to_contain_text("That was the set")
    assert len(records(page)) == len(set(records(page)))
    assert all(record["right"] == 1 for record in records(page).values())
    # Nothing is counted into points.
    text = page.locator("main").inner_text().casefold()
    assert not any(word in text for word in ("score", "streak", " points:", "% right"))
    assert not tab.complaints


def test_a_set_by_keyboard_is_read_out(phone: Tab):
    page = phone.open(LINK)
    start = page.locator(f"{SITTING} [data-do=begin]")
    expect(start).to_be_enabled()
    start.focus()
    page.keyboard.press("Enter")
    for turn in range(12):
        question = page.locator(f"{SITTING} .study-asked")
        expect(page.locator(f"{SITTING} .study-count")).to_have_text(f"Question {turn + 1} of 12")
        # The question itself has the focus, so that it is read; what answers it comes next.
        expect(question).to_be_focused()
        read(page)
        page.keyboard.press("Tab")
        words = question.inner_text()
        if page.locator(f"{SITTING} input[name=answer]").count():
            box = page.locator(f"{SITTING} input[name=answer]")
            expect(box).to_be_focused()
            expect(page.get_by_role("textbox", name=words)).to_have_count(1)
            page.keyboard.type("99999")
            page.keyboard.press("Enter")
            said = page.locator(f"{SITTING} .study-said")
            expect(said).to_contain_text("Try once more")
            expect(said).to_have_attribute("role", "status")
            expect(box).to_be_focused()
            page.keyboard.type("88888")
            page.keyboard.press("Enter")
        else:
            expect(page.get_by_role("group", name=words).first).to_be_visible()
            page.keyboard.press("Enter")
        # The way on has the focus; the verdict is read by itself.
        expect(on(page)).to_be_focused()
        expect(page.locator(f"{SITTING} .study-said")).not_to_be_empty()
        page.keyboard.press("Enter")
    expect(page.locator(SITTING)).to_contain_text("That was the set")
    assert not phone.complaints


def test_no_view_of_a_sitting_has_an_obstacle(phone: Tab):
    page = phone.open(LINK)
    assert not violations(page)
    begin(page)
    assert not violations(page)
    read(page)
    choose_or_type_wrong(page)
    expect(on(page)).to_be_visible()
    assert not violations(page)
    page.emulate_media(color_scheme="dark")
    # The theme lets the color of a link run over.
    page.wait_for_timeout(500)
    assert not violations(page)
    for path in (STUDY, "study/progress/"):
        phone.open(path)
        assert not violations(page)


@pytest.mark.parametrize("width", [320, 390])
def test_nothing_is_wider_than_the_window(regulars: Regulars, width: int):
    tab = regulars.tab({"width": width, "height": 640})
    tab.page.add_init_script(A_READER)
    page = tab.open(LINK)
    begin(page)
    for _ in range(3):
        read(page)
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        choose_or_type(page, right_answer(page))
        expect(on(page)).to_be_visible()
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        on(page).click()
        expect(page.locator(f"{SITTING} .study-asked")).to_be_focused()


def test_offline_closed_in_the_middle_and_gone_on(
    playwright: Playwright, served: SiteServer, tmp_path: Path
):
    with SiteServer(SITE) as server, Visitor(playwright, tmp_path / "profile") as visitor:
        page = visitor.open(server.url + STUDY)
        wait_until_ready(page)
        address = server.url
        server.close()
        page = visitor.open(address + STUDY)
        begin(page)
        first = page.locator(f"{SITTING} .study-asked").inner_text()
        page.wait_for_timeout(READ_MS)
        choose_or_type_wrong(page)
        on(page).click()
        expect(page.locator(f"{SITTING} .study-count")).to_have_text("Question 2 of 5")
        second = page.locator(f"{SITTING} .study-asked").inner_text()
        assert second != first
        visitor.restart()
        page = visitor.open(address + STUDY)
        start = page.locator(f"{SITTING} [data-do=begin]")
        expect(start).to_have_text("Go on with question 2 of 5")
        start.click()
        expect(page.locator(f"{SITTING} .study-asked")).to_have_text(second)
        page.wait_for_timeout(READ_MS)
        choose_or_type_wrong(page)
        expect(on(page)).to_be_visible()
        assert len(records(page)) == 2
        # Tomorrow it is due, by plain data and without Python.
        page.clock.install(time=page.evaluate("Date.now() + 90_000_000"))
        page.goto(address + "study/progress/")
        due = page.locator("[data-count=due]")
        assert wait_for(lambda: sum(map(int, due.all_inner_texts())) == 2)


def choose_or_type_wrong(page: Page) -> None:
    """Give up, or take any answer."""
    show = page.locator(f"{SITTING} .study-show")
    if show.is_visible():
        show.click()
    else:
        page.locator(f"{SITTING} [data-answer]").first.click()
    expect(on(page)).to_be_visible()


def test_two_tabs_do_not_undo_each_other(phone: Tab):
    one = phone.open(LINK)
    begin(one)
    two = one.context.new_page()
    two.add_init_script(A_READER)
    two.goto(phone.root + f"study/?drill=cars&seed=7&v={DRAWN_AS}")
    begin(two)
    read(one)
    read(two)
    choose_or_type_wrong(two)
    choose_or_type_wrong(one)
    assert len(records(one)) == 2
    # The same set in both: the one that comes later follows.
    two.goto(phone.root + LINK)
    two.locator(f"{SITTING} [data-do=begin]").click()
    expect(two.locator(f"{SITTING} .study-count")).to_have_text("Question 2 of 12")
    on(one).click()
    expect(one.locator(f"{SITTING} .study-count")).to_have_text("Question 2 of 12")
    read(one)
    choose_or_type_wrong(one)
    expect(two.locator(f"{SITTING} .study-count")).to_have_text("Question 3 of 12")


def test_a_link_of_another_version_says_so(phone: Tab):
    page = phone.open(f"study/?drill=tests&seed=7&v={DRAWN_AS + 1}")
    page.locator(f"{SITTING} [data-do=begin]").click()
    expect(page.locator(f"{SITTING} .state")).to_contain_text("another version of the questions")


def test_kept_saved_read_and_forgotten(phone: Tab, tmp_path: Path):
    page = phone.open(LINK)
    begin(page)
    read(page)
    choose_or_type_wrong(page)
    before = records(page)
    assert before
    with page.expect_download() as saving:
        page.get_by_role("button", name="Save as a file").click()
    file = tmp_path / "kept.json"
    saving.value.save_as(file)
    state = page.locator("study-keep .state")
    foreign = tmp_path / "foreign.json"
    for text in ("{}", "not one", '{"format": "study record", "version": 9, "records": {}}'):
        foreign.write_text(text, encoding="utf-8")
        page.locator("study-keep input[type=file]").set_input_files(foreign)
        expect(state).to_contain_text("Nothing was changed")
        assert records(page) == before
    page.get_by_role("button", name="Forget all answers").click()
    assert records(page) == before
    page.get_by_role("button", name="No, keep it").click()
    assert records(page) == before
    page.get_by_role("button", name="Forget all answers").click()
    page.get_by_role("button", name="Yes, forget all of it").click()
    expect(state).to_contain_text("Forgotten")
    assert not records(page)
    page.locator("study-keep input[type=file]").set_input_files(file)
    expect(state).to_contain_text("1 of the record's questions")
    assert records(page) == before


def test_a_broken_record_is_shown_and_set_aside(phone: Tab):
    phone.page.add_init_script(
        "localStorage.getItem('study') === null && localStorage.setItem('study', 'no record')"
    )
    page = phone.open(LINK)
    expect(page.locator("study-keep")).to_contain_text("cannot be read")
    begin(page)
    read(page)
    choose_or_type_wrong(page)
    assert len(records(page)) == 1
    assert page.evaluate("localStorage.getItem('study set aside')") == "no record"
    keep = page.locator("study-keep")
    keep.locator("[data-do=forget]").click()
    keep.get_by_role("button", name="Yes, forget all of it").click()
    assert page.evaluate("localStorage.getItem('study set aside')") is None


@pytest.mark.inside
def test_three_questions_at_a_pages_foot(phone: Tab):
    page = phone.open("calculators/locomotive-brake/")
    page.locator(".study-foot > summary").click()
    page.locator(".study-foot [data-do=begin]").click()
    expect(page.locator(".study-foot .study-count")).to_have_text("Question 1 of 3")


@pytest.mark.parametrize("path", ["calculators/locomotive-brake/", "circuits/service-application/"])
def test_an_answer_is_covered_until_it_is_asked_for(phone: Tab, path: str):
    page = phone.open(path)
    shell = page.locator("brake-calculator, brake-circuit").first
    turn = shell.locator(".ask-first")
    turn.click()
    hidden = shell.locator(".bar-place, .circuit-figure").first
    expect(hidden).to_have_css("visibility", "hidden")
    assert not violations(page)
    page.reload()
    expect(hidden).to_have_css("visibility", "hidden")
    shell.locator(".uncover").click()
    expect(hidden).to_have_css("visibility", "visible")
    turn.click()
    page.reload()
    expect(hidden).to_have_css("visibility", "visible")


def test_without_scripts_the_pages_say_so(scriptless: Tab):
    page = scriptless.open(STUDY)
    expect(page.locator(SITTING)).to_contain_text("With scripts off")
    expect(page.locator(f"{SITTING} button")).to_be_disabled()


def test_every_skill_stands_in_the_progress(phone: Tab):
    page = phone.open("study/progress/")
    listed = " ".join(
        row.get_attribute("data-skills") or "" for row in page.locator("[data-skills]").all()
    )
    assert sorted(listed.split()) == sorted(SKILLS)
