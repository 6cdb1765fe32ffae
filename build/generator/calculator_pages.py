"""A calculator's page in two: the answer with what a reader needs at hand, and its proof.

An author writes one Markdown file for a calculator. Its sections "Checked against" and
"What this answer assumes" become a page of their own, one tap from the answer; the other sections fold up under
it, so that the page stays short on a phone.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from calculators.declaring.registry import Calculator
from calculators.rendering.elements import element, html
from generator import policy
from generator.published import Table

CHECKED, DECLARED = "Checked against", "What this answer assumes"
PROOF = "proof"

_SECTION = re.compile(r"^## +(?P<title>.+?)(?: +\{ *#(?P<id>[\w-]+) *\})? *$", re.MULTILINE)
_PAGE_LINK = re.compile(r"\]\((?!https?:|#|/)(?P<target>[^)\s]+)\)")
# Everything embedded is one line; the calculator is the first of them.
_OPENING = re.compile(
    r"(?P<head>.*?^# [^\n]*\n\n)(?P<said>.*?)(?P<embed><div class=\"embed\"><brake-calculator [^\n]*)\n",
    re.DOTALL | re.MULTILINE,
)
_PROOF_FRONT = """---
title: "{title}: proof"
description: What the answer of the calculator {title} rests on, what it assumes, every input, and the published figures it was checked against.
search:
  boost: 0.4
---

# {title}: proof and assumptions

What the [calculator]({page}) rests on: what it assumes, what it leaves out, what it was checked against, and every input.

"""
_SUMMARY_LINK = re.compile(
    r'(?P<kept><summary>\s*<h2[^>]*>[^<]*)<a class="headerlink"[^>]*>[^<]*</a>'
)
_LINK_TO_PROOF = "Proof, assumptions, inputs and sources"


@dataclass(frozen=True, slots=True, kw_only=True)
class Halves:
    """The Markdown of a calculator's page without its proof, and of the proof's page."""

    page: str
    proof: str


def halves(text: str, *, calculator: Calculator, tables: tuple[Table, ...]) -> Halves:
    """Part a calculator's page.

    Parameters
    ----------
    text
        The page as its author wrote it.
    calculator
        What the page is about.
    tables
        All published tables.

    Raises
    ------
    ValueError
        If one of the two sections is missing.
    """
    parts = _sections(text)
    missing = [title for title in (CHECKED, DECLARED) if title not in parts]
    if missing:
        raise ValueError(f'the page of {calculator.name} has no section "{missing[0]}"')
    moved = {title: parts.pop(title) for title in (CHECKED, DECLARED)}
    page = "".join(parts.values()).rstrip("\n") + "\n\n" + _lead(calculator) + "\n"
    front = _PROOF_FRONT.format(title=calculator.title, page=f"../{calculator.name}.md")
    body = (
        f"## {DECLARED}\n{moved[DECLARED]}\n"
        f"## {CHECKED}\n{moved[CHECKED]}\n"
        f"## Each figure\n\n{_each_figure(calculator, tables)}\n"
    )
    return Halves(page=page, proof=front + _from_below(body))


def _sections(text: str) -> dict[str, str]:
    """The text by its headings of the second level; what stands before them under ``""``.

    The two sections that move lose their heading here, the others keep it.
    """
    found: dict[str, str] = {}
    starts = [*_SECTION.finditer(text)]
    found[""] = text[: starts[0].start()] if starts else text
    for number, start in enumerate(starts):
        end = starts[number + 1].start() if number + 1 < len(starts) else len(text)
        title = start["title"]
        own = title not in (CHECKED, DECLARED)
        found[title] = text[start.start() if own else start.end() : end]
    return found


def _lead(calculator: Calculator) -> str:
    """The way to the proof, with the anchors that its sections had on this page."""
    anchors = (element("span", id=id) for id in ("checked-against", "the-declaration"))
    link = element("a", _LINK_TO_PROOF, href=f"{PROOF}/", class_="to-proof")
    return html(element("p", *anchors, link, class_="proof-lead"))


def _from_below(text: str) -> str:
    """Links to other pages, seen from a page one folder further down."""
    return _PAGE_LINK.sub(lambda match: f"](../{match['target']})", text)


def _each_figure(calculator: Calculator, tables: tuple[Table, ...]) -> str:
    """Every result with the published tables that check it; the answer's figures lead here."""
    rows = []
    for name, description in calculator.outputs().items():
        checked = [
            f"{table.title} ({number} {'row' if number == 1 else 'rows'})"
            for table in tables
            if table.calculator == calculator.name
            and (number := sum(any(e.result == name for e in row.expected) for row in table.rows))
        ]
        words = "; ".join(checked) or "No published figure was found for it."
        rows.append(
            element(
                "div",
                element("dt", description.term, id=f"figure-{name}"),
                element("dd", words),
            )
        )
    return html(element("dl", *rows, class_="each-figure"))


def proof_path(page: Path) -> Path:
    """Where the proof of a calculator's page stands, below ``content/``."""
    return page.with_suffix("") / f"{PROOF}.md"


def folded(finished: str) -> str:
    """A finished page with the calculator first and its sections folded up, each under its heading.

    What an author says before the calculator follows it: the answer comes first.
    """
    found = _OPENING.match(finished)
    if found is not None:
        finished = found["head"] + found["embed"] + "\n\n" + found["said"] + finished[found.end() :]
    starts = [*_SECTION.finditer(finished)]
    if not starts:
        return finished
    made = [finished[: starts[0].start()]]
    for number, start in enumerate(starts):
        end = starts[number + 1].start() if number + 1 < len(starts) else len(finished)
        body, rest = _body(finished[start.end() : end])
        name = start["id"] or _slug(start["title"])
        heading = element("h2", start["title"], id=name)
        made.append(
            f'<details class="page-group" data-group="{name}" markdown="1">\n'
            f"<summary>{html(heading)}</summary>\n{body.rstrip()}\n\n</details>\n\n{rest}"
        )
    return "".join(made)


def _body(text: str) -> tuple[str, str]:
    """A section's own text, and the way to the proof behind the last of them."""
    position = text.find('<p class="proof-lead"')
    return (text, "") if position < 0 else (text[:position], text[position:])


def _slug(title: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", title.casefold()).strip("-")


def plain_summaries(site: Path) -> None:
    """Take the link to a heading out of the summary that the heading stands in: it opens a group."""
    for page in policy.pages(site):
        text = page.read_text(encoding="utf-8")
        plain = _SUMMARY_LINK.sub(r"\g<kept>", text)
        if plain != text:
            page.write_text(plain, encoding="utf-8", newline="\n")


def is_calculators(page: Path) -> bool:
    """Whether a page below ``content/`` is a calculator's own."""
    return PurePosixPath(page.as_posix()).parent.name == "calculators" and page.stem != "index"
