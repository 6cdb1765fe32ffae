"""Every figure in a page's text follows the reader's settings, or is visibly somebody else's.

The pages are read as their authors wrote them; what a device with settings of its own would show is
asked by the words that the built page keeps.
"""

from __future__ import annotations

import re
import shlex
from functools import cache
from pathlib import Path
from urllib.parse import parse_qsl, urlencode

import pytest

from calculators.answering.answer import answer
from calculators.answering.shown import shown
from calculators.base.quantities import Choice, Quantity
from calculators.catalog import find_calculator
from calculators.kept.embedded import embedded_figures, limit_text, moved_by
from calculators.kept.settings import Setting, settings
from calculators.law.judging import looser
from calculators.law.limit_list import LIMITS
from generator.fragments import OF_EXAMPLE, Fragments
from generator.whose_figures import BEFORE, embedded_on, with_notice

CONTENT = Path(__file__).parents[2] / "content"
PAGES = sorted(CONTENT.rglob("*.md"))
INLINE = re.compile(r"\{\{\s*([^{}]*?)\s*\}\}")
# Sources are no figures, a timer runs by the rule; the example and its day are marked as such or named in
# the sentence.
APART = ("source ", "example ", "scenario ", "timer ")
CODE = re.compile(r"^```.*?^```$|`[^`\n]*`", re.DOTALL | re.MULTILINE)
FRAGMENTS = Fragments(())


def asked(words: str) -> str:
    """What the built page keeps of an embed, by its own reading of the author's words."""
    first, *rest = shlex.split(words)
    if first == "limit":
        return " ".join(("limit", rest[0], *(["figure"] if "figure" in rest else [])))
    query = urlencode(dict(pair.split("=", 1) for pair in rest))
    return first + (f"?{query}" if query else "")


def embeds(page: Path) -> list[str]:
    """The words of the embeds of a page that follow, sources and the example's left out."""
    text = CODE.sub("", page.read_text(encoding="utf-8"))
    return [
        words
        for words in INLINE.findall(text)
        if not words.startswith(APART) and not words.endswith(" edition")
    ]


@cache
def all_asked() -> tuple[str, ...]:
    return tuple(dict.fromkeys(asked(words) for page in PAGES for words in embeds(page)))


def another(setting: Setting) -> str:
    """A text for a setting that is none of those that the calculators start with."""
    description = setting.description
    if isinstance(description, Choice):
        return next(o.value for o in description.options if o.value not in setting.starts())
    assert isinstance(description, Quantity)
    starts = [float(start.split()[0].replace(",", "")) for start in setting.starts()]
    low, high = description.low or 0.0, description.high or 1000.0
    values = [start * share for start in starts for share in (0.9, 1.1, 0.8, 1.3)]
    for value in (*values, low + 0.3 * (high - low)):
        text = f"{round(value) if description.whole else round(value, 3):g}"
        try:
            setting.parsed(text)
        except ValueError:
            continue
        if float(text) not in starts:
            return text
    raise AssertionError(f"no other value for {setting.key}")


FIELDS = [s for s in settings().values() if s.fields and s.section != "Your own stricter limits"]


@pytest.mark.parametrize("setting", FIELDS, ids=lambda setting: setting.key)
def test_each_setting_reaches_every_page(setting: Setting):
    """A figure for a setting is the answer that its calculator gives with it typed into the field."""
    text = another(setting)
    moved = [
        words
        for words in all_asked()
        if setting.key in moved_by(words)
        # A circuit's move takes long; the setting that every one depends on is tried on all.
        and (setting.key == "brake_pipe_setting" or not words.startswith("circuit."))
    ]
    found = embedded_figures(moved, {setting.key: text})
    for words, figure in found.items():
        name, _, query = words.partition("?")
        name, _, result = name.partition(".")
        calculator = find_calculator(name)
        entries = dict(parse_qsl(query))
        typed = {f: text for c, f in setting.fields if c is calculator and f not in entries}
        direct = answer(calculator, {**typed, **entries}, example=True)
        inputs = {item.name: item.value for item in direct.inputs}
        if result in inputs:
            expected = shown(calculator.inputs()[result], inputs[result], direct.display)
        else:
            expected = shown(calculator.outputs()[result], direct.results()[result], direct.display)
        assert figure == expected, words
    waiting = set(moved) - set(found)
    assert all(left_as_it_was(words, setting, text) for words in waiting), waiting


def left_as_it_was(words: str, setting: Setting, text: str) -> bool:
    """Whether a figure that stays the example's may: the train model, or settings that do not fit."""
    name, _, query = words.partition("?")
    name, _, result = name.partition(".")
    calculator = find_calculator(name)
    typed = {f: text for c, f in setting.fields if c is calculator}
    found = answer(calculator, {**typed, **dict(parse_qsl(query))}, example=True)
    if found.errors or found.outcome is None or found.outcome.to_follow is None:
        return bool(found.errors)
    return result in (*found.outcome.to_follow.fills, *found.outcome.to_follow.lowers)


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(CONTENT)))
def test_a_reader_who_keeps_80_psi_finds_no_90(page: Path):
    """Except where a sentence names 90 itself, or the figure is marked as the example's."""
    text = CODE.sub("", page.read_text(encoding="utf-8").split("---\n", 2)[2])
    # A figure that takes the train model, or cannot be had at 80, stays, with "(example)" behind it.
    for line in text.split("\n"):
        words = [w for w in INLINE.findall(line) if not w.startswith(APART)]
        found = embedded_figures([asked(w) for w in words], {"brake_pipe_setting": "80"})
        shown_there = {word: found.get(asked(word), "") for word in words}
        read = INLINE.sub(lambda m, texts=shown_there: texts.get(m[1], ""), line)  # type: ignore[misc]
        rule = "limit brake-pipe-setting-road" in line
        by_words = re.search(r"\b90 (?:shut|to)\b", line) is not None
        pinned = rule or by_words or any(re.search(r"=90\b", w) for w in words)
        assert pinned or not re.search(r"(?<![\d,.])90(?: psi\b|\*\*)", read), read


def test_every_figure_is_followed_or_marked_or_moved_by_nothing():
    for page in PAGES:
        for words in embeds(page):
            if embedded_figures([asked(words)], {"pressure_unit": "psi"}):
                made = FRAGMENTS.inline(words)
                follows = "data-embedded=" in made
                assert follows == bool(moved_by(asked(words))), (page, words)
                assert embedded_on(made) == ((asked(words),) if follows else ()), (page, words)


def test_the_examples_own_figures_are_marked():
    made = FRAGMENTS.inline("example locomotive-brake.brake_pipe_setting")
    assert made == f'<span class="figure of-example" title="{OF_EXAMPLE}">90 psi</span>'


def test_a_limit_follows_the_unit_and_the_railroads_stricter_figure():
    assert limit_text("air-flow", record={"limit.air-flow": "50"}) == (
        "at most 60 cfm (your railroad: at most 50 cfm)"
    )
    assert limit_text("air-flow", record={"limit.air-flow": "70"}) == "at most 60 cfm"
    assert limit_text("air-flow", record={"limit.air-flow": "nonsense"}) == "at most 60 cfm"
    assert limit_text("rear-gradient", record={"pressure_unit": "kPa"}) == "at most 103 kPa"
    for id, limit in LIMITS.items():
        if limit.sense in ("at most", "at least") and not looser(limit, limit.figure):
            words = limit_text(id, record={f"limit.{id}": f"{limit.figure:g}"})
            assert words.count("your railroad") == 1, id


def test_the_page_says_so_before_any_script_has_come():
    text = f"---\nx: y\n---\n\n# A title\n\n{FRAGMENTS.inline('car-brake.full_service_pressure')}\n"
    made = with_notice(text)
    assert made.index("# A title") < made.index(BEFORE) < made.index("data-embedded")
    assert 'data-example="yes"' in made
    (fields,) = re.findall(r'data-fields="([^"]*)"', made)
    assert {"brake_pipe_setting", "piston_travel", "pressure_unit"} <= set(fields.split())
    assert "service_limit" not in fields.split()
    assert with_notice("# A title\n\nNo figure.\n") == "# A title\n\nNo figure.\n"


@pytest.mark.parametrize("page", PAGES, ids=lambda page: str(page.relative_to(CONTENT)))
def test_a_least_time_to_charge_stands_beside_what_it_assumes(page: Path):
    """A bound for 60 cfm is none for a train that two compressors fill."""
    text = CODE.sub("", page.read_text(encoding="utf-8"))
    for paragraph in text.split("\n\n"):
        for line in paragraph.split("\n") if paragraph.startswith("|") else [paragraph]:
            if "charging-time.time_lower_bound" in line:
                assert "charging-time.delivery" in line, line
