"""Links and kept records made to hurt: through the page's entry, the command line and the browser.

Whatever is in them, there is no traceback, nothing is left out in silence, and an answer that comes
is the answer to all of what was asked.
"""

from __future__ import annotations

import io
import json
from contextlib import redirect_stderr, redirect_stdout
from random import Random
from typing import Any
from urllib.parse import urlencode

import pytest
from playwright.sync_api import expect

from calculators import cli
from calculators.answering.answer import answer
from calculators.answering.links import LINK_VERSION, PRESSURE_UNIT_FIELD, VERSION_FIELD
from calculators.base.errors import InputError
from calculators.base.fields import parse
from calculators.base.quantities import Choice, Quantity
from calculators.browser.replying import reply
from calculators.catalog import CALCULATORS
from calculators.declaring.registry import Calculator
from calculators.kept.settings import settings
from calculators.law.carried import CARRIED, OWN_LIMIT_PREFIX, carry_over
from calculators.law.limit_list import LIMITS

SHORT, LONG = 300, 20_000
# The model of the train takes seconds; what a link may hold is the same for all.
QUICK = sorted(set(CALCULATORS) - {"train-run", "charging-time", "exhaust-time", "release"})

_ODD = (
    "",
    " ",
    "0",
    "-0",
    "-1",
    "1e9",
    "1e-9",
    "1e999",
    "nan",
    "inf",
    "٣",
    "1,5",
    "1.500,0",
    "12 lbs",
    "5.9 bar",
    "90 furlongs",
    "banana",
    "<img src=x onerror=alert(1)>",
    "'; DROP TABLE",
    "$(id)",
    "\x00",
    "\u202e90",
    "\ud800",
    "\uff19\uff10",
    "0x5A",
    "9" * 400,
    "true",
    "null",
    "[]",
    "{{7*7}}",
    "not-chosen",
    "2",
    "--",
    "%",
)
_ODD_KEYS = (
    "__proto__",
    "constructor",
    "toString",
    "colour",
    "reductoin",
    "limit.nope",
    "limit.",
    "edition.nope",
    "edition.air-flow-two-sources",
    "edition_off_air_hours",
    "<b>",
    "\ud83d",
    "v ",
    " v",
    "V",
    "h\n",
)


def hostile(rng: Random) -> tuple[Calculator, dict[str, str]]:
    """A calculator and entries for it, some good, some not."""
    calculator = CALCULATORS[rng.choice(QUICK)]
    names = [*calculator.inputs(), VERSION_FIELD, PRESSURE_UNIT_FIELD]
    names += [OWN_LIMIT_PREFIX + rng.choice(list(LIMITS))]
    entries: dict[str, str] = {}
    for _ in range(rng.randint(1, 6)):
        name = rng.choice(names) if rng.random() < 0.75 else rng.choice(_ODD_KEYS)
        entries[name] = _text(rng, calculator, name)
    return calculator, entries


def _text(rng: Random, calculator: Calculator, name: str) -> str:
    description = calculator.inputs().get(name)
    if rng.random() < 0.5:
        return rng.choice(_ODD)
    if isinstance(description, Choice):
        return rng.choice(description.options).value
    if isinstance(description, Quantity) and rng.random() < 0.5:
        return f"{rng.uniform(description.low or 0, description.high or 100):.3g}"
    if name == VERSION_FIELD:
        return rng.choice(["1", "2", "abc", "-1", "99999999999999"])
    return "".join(
        chr(rng.choice([rng.randint(32, 126), rng.randint(160, 0x2FFF)])) for _ in range(8)
    )


def _whole(text: str) -> str:
    return text.encode("utf-8", "replace").decode()


def _is_taken(name: str, choice: Choice, text: str) -> bool:
    try:
        return parse(name, choice, text) in {option.value for option in choice.options}
    except InputError:
        return False


def known(calculator: Calculator, name: str) -> bool:
    limits = [OWN_LIMIT_PREFIX + id for id in LIMITS]
    return name in [*calculator.inputs(), VERSION_FIELD, PRESSURE_UNIT_FIELD, *limits]


def hold(calculator: Calculator, entries: dict[str, str], told: dict[str, Any]) -> None:
    """What must be true of the reply to any link."""
    errors = told["errors"]
    # Half a character of two is no text: it is read as a question mark.
    whole = {_whole(name): _whole(text) for name, text in entries.items()}
    carried = carry_over(whole).entries
    for name, text in carried.items():
        if not known(calculator, name):
            assert name in errors, (calculator.name, entries)
        if name == VERSION_FIELD and text.strip() not in ("", str(LINK_VERSION)):
            assert name in errors, (calculator.name, entries)
        choice = calculator.inputs().get(name)
        if isinstance(choice, Choice) and not _is_taken(name, choice, text):
            assert name in errors, (calculator.name, entries)
    assert all(message and message.strip() for message in errors.values())
    assert ('class="answer answer-refused"' in told["html"]) == bool(errors)
    assert "<img" not in told["html"]
    assert "NaN" not in told["html"]
    if errors:
        assert 'class="limits"' not in told["html"]


def ask_page(calculator: Calculator, entries: dict[str, str], **more: Any) -> dict[str, Any]:
    request = {"calculator": calculator.name, "entries": entries, "id": "x", **more}
    # As the browser hands it over: JSON text, in which a half character is an escape.
    told: dict[str, Any] = json.loads(reply(json.dumps(request)))
    return told


def ask_line(calculator: Calculator, entries: dict[str, str]) -> tuple[int, str, str]:
    out = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", errors="strict")
    err = io.TextIOWrapper(io.BytesIO(), encoding="utf-8", errors="backslashreplace")
    words = [calculator.name, "--json", "--", *(f"{name}={text}" for name, text in entries.items())]
    with redirect_stdout(out), redirect_stderr(err):
        try:
            code = cli.main(words)
        except SystemExit as ended:
            code = int(ended.code or 0)
    for stream in (out, err):
        stream.flush()
        stream.seek(0)
    return code, out.read(), err.read()


def run(count: int, seed: int) -> None:
    rng = Random(seed)
    records = list(settings())
    for number in range(count):
        calculator, entries = hostile(rng)
        if number % 3 == 0:
            record = {
                rng.choice([*records, *_ODD_KEYS]): rng.choice(_ODD)
                for _ in range(rng.randint(1, 5))
            }
            told = ask_page(calculator, entries, settings=record)
            json.loads(reply(json.dumps({"kind": "settings", "do": "check", "settings": record})))
        else:
            told = ask_page(calculator, entries)
            hold(calculator, entries, told)
        if number % 5 == 0 and not any(name.strip() != name or "=" in name for name in entries):
            code, out, err = ask_line(calculator, entries)
            assert code in (0, cli.BAD_INPUT), (calculator.name, entries, code)
            assert "Traceback" not in err
            same = answer(calculator, entries)
            assert (code == 0) == (same.outcome is not None), (calculator.name, entries, err)
            assert (out or err).strip()


def test_hostile_links_and_records():
    run(SHORT, seed=1)


@pytest.mark.long
@pytest.mark.parametrize("part", range(20))
def test_many_hostile_links_and_records(part: int):
    run(LONG // 20, seed=100 + part)


def test_every_name_of_an_earlier_version_is_answered_or_said():
    for row in CARRIED:
        if row.kind != "limit":
            continue
        told = ask_page(CALCULATORS["leakage-and-flow"], {f"limit.{row.old}": "5"})
        assert told["errors"] == {}
        assert "of an earlier version" in told["html"]


def test_a_name_given_twice_is_refused():
    told = ask_page(CALCULATORS["locomotive-brake"], {"reduction": "12"}, repeated=["reduction"])
    assert '"reduction" is given more than once' in told["errors"]["reduction"]
    assert "<dd" not in told["html"]
    code, _, err = ask_line(CALCULATORS["locomotive-brake"], {"reduction": "12"})
    assert (code, err) == (0, "")
    out = io.StringIO()
    with redirect_stderr(out):
        assert cli.main(["locomotive-brake", "reduction=12", "reduction=20"]) == cli.BAD_INPUT
    assert "more than once" in out.getvalue()


@pytest.mark.browser
@pytest.mark.parametrize(
    ("path", "query", "words"),
    [
        ("calculators/locomotive-brake/", "reduction=12&reduction=20", "more than once"),
        ("calculators/locomotive-brake/", "v=abc&reduction=12", 'version is "abc"'),
        ("calculators/locomotive-brake/", "edition.nope=x", 'knows no field "edition.nope"'),
        ("circuits/service-application/", "circuit=bail-off", "asks for another circuit"),
        ("circuits/service-application/", "colour=red", 'knows no field "colour"'),
        ("circuits/service-application/", "reduction=9&reduction=12", "more than once"),
    ],
)
def test_the_page_refuses_in_words(phone: Any, path: str, query: str, words: str):
    page = phone.open(f"{path}?{query}")
    shell = page.locator("[data-own-page]")
    expect(shell).to_have_attribute("data-state", "refused", timeout=60_000)
    expect(shell).to_contain_text(words)
    # What still stands there is not for this link, and looks so; or it is not there.
    if shell.locator("[data-result], .circuit-status").count():
        assert shell.get_attribute("data-stale") is not None
    # The search's own words in an address ask nothing.
    page.goto(f"{phone.root}{path}?{urlencode({'h': 'reduction'})}")
    expect(shell).to_have_attribute("data-state", "prerendered")
