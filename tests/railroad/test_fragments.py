"""What the build puts into the pages: the form, the card, the list of sources, the marks."""

from __future__ import annotations

import re
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path

import pytest

from calculators.answering.answer import answer
from calculators.catalog import every_calculator
from calculators.kept.settings import judged_limits, settings, touching
from calculators.law.source_list import SOURCES
from generator.embeds import Block
from generator.fragments import Fragments
from generator.railroad_fragment import (
    STYLE,
    example_marks,
    pocket_card,
    railroad,
    write_style,
)
from generator.sources_fragment import sources

CALCULATORS = every_calculator()

ROOT = Path(__file__).parents[2]


def block(subject: str, page: str = "x.md") -> Block:
    return Block(subject=subject, settings={}, number=1, page=Path(page))


class Reader(HTMLParser):
    """Collects the controls, labels and ids of a fragment."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.controls: list[dict[str, str]] = []
        self.labels: set[str] = set()
        self.ids: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        self.ids += [values["id"]] if "id" in values else []
        if tag == "label":
            self.labels.add(values["for"])
        if tag in ("input", "select", "textarea"):
            self.controls.append(values)


def test_every_setting_has_a_field_with_its_label_and_messages():
    read = Reader(railroad(block("settings")))
    names = {control["name"] for control in read.controls if "name" in control}
    offered = {f"limit.{id}" for id in judged_limits()} & set(settings())
    assert names == {key for key in settings() if not key.startswith("limit.")} | offered
    for control in read.controls:
        assert control["id"] in read.labels
        for id in control.get("aria-describedby", "").split():
            assert id in read.ids
    assert len(read.ids) == len(set(read.ids))


def test_the_form_is_empty_and_says_what_pages_start_with():
    text = railroad(block("settings"))
    assert not any("value" in control for control in Reader(text).controls)
    assert "selected" not in text
    assert "Not set, pages start with 118 or 26" in text
    assert "Not set, pages show psi." in text


@pytest.mark.parametrize("make", [railroad, pocket_card, sources])
def test_an_unknown_name_stops_the_build(make: Callable[[Block], str]):
    with pytest.raises(LookupError, match="nothing-such"):
        make(block("nothing-such"))


def test_the_example_card_says_that_it_is_one():
    text = pocket_card(block("main-figures"))
    assert "data-example" in text
    assert "Worked out for the example settings, not yours." in text


def test_every_source_is_listed_once():
    text = sources(block("all"))
    for id in SOURCES:
        assert text.count(f"<small>{id}</small>") == 1
    cited = {c.source for calculator in CALCULATORS.values() for c in calculator.sources}
    assert text.count("limits and checks") == len(set(SOURCES) - cited)


@pytest.mark.parametrize("name", sorted(CALCULATORS))
def test_an_answer_names_the_settings_that_it_depends_on(name: str):
    made = Fragments(()).calculator(block(name))
    found = re.search(r'data-fields="([^"]*)"', made)
    assert found is not None
    assert tuple(found[1].split()) == touching(answer(CALCULATORS[name], {}, example=True))
    assert 'class="example-mark" hidden="hidden"' in made


def test_a_preset_of_the_author_is_no_matter_of_the_settings():
    preset = Block(
        subject="car-brake", settings={"brake_pipe_setting": "80"}, number=1, page=Path("x.md")
    )
    found = re.search(r'data-fields="([^"]*)"', Fragments(()).calculator(preset))
    assert found is not None
    assert "brake_pipe_setting" not in found[1].split()
    assert "piston_travel" in found[1].split()


def test_there_is_a_mark_for_every_setting_that_an_answer_names():
    rules = example_marks()
    for calculator in CALCULATORS.values():
        for key in touching(answer(calculator, {}, example=True)):
            assert f"[data-fields~='{key}']" in rules


def test_the_style_is_ours_with_the_marks_behind_it(tmp_path: Path):
    write_style(ROOT, tmp_path)
    written = (tmp_path / STYLE).read_text(encoding="utf-8")
    assert written.endswith(example_marks())
    assert ".example-mark" in written.removesuffix(example_marks())
