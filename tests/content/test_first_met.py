"""A trainee who follows the reading order meets no term that is not linked or explained there.

The pages are read here in another way than the generator reads them: line by line, each term by
itself, the longest first, so that a term within another's name is not taken for its own.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from generator.glossary import Glossary, Term
from generator.page_ends import PageEnds
from generator.reading_order import Lesson, ReadingOrder

CONTENT = Path(__file__).parents[2] / "content"
GLOSSARY = Glossary.read(CONTENT)
ORDER = ReadingOrder.read(CONTENT)
ENDS = PageEnds(glossary=GLOSSARY, order=ORDER)
LONGEST_FIRST = sorted(
    ((word, term) for term in GLOSSARY.terms for word in term.met or (term.term,)),
    key=lambda pair: -len(pair[0]),
)


def sentences(page: str) -> str:
    """The lines that a person reads as text, without figures, headings and lists of sources."""
    body = page.split("---\n", 2)[2]
    body = re.split(r"^## (?:Sources|Where it was read)$", body, flags=re.MULTILINE)[0]
    body = re.sub(r"^```.*?^```$", "", body, flags=re.DOTALL | re.MULTILINE)
    lines = body.splitlines()
    heads = {n for n, below in enumerate(lines[1:]) if re.fullmatch(r"\|[-:| ]+", below)}
    kept = [
        line
        for n, line in enumerate(lines)
        if n not in heads and not line.startswith(("#", "<", "!!!"))
    ]
    return re.sub(r"\{\{.*?\}\}|`[^`]*`", lambda found: "0" * len(found[0]), "\n".join(kept))


@cache
def uses(page: str) -> dict[str, list[tuple[int, bool]]]:
    """Where each term stands on a page, and whether it stands in a link there."""
    text = sentences(page)
    linked = set[int]()
    for link in re.finditer(r"\[([^\]\n]*)\](\([^)\n]*\))", text):
        linked |= set(range(*link.span(1)))
        start, end = link.span(2)
        text = text[:start] + "0" * (end - start) + text[end:]
    found: dict[str, list[tuple[int, bool]]] = {}
    for word, term in LONGEST_FIRST:
        first, rest = re.escape(word[0]), re.escape(word[1:])
        pattern = rf"(?<![\w-])(?i:{first}){rest}(?:s|es)?(?![\w-])"
        for match in re.finditer(pattern, text):
            found.setdefault(term.id, []).append((match.start(), match.start() in linked))
            text = text[: match.start()] + "0" * len(match[0]) + text[match.end() :]
    return {id: sorted(places) for id, places in found.items()}


def finished(lesson: Lesson) -> str:
    return ENDS.add(lesson.text, written=lesson.text, page=lesson.page)


def first_lesson(term: Term) -> Lesson | None:
    return next((one for one in ORDER.lessons if term.id in uses(one.text)), None)


@pytest.mark.parametrize("term", GLOSSARY.terms, ids=lambda term: term.id)
def test_a_term_is_linked_or_explained_where_the_trainee_meets_it_first(term: Term):
    lesson = first_lesson(term)
    if lesson is None or Path(term.page) == lesson.page:
        return  # Not on the path, or the lesson is about it.
    _, in_link = uses(finished(lesson))[term.id][0]
    assert in_link, f"{term.term} on {lesson.page}"


def test_most_terms_are_met_on_the_path():
    met = [term.id for term in GLOSSARY.terms if first_lesson(term)]
    assert len(met) > 0.8 * len(GLOSSARY.terms)


def test_a_term_is_linked_once_and_not_again_in_a_later_lesson():
    links = [
        id
        for one in ORDER.lessons
        for id in re.findall(r"glossary\.md#([a-z0-9-]+)", finished(one))
        if f"#{id}" not in one.text
    ]
    assert sorted(set(links)) == sorted(links)
    assert set(links) <= set(GLOSSARY.by_id)


def test_the_path_leads_to_a_unit_hauled_dead():
    pages = [lesson.page.as_posix() for lesson in ORDER.lessons]
    assert pages.index("about/cautions.md") == 0
    assert "circuits/hauled-dead.md" in pages
    on_path = {page.removeprefix("circuits/") for page in pages if page.startswith("circuits/")}
    assert on_path == {page.name for page in (CONTENT / "circuits").glob("*.md")}


def test_a_page_off_the_path_gets_no_links():
    page = Path("parts/settings.md")
    text = (CONTENT / page).read_text(encoding="utf-8")
    assert "glossary.md#" not in ENDS.add(text, written=text, page=page)


@pytest.mark.parametrize(
    ("written", "made"),
    [
        ("The relay laps.", "The [relay](../glossary.md#relay-valve) laps."),
        ("Relays lap, a relay laps.", "[Relays](../glossary.md#relay-valve) lap, a relay laps."),
        ("The [relay](x.md) laps. A relay.", "The [relay](x.md) laps. A relay."),
        ("# The relay\n\nIt laps.", "# The relay\n\nIt laps."),
        ("<p>The relay laps.</p>\n\nIt laps.", "<p>The relay laps.</p>\n\nIt laps."),
        ("| Relay | Laps |\n| --- | --- |", "| Relay | Laps |\n| --- | --- |"),
        ("```text\nrelay\n```\n`relay`", "```text\nrelay\n```\n`relay`"),
        ("A relayed word; by-relay.", "A relayed word; by-relay."),
        ("In the Air Brake System.", "In the Air Brake System."),
        ("It laps.\n\n## Sources\n\nOf a relay.", "It laps.\n\n## Sources\n\nOf a relay."),
    ],
)
def test_only_prose_is_linked_and_a_page_that_links_by_itself_is_left(written: str, made: str):
    ids = ["relay-valve", "air-brake"]
    assert GLOSSARY.linked(written, ids, page=Path("tests/class-1.md")) == made


def test_pages_that_say_where_they_were_read_get_no_second_heading():
    head = "---\ntitle: A page\nsources: [CFR-232-205]\n---\n"
    for last in ("Sources", "Where it was read"):
        page = f"{head}Words.\n\n## {last}\n\n- Here.\n"
        made = ENDS.add(page, written=page, page=Path("a.md"))
        assert re.findall(r"^## (.*)$", made, re.MULTILINE) == [last]
        assert 'class="page-sources"' in made
    earlier = f"{head}Words.\n\n## Sources\n\n- Here.\n\n## After\n\nWords.\n"
    made = ENDS.add(earlier, written=earlier, page=Path("a.md"))
    assert made.count("## Sources") == 2
