"""The glossary's data, the abbreviations of the pages, and the trainee's reading order."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from calculators.law.source_list import SOURCES
from generator.abbreviations import definitions
from generator.embeds import Block
from generator.glossary import Glossary
from generator.page_ends import PageEnds
from generator.reading_order import ReadingOrder

CONTENT = Path(__file__).parents[2] / "content"

# Capitals that open nothing: positions as they are marked on valves, the roman numerals of the
# brake tests, and the name of a licence.
NO_ABBREVIATION = {
    "OUT",
    "IN",
    "LEAD",
    "DEAD",
    "TRAIL",
    "EX",
    "HP",
    "LP",
    "SD",
    "II",
    "III",
    "IA",
    "MIT",
    "PC",
}
EMBED = re.compile(r"\{\{.*?\}\}")
CODE = re.compile(r"^```.*?^```$|`[^`]*`", re.DOTALL | re.MULTILINE)
LINK_TARGET = re.compile(r"\]\([^)]*\)")


def glossary_in(folder: Path, text: str) -> Glossary:
    """A glossary of one's own, with one page to point to."""
    (folder / "glossary.toml").write_text(text, encoding="utf-8")
    (folder / "page.md").write_text("---\ntitle: A page\n---\n", encoding="utf-8")
    return Glossary.read(folder)


def term(name: str, more: str = 'mark = "P"') -> str:
    return f'[[term]]\nterm = "{name}"\nid = "{name}"\ngist = "Words."\n{more}\n'


NONE_SHORT = '[[abbreviation]]\nshort = "XYZ"\nwords = "an example"\n'


@pytest.fixture(scope="module")
def glossary() -> Glossary:
    return Glossary.read(CONTENT)


def block(subject: str, page: str = "glossary.md") -> Block:
    return Block(subject=subject, settings={}, number=1, page=Path(page))


def test_terms_that_the_regulations_define_name_their_section(glossary: Glossary):
    """The words of the regulation that a freight train's crew meets."""
    defined = {
        "brake-pipe": "CFR-236-712",
        "full-service": "CFR-236-701",
        "equalizing-reservoir": "CFR-236-792",
        "double-heading-cock": "CFR-236-729",
        "stopping-distance": "CFR-236-741",
        "air-flow-indicator": "CFR-232-5",
        "service-application": "CFR-232-5",
        "effective-brake": "CFR-232-5",
        "brake-pipe-gradient": "CFR-232-5",
        "off-air": "CFR-232-5",
        "solid-block": "CFR-232-5",
        "transfer-train": "CFR-232-5",
        "unit-train": "CFR-232-5",
        "qualified-person": "CFR-232-5",
        "qualified-mechanical-inspector": "CFR-232-5",
    }
    assert {id: glossary.by_id[id].source for id in defined} == defined
    assert "CFR-236-791" not in SOURCES, "release, value is no term of the air brake"


def test_british_words_stand_beside_ours(glossary: Glossary):
    words = {
        "control-valve": "distributor",
        "truck": "bogie",
        "brake-shoe": "brake block",
        "car": "wagon",
        "engineer": "driver",
        "grade": "gradient",
    }
    for id, word in words.items():
        assert word in glossary.by_id[id].elsewhere


def test_every_term_can_be_linked_and_says_where_it_comes_from(glossary: Glossary):
    made = glossary.block(block("all"))
    for entry in glossary.terms:
        assert f'id="{entry.id}"' in made
        assert f'href="#{entry.id}"' in made
        assert entry.source or entry.mark
    assert made.count('class="where"') == len(glossary.terms)


def test_links_of_the_glossary_lead_from_any_page(glossary: Glossary):
    made = glossary.block(block("all", "about/reading.md"))
    assert 'href="../../calculators/brake-force/"' in made


def test_list_of_abbreviations_is_whole(glossary: Glossary):
    made = glossary.block(block("abbreviations"))
    for short, words in glossary.abbreviations.items():
        assert f">{short}</th>" in made
        assert words in made


def test_a_list_that_does_not_exist_is_named(glossary: Glossary):
    with pytest.raises(LookupError, match='not "some"'):
        glossary.block(block("some"))


@pytest.mark.parametrize(
    ("text", "complaint"),
    [
        (term("b") + term("a") + NONE_SHORT, '"a" stands behind "b"'),
        (term("a") + term("a") + NONE_SHORT, '"a" stands behind "a"'),
        (term("a", "") + NONE_SHORT, "a needs either a source or the mark"),
        (term("a", 'mark = "S"') + NONE_SHORT, "a needs either a source or the mark"),
        (term("a", 'mark = "P"\nsource = "ARRC-96"') + NONE_SHORT, "either a source or"),
        (term("a", 'mark = "P"\nsee = ["b"]') + NONE_SHORT, "a points to b"),
        (term("A b") + NONE_SHORT, "'A b' cannot be an anchor"),
        (term("a", 'mark = "P"\nshort = ["XYZ"]') + NONE_SHORT, "XYZ stands for two things"),
    ],
)
def test_a_slip_in_the_data_is_named(tmp_path: Path, text: str, complaint: str):
    with pytest.raises(ValueError, match=complaint):
        glossary_in(tmp_path, text)


@pytest.mark.parametrize(
    "more", ['source = "NOBODY"', 'mark = "P"\npage = "nowhere.md"'], ids=["source", "page"]
)
def test_something_named_that_does_not_exist_is_refused(tmp_path: Path, more: str):
    with pytest.raises(LookupError):
        glossary_in(tmp_path, term("a", more) + NONE_SHORT)


def test_a_page_gets_the_abbreviations_it_uses_and_no_others():
    short = {"BP": "brake pipe", "ER": "equalizing reservoir", "MR": "main reservoir"}
    assert definitions("The ER, not HER or MRS. BP!", short) == (
        "*[BP]: brake pipe\n*[ER]: equalizing reservoir\n"
    )
    assert definitions("None here.", short) == ""


@pytest.mark.parametrize(
    "page", sorted(CONTENT.rglob("*.md")), ids=lambda p: str(p.relative_to(CONTENT))
)
def test_no_page_uses_an_abbreviation_that_does_not_open(page: Path, glossary: Glossary):
    text = page.read_text(encoding="utf-8").split("---\n", 2)[2]
    for pattern in (CODE, EMBED, LINK_TARGET):
        text = pattern.sub(" ", text)
    found = set(re.findall(r"(?<![\w-])[A-Z]{2,}(?![\w-])", text))
    assert found - set(glossary.abbreviations) - NO_ABBREVIATION == set()


def test_reading_order_says_where_a_page_stands():
    order = ReadingOrder.read(CONTENT)
    first, second, last = order.lessons[0], order.lessons[1], order.lessons[-1]
    assert "1 of" in order.around(first.page)
    assert 'rel="prev"' not in order.around(first.page)
    assert f">{second.title}</a>" in order.around(first.page)
    assert 'rel="next"' not in order.around(last.page)
    assert order.around(Path("index.md")) == ""


def test_reading_order_lists_every_lesson_with_its_goal():
    order = ReadingOrder.read(CONTENT)
    made = order.block(block("all", "learn/index.md"))
    for lesson in order.lessons:
        assert f"<small>{lesson.goal} About {lesson.minutes} min.</small>" in made
        assert lesson.goal.endswith(".")
    with pytest.raises(LookupError, match='not "some"'):
        order.block(block("some"))


def test_reading_order_begins_with_the_cautions():
    assert ReadingOrder.read(CONTENT).lessons[0].page == Path("about/cautions.md")


def test_a_lesson_that_stands_twice_is_named(tmp_path: Path):
    lesson = '[[chapter.lesson]]\npage = "page.md"\ngoal = "Words."\n'
    (tmp_path / "learn").mkdir()
    (tmp_path / "page.md").write_text("---\ntitle: A page\n---\n", encoding="utf-8")
    (tmp_path / "learn/order.toml").write_text(
        f'[[chapter]]\ntitle = "One"\n{lesson}{lesson}', encoding="utf-8"
    )
    with pytest.raises(ValueError, match=r"page\.md stands twice"):
        ReadingOrder.read(tmp_path)


def test_a_lesson_before_one_that_it_needs_is_named(tmp_path: Path):
    (tmp_path / "learn").mkdir()
    for name in ("first", "second"):
        (tmp_path / f"{name}.md").write_text("---\ntitle: A page\n---\n", encoding="utf-8")
    lessons = {
        "second": '[[chapter.lesson]]\npage = "second.md"\ngoal = "B."\nneeds = ["first.md"]\n',
        "first": '[[chapter.lesson]]\npage = "first.md"\ngoal = "A."\n',
    }
    order = tmp_path / "learn/order.toml"
    head = '[[chapter]]\ntitle = "One"\n'
    order.write_text(head + lessons["second"] + lessons["first"], encoding="utf-8")
    with pytest.raises(ValueError, match=r"second\.md needs first\.md, which does not come before"):
        ReadingOrder.read(tmp_path)
    order.write_text(head + lessons["first"] + lessons["second"], encoding="utf-8")
    read = ReadingOrder.read(tmp_path)
    foot = read.around(Path("second.md"))
    assert "Afterwards you can: b." in foot
    assert "First: " in foot
    assert 'href="../first/"' in foot


def test_every_circuit_and_calculator_of_the_path_comes_after_the_parts_it_moves():
    """The parts in a set's way stand before the set, and the picture's key before the pictures."""
    pages = [lesson.page.as_posix() for lesson in ReadingOrder.read(CONTENT).lessons]
    place = pages.index
    first_circuit = min(n for n, page in enumerate(pages) if page.startswith("circuits/"))
    assert pages[first_circuit] == "circuits/index.md"
    for part in ("control-valve", "control-reservoir", "double-check-valve", "relay-valve"):
        assert place(f"parts/{part}.md") < place("circuits/service-application.md")
    assert place("parts/automatic-brake-valve.md") < place("circuits/charging.md")
    assert place("circuits/service-application.md") < place("calculators/main-reservoir.md")


def test_foot_of_a_page_names_its_sources_unless_a_declaration_does(glossary: Glossary):
    ends = PageEnds(glossary=glossary, order=ReadingOrder(()))
    head = "---\ntitle: A page\nsources: [CFR-232-205]\n---\n"
    plain = ends.add(f"{head}Words.\n", written=f"{head}Words.\n", page=Path("a.md"))
    declared = ends.add(
        f"{head}Words.\n", written=f"{head}```reference\nunits\n```\n", page=Path("a.md")
    )
    assert "## Sources" in plain
    assert SOURCES["CFR-232-205"].title in plain
    assert "## Sources" not in declared
    with pytest.raises(LookupError, match="NOBODY"):
        ends.add("", written="---\nsources: [NOBODY]\n---\n", page=Path("a.md"))
