"""The words of `python3 build`: understood, or refused with a reason."""

import re
import subprocess
import sys
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

import pytest

from generator import verbs
from generator.setup.places import Places

ROOT = Path(__file__).parents[2]


def run(*words: str, folder: Path = ROOT) -> "subprocess.CompletedProcess[str]":
    """Run `python3 build` as a user does, with no standard input."""
    return subprocess.run(
        [sys.executable, str(ROOT / "build"), *words],
        cwd=folder,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
    )


def test_help_lists_every_verb() -> None:
    answer = run("--help")

    assert answer.returncode == 0
    assert [n for n in verbs.VERBS if not re.search(rf"^    {n}\s", answer.stdout, re.M)] == []


@pytest.mark.parametrize(
    ("words", "reason"),
    [
        (["raise"], "invalid choice: 'raise'"),
        (["serve", "--port", "here"], "here is not a port"),
        (["serve", "--port", "65536"], "65536 is not a port"),
        (["build", "--quick"], "`build` does not take: --quick"),
        (["serve", "now"], "`serve` does not take: now"),
    ],
)
def test_words_that_make_no_sense_are_refused(words: list[str], reason: str) -> None:
    answer = run(*words)

    assert answer.returncode == 2
    assert reason in answer.stderr
    assert "Traceback" not in answer.stderr


def test_no_word_means_build() -> None:
    assert verbs.read([]).verb is verbs.VERBS["build"]


def test_serve_takes_a_port() -> None:
    assert verbs.read(["serve", "--port", "8123"]).port == 8123


def test_other_words_of_test_go_to_pytest() -> None:
    order = verbs.read(["test", "-q", "--long", "-k", "leak and not flow", "tests/air"])

    assert order.long
    assert order.test_words == ("-q", "-k", "leak and not flow", "tests/air")


@pytest.mark.parametrize("page", ["README.md", "DEVELOPERS.md", ".ci/run"])
def test_the_guides_name_verbs_and_options_that_exist(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")

    said = re.findall(r"python3 build(?:[ \n]+([a-z]+)((?:[ \n]+--[a-z]+)*))?", text)

    assert said != []
    for name, options in said:
        file = ["FILE"] if name == "page" else []
        words = [name, *options.split(), *file] if name else []
        assert verbs.read(words).verb.name == (name or "build")


def test_rules_prints_comma_separated_values() -> None:
    order = verbs.read(["rules"])
    assert order.verb.carry_out is verbs.rules
    with redirect_stdout(StringIO()) as printed:
        assert verbs.rules(order, Places(root=ROOT)) == 0

    head, *rows = printed.getvalue().splitlines()
    assert head == "section,what it asks,figure,edition,how read,used in"
    assert any(row.startswith("49 CFR 232.209(d),") for row in rows)


def test_the_guide_for_developers_names_every_verb() -> None:
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")

    assert [name for name in verbs.VERBS if f"python3 build {name}" not in text] == ["build"]
