"""What must be true of every answer, in every form it is shown in, over the whole range of inputs."""

from __future__ import annotations

import ast
import json
import re
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.base.quantities import Choice, Quantity, Text
from calculators.base.results import Display, Phrase, Reading, Value, say
from calculators.catalog import every_calculator
from calculators.declaring.registry import Calculator
from calculators.law.judging import judge
from calculators.law.limit_list import LIMITS
from calculators.rendering.answers.html import answer_html
from calculators.rendering.answers.json_form import answer_json
from calculators.rendering.answers.text import answer_text, error_text
from calculators.rendering.common import decided
from calculators.rendering.forms.form import form_html

CALCULATORS = every_calculator()
PACKAGE = Path(__file__).parents[1] / "calculators"

# A minus before nothing, a lone one before a plural, a number that only a machine would write so.
ODD = re.compile(
    r"-0(?:\.0+)?(?![\d.])|(?<![\d.,])1 (?:cars|axles|brakes|sets|minutes|locomotives)\b"
    r"|\b\d(?:\.\d+)?e[+-]?\d|\bnan\b|\binf\b"
)


def words_for(description: Choice | Quantity) -> st.SearchStrategy[str]:
    """Texts that a field takes: its ends, round figures, and anything between."""
    if isinstance(description, Choice):
        return st.sampled_from([option.value for option in description.options])
    low = -100.0 if description.low is None else description.low
    high = 1000.0 if description.high is None else description.high
    if description.whole:
        numbers = st.integers(int(low), int(high)).map(str)
    else:
        numbers = st.one_of(
            st.sampled_from([f"{low:.12g}", f"{high:.12g}"]),
            st.floats(low, high).map(lambda value: f"{value:.3f}"),
            st.floats(0, 1).map(lambda share: f"{low + (high - low) * share**4:.3f}"),
        )
    if description.many:
        return st.lists(numbers, min_size=1, max_size=4).map(", ".join)
    return numbers


def drawn(calculator: Calculator, data: st.DataObject) -> dict[str, str]:
    """Up to six fields of a calculator, filled with what they take."""
    fields = {
        name: description
        for name, description in calculator.inputs().items()
        if not isinstance(description, Text)
    }
    names = data.draw(st.lists(st.sampled_from([*fields]), max_size=6, unique=True))
    return {name: data.draw(words_for(fields[name])) for name in names}  # type: ignore[arg-type]


def shown(found: Answer) -> str:
    """The answer drawn in all its forms; gives the text, the others are read back here."""
    object_ = json.loads(answer_json(found))
    assert object_["calculator"] == found.calculator.name
    page = answer_html(found, id="x") + form_html(found, id="x")
    for picture in re.findall(r"<svg.*?</svg>", page, re.DOTALL):
        ElementTree.fromstring(picture)
    text = answer_text(found)
    for form in (page, text, answer_json(found)):
        form.encode("utf-8")
        assert "nan" not in re.findall(r"\bnan\b|\bNaN\b|\bInfinity\b", form)
    return text


@pytest.mark.parametrize("name", CALCULATORS)
@settings(max_examples=12)
@given(data=st.data())
def test_every_form_of_any_answer_can_be_drawn(name: str, data: st.DataObject):
    found = answer(CALCULATORS[name], drawn(CALCULATORS[name], data), example=True)
    if found.outcome is None:
        error_text(found).encode("utf-8")
        answer_json(found).encode("utf-8")
        return
    assert ODD.findall(shown(found)) == []


@pytest.mark.parametrize("name", CALCULATORS)
def test_half_a_character_is_no_trouble(name: str):
    """A browser can hand over half of a pair, which no form of an answer could write."""
    calculator = CALCULATORS[name]
    first = next(iter(calculator.inputs()))
    for entries in ({first: "\ud800"}, {first: "9\udfff"}, {"\udabc": "1"}):
        found = answer(calculator, entries, settings=entries, example=True)
        said = error_text(found) if found.outcome is None else shown(found)
        said.encode("utf-8")
        found.link_query().encode("utf-8")
        form_html(found, id="x").encode("utf-8")


def test_a_picture_of_the_least_air_is_drawn():
    """As little air in the main reservoir as is taken, and with less a refusal in words."""
    for entries in (
        {"event": "penalty", "main_reservoir": "60", "brake_pipe_setting": "60"},
        {"handle": "emergency", "main_reservoir": "60", "from_independent": "195.873"},
    ):
        found = answer(CALCULATORS["circuit"], entries)
        assert found.errors == {}
        shown(found)
        refused = answer(CALCULATORS["circuit"], entries | {"main_reservoir": "0.082"})
        assert "60" in refused.errors["main_reservoir"]


@pytest.mark.parametrize(("text", "value"), [("1.39e-05", 1.39e-5), ("2E1", 20.0), ("9e1", 90.0)])
def test_a_number_as_a_machine_writes_it_is_read(text: str, value: float):
    found = answer(CALCULATORS["units"], {"value": text, "from_unit": "psi", "to_unit": "psi"})
    assert found.errors == {}
    assert found.results()["value"] == pytest.approx(value, rel=1e-12)


def test_an_exponent_alone_or_too_great_is_refused_in_words():
    for text in ("e5", "1e", "1e999", "9e99"):
        found = answer(CALCULATORS["locomotive-brake"], {"reduction": text})
        assert "reduction" in found.errors, text


@pytest.mark.parametrize("number", [1, 2])
def test_one_car_is_one(number: int):
    assert say("{n} cars", n=number).text(Display()) == ("1 car" if number == 1 else "2 cars")
    assert (
        say("{n} cars", n=Value(number, "")).text(Display()).endswith("car" if number == 1 else "s")
    )
    assert say("{n} cars", n=11).text(Display()) == "11 cars"


def number_in(text: str) -> float:
    """The first number of a text."""
    found = re.search(r"-?[\d,]+(?:\.\d+)?", text)
    assert found is not None
    return float(found[0].replace(",", ""))


JUDGING = [limit for limit in LIMITS.values() if limit.sense in ("at most", "at least")]


@pytest.mark.parametrize("limit", JUDGING, ids=lambda limit: limit.id)
@given(share=st.floats(-0.02, 0.02), unit=st.sampled_from(["psi", "kPa", "bar"]))
def test_the_digits_shown_agree_with_the_verdict(limit, share: float, unit: str):
    """Whoever compares the two figures on the screen comes to what the answer says."""
    amount = limit.figure + share * max(1.0, abs(limit.figure))
    reading = Reading(limit=limit.id, value=Value(amount, limit.unit, limit.digits))
    verdict = judge(reading)[-1]
    if verdict.standing not in ("within", "not within"):
        return
    display = Display(pressure=unit)
    value, words = decided(verdict, display)
    assert value is not None
    read, required = number_in(display.value(value)), number_in(words.text(display))
    slack = 1e-6 * max(1.0, abs(limit.figure))
    if abs(amount - limit.figure) > slack:
        holds = read <= required if limit.sense == "at most" else read >= required
        assert holds == (verdict.standing == "within"), (read, required)


def test_digits_are_added_only_where_they_decide():
    limit = next(one for one in JUDGING if one.sense == "at most" and one.digits == 0)
    far = judge(Reading(limit=limit.id, value=Value(limit.figure * 3, limit.unit, limit.digits)))[
        -1
    ]
    assert decided(far, Display()) == (far.reading, far.words)
    near = judge(
        Reading(limit=limit.id, value=Value(limit.figure + 0.04, limit.unit, limit.digits))
    )[-1]
    value, words = decided(near, Display())
    assert value is not None
    assert value.digits > limit.digits
    assert isinstance(words, Phrase)


def test_both_ends_of_a_band_carry_the_same_digits():
    """Wherever a sentence names a low and a high end, both are rounded alike."""
    found = 0
    for module in sorted(PACKAGE.rglob("*.py")):
        for call in ast.walk(ast.parse(module.read_text(encoding="utf-8"))):
            if not isinstance(call, ast.Call):
                continue
            ends = {one.arg: one.value for one in call.keywords if one.arg in ("low", "high")}
            low, high = ends.get("low"), ends.get("high")
            if not (isinstance(low, ast.Call) and isinstance(high, ast.Call)):
                continue
            found += 1
            written = [[ast.dump(part) for part in one.args[1:]] for one in (low, high)]
            assert written[0] == written[1], f"{module.name}:{call.lineno}"
    assert found >= 5
