"""The verbs of `python3 build`: what each one needs and does."""

import argparse
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from generator.setup import browsers, locks, node
from generator.setup.places import Places

DEFAULT_PORT = 8000
LAST_PORT = 65535


@dataclass(frozen=True, slots=True, kw_only=True)
class Order:
    """One command as it was given."""

    verb: "Verb"
    port: int = DEFAULT_PORT
    long: bool = False
    other_words: tuple[str, ...] = ()
    page: str = ""
    worksheet: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Verb:
    """One thing that `python3 build` can do."""

    name: str
    help: str
    python_lock: str
    carry_out: Callable[[Order, Places], int] = field(repr=False)


def build(order: Order, project: Places) -> int:
    """Build the site into site/."""
    from generator.site import BuildError, build_site

    node.prepare(project, node.RUNTIME, node.PAGE_SCRIPTS)
    try:
        build_site(project.root, project.site, report=_say)
    except BuildError as error:
        print(f"\nThe site was not built: {error}", file=sys.stderr)
        return 1
    return 0


def serve(order: Order, project: Places) -> int:
    """Build the site, then serve it on loopback until stopped."""
    from generator.serving import PortTakenError, refuse_taken_port
    from generator.serving import serve as serve_site

    try:
        refuse_taken_port(order.port)
        status = build(order, project)
        if status == 0:
            serve_site(project.site, order.port)
    except PortTakenError as error:
        print(f"\nStopped: {error}", file=sys.stderr)
        return 1
    return status


def page(order: Order, project: Places) -> int:
    """Show one page of content/ at once, and again whenever its file changes."""
    from generator.preview import preview
    from generator.site import BuildError

    try:
        preview(project.root, Path(order.page), port=order.port, report=_say)
    except BuildError as error:
        print(f"\nThe page was not made: {error}", file=sys.stderr)
        return 1
    return 0


def test(order: Order, project: Places) -> int:
    """Set up and run every check."""
    from generator import checks

    browsers.prepare(project, long_trials=order.long)
    browsers.ask_once_for_windowless(project)
    node.prepare(project, node.RUNTIME, node.PAGE_SCRIPTS, node.TEST_TOOLS)
    return checks.run_all(project, words=order.other_words, long_trials=order.long)


def check(order: Order, project: Places) -> int:
    """Run the quick checks, without a browser."""
    from generator import checks

    node.prepare(project, node.RUNTIME, node.PAGE_SCRIPTS, node.TEST_TOOLS)
    return checks.run_quick(project, words=order.other_words)


def bench(order: Order, project: Places) -> int:
    """Measure the built site and print the table."""
    from generator.bench import print_table

    browsers.prepare(project)
    node.prepare(project, node.RUNTIME, node.PAGE_SCRIPTS, node.TEST_TOOLS, node.BENCH_TOOLS)
    return print_table(project.root, order.other_words)


def rules(order: Order, project: Places) -> int:
    """Print every rule used, by section, as CSV."""
    from generator.rules_table import RulesTable

    print(RulesTable.read(project.root / "content").csv(), end="")
    return 0


def faults(order: Order, project: Places) -> int:
    """Work out anew what every fault shows, for the example settings: some minutes."""
    from calculators.finding.making import INDEPENDENT, SETUP, module
    from calculators.finding.table import make

    rows = tuple(make(SETUP, independent=INDEPENDENT))
    kept = project.root / "calculators" / "finding" / "kept.py"
    kept.write_text(module(rows), encoding="utf-8", newline="\n")
    return 0


def worksheet(order: Order, project: Places) -> int:
    """Write a worksheet with its key as PDF, CSV and QTI 3."""
    from generator.site import BuildError
    from generator.worksheet_files import asked, write_worksheet

    try:
        # What is asked wrongly is said before anything is installed.
        asked(order.worksheet)
        browsers.prepare(project)
        for file in write_worksheet(project.root, order.worksheet):
            print(file.relative_to(project.root))
    except BuildError as error:
        print(f"\nThe worksheet was not made: {error}", file=sys.stderr)
        return 1
    return 0


def remake_locks(order: Order, project: Places) -> int:
    """Make the lock files again."""
    locks.remake(project)
    return 0


VERBS = {
    verb.name: verb
    for verb in (
        Verb(
            name="build",
            help="build the site into site/ (the verb taken when none is given)",
            python_lock="site",
            carry_out=build,
        ),
        Verb(
            name="serve",
            help="build the site and serve it to this machine only",
            python_lock="site",
            carry_out=serve,
        ),
        Verb(
            name="page",
            help="show one page of content/ at once and while it is being written",
            python_lock="site",
            carry_out=page,
        ),
        Verb(
            name="test",
            help="run every check, real browsers included; other words go to pytest",
            python_lock="test",
            carry_out=test,
        ),
        Verb(
            name="check",
            help="run the quick checks, no browser; other words go to pytest",
            python_lock="test",
            carry_out=check,
        ),
        Verb(
            name="bench",
            help="measure start, answers, sizes and audits, and print the table; other words are its parts",
            python_lock="test",
            carry_out=bench,
        ),
        Verb(
            name="rules",
            help="print every rule used here, by section, with its figure and where, as CSV",
            python_lock="site",
            carry_out=rules,
        ),
        Verb(
            name="faults",
            help="work out anew what every fault shows over the series (after changing faults or stages)",
            python_lock="site",
            carry_out=faults,
        ),
        Verb(
            name="worksheet",
            help="write a worksheet with its key: topics=... number=... seed=... units=... paper=...",
            python_lock="test",
            carry_out=worksheet,
        ),
        Verb(
            name="locks",
            help="make the lock files again from pyproject.toml and the package.json files",
            python_lock="locks",
            carry_out=remake_locks,
        ),
    )
}
TAKES_WORDS = ("test", "check", "bench")


def read(words: Sequence[str]) -> Order:
    """Understand the words of the command; words that make no sense end the program here."""
    parser = _parser()
    known, others = parser.parse_known_args(words)
    name = known.verb or "build"
    if others and name not in TAKES_WORDS:
        parser.error(f"`{name}` does not take: {' '.join(others)}")
    return Order(
        verb=VERBS[name],
        port=getattr(known, "port", DEFAULT_PORT),
        long=getattr(known, "long", False),
        other_words=tuple(others),
        page=getattr(known, "page", ""),
        worksheet=tuple(getattr(known, "worksheet", ())),
    )


def carry_out(order: Order, project: Places) -> int:
    """Do what was ordered and return the exit status."""
    return order.verb.carry_out(order, project)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python3 build",
        description="Build, serve, check and measure the offline field reference.",
    )
    verbs = parser.add_subparsers(dest="verb", metavar="VERB")
    for verb in VERBS.values():
        words = verbs.add_parser(
            verb.name, help=verb.help, description=verb.help, allow_abbrev=False
        )
        if verb.name == "page":
            words.add_argument("page", metavar="FILE", help="the page's Markdown file")
        if verb.name == "worksheet":
            words.add_argument("worksheet", metavar="NAME=VALUE", nargs="*")
        if verb.name in ("serve", "page"):
            words.add_argument("--port", type=_port, default=DEFAULT_PORT)
        if verb.name == "test":
            words.add_argument(
                "--long", action="store_true", help="run the longer trials too and report them"
            )
    return parser


def _port(word: str) -> int:
    if not word.isdecimal() or int(word) > LAST_PORT:
        raise argparse.ArgumentTypeError(f"{word} is not a port (0 to {LAST_PORT})")
    return int(word)


def _say(line: object) -> None:
    print(line, flush=True)
