"""From ``content/`` and ``calculators/`` to the finished site: the steps in order.

Pages are made into finished Markdown first, MkDocs renders them, and what it leaves is finished
afterwards: pruned, given the Python runtime, the policy and the offline list. MkDocs knows none
of this, so that another renderer could take its place.
"""

from __future__ import annotations

import logging
import os
import re
import shutil
import subprocess
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Any

import yaml

from calculators.base.cautions import CAUTION
from calculators.catalog import find_calculator
from calculators.version import RELEASED, VERSION
from generator import (
    authoring,
    bands_fragment,
    calculator_pages,
    changes_fragment,
    circuit_fragment,
    class_screen_fragment,
    embeds,
    fault_case,
    figures_fragment,
    finding_fragment,
    fragments,
    lesson_fragments,
    licences,
    offline,
    policy,
    protection,
    published,
    railroad_fragment,
    sources_fragment,
    study_fragment,
    weight,
    worksheet_fragment,
)
from generator.closed_forms import close_forms
from generator.glossary import Glossary
from generator.kept_runs import keep_between_builds
from generator.lean_scripts import without_comments
from generator.limit_fragments import LimitLists
from generator.page_ends import PageEnds
from generator.reading_order import ReadingOrder
from generator.rules_table import RulesTable
from generator.runtime import pack
from generator.search_index import search_words, write_search_index
from generator.setup import node
from generator.setup.places import Places
from generator.theme_script import mend_theme_script
from generator.whose_figures import with_notice

Say = Callable[[str], None]

# Left in the rendered site by MkDocs and its theme, and of no use to a reader.
_PRUNED = ("sitemap.xml.gz", "**/*.map", "assets/javascripts/lunr", "assets/javascripts/workers")
_LEFTOVER = re.compile(r"\{\{.*?\}\}|<FORM>|^```(calculator|reference|published)", re.MULTILINE)
_BARE_TABLE = re.compile(
    r'(?P<box><div class="wide"[^>]*>)?<table>(?P<rows>.*?)</table>', re.DOTALL
)
_HEAD_CELL = re.compile(r"<th[^>]*>(.*?)</th>", re.DOTALL)
_ROW = re.compile(r"<tr>.*?</tr>", re.DOTALL)
_CELL = re.compile(r"<t[dh]\b[^>]*>")
_TAG = re.compile(r"<[^>]*>")
_CARDS_FROM = 3
_KEPT_AS_IS = re.compile(
    r"(<pre\b.*?</pre>|<textarea\b.*?</textarea>|<script\b.*?</script>|<style\b.*?</style>)",
    re.DOTALL,
)
_CODE = re.compile(r"<(pre|code)\b.*?</\1>", re.DOTALL)
_INDENT = re.compile(r"[ \t]*\n\s*")
MADE_FROM = ("CHANGELOG.md", "content", "calculators", "build", "mkdocs.yml", "tests/published")
# A fixed moment for what MkDocs stamps with a date: same inputs, same bytes.
_EPOCH = "1704067200"


class BuildError(RuntimeError):
    """The site cannot be built; the message says where and what to do."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BuildReport:
    """What was built: pages, and the lines of the weight report."""

    pages: int
    lines: tuple[str, ...]


def build_site(root: Path, out: Path, *, report: Say) -> BuildReport:
    """Build the whole site from the project at ``root`` into ``out``.

    Raises
    ------
    BuildError
        If a page embeds something unknown, MkDocs warns, a placeholder is left over, or the site
        weighs more than it may.
    """
    keep_between_builds(root)
    packed = root / ".work" / "packed"
    # What is packed knows nothing of the pages, and to try it takes another program a minute.
    with ThreadPoolExecutor(1) as beside:
        report("Runtime, beside the pages: packing Python and our modules")
        packing = beside.submit(pack, root, packed)
        count = make_pages(root, out, report=report)
        packing.result()
    shutil.move(packed, out / "runtime")
    report("Offline: content security policy, list of files, service worker")
    rules = policy.content_security_policy(out)
    policy.write_policy(out, rules)
    offline.finish_offline(out, policy=rules, built=built_when(root), version=VERSION)
    weights = weight.weigh(out)
    lines = tuple(weights.table().splitlines())
    for line in lines:
        report(line)
    for heavy in weights.heavy_pages():
        report(f"Heavy: {heavy}")
    if problems := weights.problems():
        raise BuildError("the site is over its limits:\n  " + "\n  ".join(problems))
    return BuildReport(pages=count, lines=lines)


def make_pages(root: Path, out: Path, *, report: Say) -> int:
    """Make the pages and their index into an empty ``out``; returns the page count."""
    staged = root / ".work" / "pages"
    report("Pages: putting computed figures into the text")
    count = write_pages(root, staged)
    report("Pages: rendering")
    render(root, out)
    prune(out)
    mend_theme_script(out)
    close_forms(out)
    calculator_pages.plain_summaries(out)
    reachable_tables(out)
    lean_pages(out)
    check_leftovers(out)
    report("Search: the index of answers, limits, parts and words")
    index_for_search(root, out)
    return count


def write_pages(root: Path, staged: Path, *, only: Path | None = None) -> int:
    """Write finished Markdown and everything that stands beside it; returns the page count.

    With ``only`` one page below ``content/`` is written, for a quick look.
    """
    shutil.rmtree(staged, ignore_errors=True)
    content = root / "content"
    shipped = licences.collect(root)
    printed = root / "tests" / "published"
    made = fragments.Fragments(tuple(published.tables(printed)), published.searches(printed))
    try:
        limits = LimitLists.read(content)
        rules = RulesTable.read(content)
        ends = PageEnds(glossary=Glossary.read(content), order=ReadingOrder.read(content))
    except (LookupError, ValueError) as error:
        raise BuildError(str(error)) from error
    blocks: dict[str, embeds.BlockMaker] = {
        "calculator": made.calculator,
        "reference": made.reference,
        "published": made.checks,
        "list": listing,
        "limits": limits.block,
        "rules": rules.block,
        "glossary": ends.glossary.block,
        "lessons": ends.order.block,
        "circuit": circuit_fragment.circuit,
        "railroad": railroad_fragment.railroad,
        "pocket-card": railroad_fragment.pocket_card,
        "licences": partial(licences.fragment, shipped),
        "figures": figures_fragment.figures,
        "sources": sources_fragment.sources,
        "changes": partial(changes_fragment.changes, root),
        "protection": protection.protection,
        "finding": partial(finding_fragment.finding, content),
        "study": study_fragment.study,
        "train-run": made.train_run,
        "drill": lesson_fragments.drill,
        "fault": fault_case.fault,
        "scenario": lesson_fragments.scenario,
        "worksheet": worksheet_fragment.worksheet_block,
        "class-screen": class_screen_fragment.class_screen,
    }
    blocks["embeds"] = partial(authoring.embeds_list, {*blocks, "embeds"})
    count = 0
    for source in sorted(content.rglob("*")):
        # Tables that the lists in the pages are made from are no part of the site.
        if source.is_dir() or source.suffix == ".toml":
            continue
        name = source.relative_to(content)
        if only is not None and source.suffix == ".md" and name != only:
            continue
        target = staged / name
        target.parent.mkdir(parents=True, exist_ok=True)
        if source.suffix != ".md":
            shutil.copyfile(source, target)
            continue
        text = source.read_text(encoding="utf-8")
        try:
            for page, written in parted(text, name, made.published):
                finished = embeds.expand(written, file=name, blocks=blocks, inline=made.inline)
                if page == name and calculator_pages.is_calculators(name):
                    finished = calculator_pages.folded(finished)
                # The sources of a calculator stand with its proof.
                ended = ends.add(with_notice(finished), written=text, page=page)
                (staged / page).parent.mkdir(parents=True, exist_ok=True)
                (staged / page).write_text(ended, encoding="utf-8", newline="\n")
                count += 1
        except embeds.EmbedError as error:
            raise BuildError(f"content/{error}") from error
        except (LookupError, ValueError) as error:
            raise BuildError(f"content/{name}: {error}") from error
    copy_browser_code(root, staged)
    railroad_fragment.write_style(root, staged)
    licences.write_texts(shipped, root, staged)
    return count


def index_for_search(root: Path, out: Path) -> None:
    """Write the index of the rendered pages, the limits and the glossary."""
    content = root / "content"
    try:
        glossary = Glossary.read(content)
        write_search_index(out, glossary=glossary, words=search_words(content, glossary))
    except LookupError as error:
        raise BuildError(str(error)) from error


def parted(
    text: str, page: Path, tables: tuple[published.Table, ...]
) -> Iterator[tuple[Path, str]]:
    """The pages that an author's file makes: a calculator's has its proof on a page of its own."""
    if not calculator_pages.is_calculators(page):
        yield page, text
        return
    calculator = find_calculator(page.stem)
    halves = calculator_pages.halves(text, calculator=calculator, tables=tables)
    yield page, halves.page
    yield calculator_pages.proof_path(page), halves.proof


def copy_browser_code(root: Path, staged: Path) -> None:
    """Put our scripts beside the pages; those of the service worker are no scripts of a page."""
    target = staged / "browser"
    target.mkdir(parents=True, exist_ok=True)
    for script in sorted((root / "build" / "browser").glob("*.js")):
        lean = without_comments(script.read_text(encoding="utf-8"))
        (target / script.name).write_text(lean, encoding="utf-8", newline="\n")
    codes = node.package_folder(Places(root=root), node.PAGE_SCRIPTS, "uqr")
    shutil.copyfile(codes / "dist" / "index.mjs", target / "uqr.js")


def listing(block: embeds.Block) -> str:
    """A list that is read from a catalog: ``calculators``, ``circuits``, ``train-bands``."""
    makers: dict[str, Callable[[], str]] = {
        "calculators": fragments.calculator_list,
        "circuits": circuit_fragment.circuit_list,
        "train-bands": bands_fragment.bands_table,
    }
    if block.subject not in makers:
        raise LookupError(f'no list is called "{block.subject}"; known: {", ".join(makers)}')
    return makers[block.subject]()


def render(root: Path, out: Path, *, only: tuple[Path, Path] | None = None) -> None:
    """Let MkDocs render the staged pages, strictly.

    With ``only`` (a page, and the folder in which it is staged) just that one, whose links lead to
    pages that are not there.
    """
    # Imported here: the theme prints a notice of its own at import.
    os.environ["SOURCE_DATE_EPOCH"] = _EPOCH
    os.environ["NO_MKDOCS_2_WARNING"] = "1"
    from mkdocs.commands.build import build
    from mkdocs.config import load_config
    from mkdocs.exceptions import MkDocsException

    logging.basicConfig(level=logging.WARNING, format="%(message)s")
    written = yaml.safe_load((root / "mkdocs.yml").read_text(encoding="utf-8"))
    settings: dict[str, Any] = {"nav": filled(written["nav"], root / written["docs_dir"])}
    if only is not None:
        page, staged = only
        settings = {"docs_dir": str(staged), "nav": [page.as_posix()], "strict": False}
        logging.getLogger("mkdocs").setLevel(logging.ERROR)
    try:
        config = load_config(
            str(root / "mkdocs.yml"),
            site_dir=str(out),
            extra=written["extra"]
            | {"caution": CAUTION, "version": VERSION, "entries": changes_fragment.entries(root)},
            **settings,
        )
        build(config)
    except MkDocsException as error:
        raise BuildError(str(error)) from error


def filled(nav: list[Any], staged: Path) -> list[Any]:
    """The navigation with every ``folder/*`` replaced by the folder's other pages, by title.

    >>> filled(["a.md"], Path("nowhere"))
    ['a.md']
    """
    return _filled(nav, staged, named=frozenset(_named(nav)))


def _filled(nav: list[Any], staged: Path, *, named: frozenset[str]) -> list[Any]:
    found: list[Any] = []
    for entry in nav:
        if isinstance(entry, str) and entry.endswith("/*"):
            pages = sorted((staged / entry.removesuffix("*")).glob("*.md"))
            others = [p for p in pages if p.relative_to(staged).as_posix() not in named]
            titled = [{_title(page): page.relative_to(staged).as_posix()} for page in others]
            found += sorted(titled, key=lambda one: next(iter(one)).casefold())
        elif isinstance(entry, dict):
            ((title, below),) = entry.items()
            below = _filled(below, staged, named=named) if isinstance(below, list) else below
            found.append({title: below})
        else:
            found.append(entry)
    return found


def _named(nav: list[Any]) -> Iterator[str]:
    for entry in nav:
        below = next(iter(entry.values())) if isinstance(entry, dict) else entry
        if isinstance(below, list):
            yield from _named(below)
        else:
            yield below


def _title(page: Path) -> str:
    meta = page.read_text(encoding="utf-8").split("---\n")[1]
    return str(yaml.safe_load(meta)["title"])


def prune(out: Path) -> None:
    """Take out what readers never use: source maps, the theme's search, packed sitemap."""
    for pattern in _PRUNED:
        for found in sorted(out.glob(pattern)):
            if found.is_dir():
                shutil.rmtree(found)
            else:
                found.unlink()
    for script in sorted((out / "assets").rglob("*.js")):
        text = script.read_text(encoding="utf-8")
        bare = re.sub(r"\n?//# sourceMappingURL=\S+\s*$", "\n", text)
        script.write_text(bare, encoding="utf-8", newline="\n")


def reachable_tables(out: Path) -> None:
    """Let every wide table be scrolled by the keyboard, and be read as cards in a narrow window.

    The theme would wrap a bare table by script in a box that no key reaches; a table with a
    class it leaves alone.
    """
    for page in policy.pages(out):
        text = page.read_text(encoding="utf-8")
        page.write_text(_BARE_TABLE.sub(_reachable, text), encoding="utf-8", newline="\n")


def _reachable(match: re.Match[str]) -> str:
    if match["box"]:
        return f'{match["box"]}<table class="figures">{match["rows"]}</table>'
    return (
        '<div class="wide" tabindex="0" role="group" aria-label="Table">'
        f"{as_cards(match['rows'])}</div>"
    )


def as_cards(rows: str) -> str:
    """A table whose cells say their column, so that the style can set each row as a card.

    Two columns fit any window as they are.

    >>> as_cards("<thead><tr><th>A</th></tr></thead>")
    '<table class="figures"><thead><tr><th>A</th></tr></thead></table>'
    """
    head, mark, body = rows.partition("</thead>")
    labels = [" ".join(_TAG.sub("", cell).split()) for cell in _HEAD_CELL.findall(head)]
    if len(labels) < _CARDS_FROM or not mark:
        return f'<table class="figures">{rows}</table>'
    return f'<table class="figures cards">{head}{mark}{_ROW.sub(partial(_labelled, labels), body)}</table>'


def _labelled(labels: list[str], row: re.Match[str]) -> str:
    waiting = iter(labels)

    def label(cell: re.Match[str]) -> str:
        words = next(waiting, "")
        return f'{cell[0][:-1]} data-label="{words}">' if words else cell[0]

    return _CELL.sub(label, row[0])


def lean_pages(out: Path) -> None:
    """Take the indentation and the empty lines out of the pages, where neither is seen."""
    for page in policy.pages(out):
        parts = _KEPT_AS_IS.split(page.read_text(encoding="utf-8"))
        # Every second part is what the pattern holds; the others may be made lean.
        parts[::2] = [_INDENT.sub("\n", part) for part in parts[::2]]
        page.write_text("".join(parts), encoding="utf-8", newline="\n")


def check_leftovers(out: Path) -> None:
    """Refuse a site in which an embed was not replaced."""
    found = list(_leftovers(out))
    if found:
        raise BuildError("left in the rendered pages:\n  " + "\n  ".join(found))


def _leftovers(out: Path) -> Iterator[str]:
    for page in policy.pages(out):
        # What stands in code is shown as it is written.
        match = _LEFTOVER.search(_CODE.sub("", page.read_text(encoding="utf-8")))
        if match:
            yield f"{page.relative_to(out)}: {match[0][:80]}"


def built_when(root: Path) -> str:
    """The moment this copy stands for: the newest commit to what it is made from.

    So builds agree, and a commit that changes nothing in the site offers nobody an update.
    A tree without its history (an archive) has no such date; the release's date stands in.
    """
    try:
        found = subprocess.run(
            ["git", "log", "-1", "--format=%cI", "--", *MADE_FROM],
            cwd=root,
            capture_output=True,
            text=True,
            check=True,
        )
    except (OSError, subprocess.CalledProcessError):
        return RELEASED
    return found.stdout.strip() or RELEASED
