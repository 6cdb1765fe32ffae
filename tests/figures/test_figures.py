"""Figures that no regulation gives: each typed a second time, and asked from just either side."""

from __future__ import annotations

import ast
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.base.errors import UnknownNameError
from calculators.base.quantities import Choice, Quantity
from calculators.base.results import Display
from calculators.base.units import UNITS
from calculators.catalog import CALCULATORS
from calculators.figures.figure_list import FIGURES, find_figure
from calculators.figures.nominal import NOMINAL
from calculators.figures.records import Figure
from calculators.figures.thresholds import THRESHOLDS
from calculators.law.records import Citation
from calculators.law.source_list import SOURCES, find_source
from calculators.questions.shared.low_emergency import EMERGENCY_NEEDED
from calculators.rendering.answers.text import answer_text

ROOT = Path(__file__).parents[2]
TYPED = ROOT / "tests" / "published" / "figures" / "figures.toml"
ROWS: dict[str, dict[str, Any]] = {
    one["id"]: one for one in tomllib.loads(TYPED.read_text(encoding="utf-8"))["figure"]
}


def shown(calculator: str, entries: Mapping[str, str]) -> str:
    """The whole answer as text."""
    found = answer(CALCULATORS[calculator], entries, example=True)
    assert found.errors == {}
    assert found.unknown == {}
    if calculator == "train-run" and "seconds" in entries:
        found = finished(found)
    return " ".join(answer_text(found).split())


def test_every_figure_stands_once_and_is_typed_a_second_time():
    assert len(FIGURES) == len(THRESHOLDS) + len(NOMINAL)
    assert set(ROWS) == set(FIGURES)


@pytest.mark.parametrize("id", FIGURES)
def test_the_figure_is_the_one_typed_from_its_text(id: str):
    figure = FIGURES[id]
    typed, unit, mark, *read = ROWS[id]["row"]
    low, _, high = typed.partition(" to ")
    assert figure.value == float(low)
    assert figure.upper == (float(high) if high else None)
    assert (figure.unit, figure.mark) == (unit, mark)
    assert "; ".join(f"{one.source} {one.place}".strip() for one in figure.sources) == "".join(read)
    assert figure.unit in UNITS
    for one in figure.sources:
        find_source(one.source)


def asked(kind: str) -> list[object]:
    """The probes of all rows."""
    return [
        pytest.param(probe, id=f"{row['id']}-{probe['calculator']}-{number}")
        for row in ROWS.values()
        for number, probe in enumerate(row.get(kind, ()))
    ]


@pytest.mark.parametrize("probe", asked("probes"))
def test_a_hair_to_either_side(probe: dict[str, Any]):
    assert probe["stands"] in shown(probe["calculator"], probe["at"])
    assert probe["stands"] not in shown(probe["calculator"], probe["not_at"])


@pytest.mark.parametrize("probe", asked("printed"))
def test_it_is_printed_where_it_counts(probe: dict[str, Any]):
    assert probe["stands"] in shown(probe["calculator"], probe["at"])


# Asked below by what the answer's own results say, since no round entry lies just on either side.
BY_RESULTS = ("short-by", "least-over", "rule-parted", "highest-light-ratio")


def test_every_threshold_is_asked_from_either_side():
    bare = [
        figure.id
        for figure in THRESHOLDS
        if not {"probes", "printed"} & set(ROWS[figure.id]) and figure.id not in BY_RESULTS
    ]
    assert bare == []


@settings(max_examples=40)
@given(first=st.integers(6, 20), more=st.integers(-5, 15), wait=st.floats(0.2, 12))
def test_a_set_worth_less_than_it_reads_by_more_than_1_psi(first: int, more: int, wait: float):
    second = max(6, first + more)
    entries = {"reductions": f"{first}, {second}", "waits": f"{wait:.2f}", "rear": "88"}
    found = answer(CALCULATORS["repeated-applications"], entries)
    lost = second - float(str(found.results()["last_set_worth"]))
    if abs(lost - 1.0) > 1e-6:
        assert ("The last set reads" in answer_text(found)) == (lost > 1.0)


@given(over=st.floats(-0.4, 2))
def test_past_full_service_by_half_a_psi(over: float):
    full = float(str(answer(CALCULATORS["car-brake"], {}).results()["full_service_reduction"]))
    text = shown("car-brake", {"reduction": f"{full + max(0.01, over):.6f}"})
    if abs(over - 0.5) > 1e-5:
        assert ("added nothing and must be recharged" in text) == (over > 0.5)


@given(reduction=st.floats(5, 25))
def test_rule_and_volumes_part_by_3_psi(reduction: float):
    found = answer(CALCULATORS["car-brake"], {"reduction": f"{reduction:.3f}"})
    results = found.results()
    parted = float(str(results["rule_of_thumb"])) - float(str(results["brake_cylinder"]))
    if abs(parted - 3.0) > 1e-6:
        assert ("the rule forgets the air" in " ".join(answer_text(found).split())) == (parted > 3)


@settings(max_examples=25)
@given(ratio=st.floats(5, 80))
def test_brakes_that_ask_more_of_the_rail_than_12_percent_are_warned_of(ratio: float):
    entries = {"braking_ratio": f"{ratio:.3f}", "friction": "0.3", "friction_law": "constant"}
    found = answer(CALCULATORS["stopping-distance"], entries)
    effort = float(str(found.results()["effort"]))
    if abs(effort - 12.0) > 1e-6:
        assert ("wheels may slide" in " ".join(answer_text(found).split())) == (effort > 12.0)


def test_the_lightest_weight_is_that_of_70_percent():
    results = answer(CALCULATORS["brake-force"], {}, example=True).results()
    force, weight = float(str(results["shoe_force"])), float(str(results["lightest_weight"]))
    assert force / (weight * 2000) == pytest.approx(0.70, abs=1e-9)


def test_a_setting_that_stands_in_for_a_figure_is_one():
    taken: set[str] = set()
    for calculator in CALCULATORS.values():
        for description in calculator.inputs().values():
            if isinstance(description, Quantity | Choice) and description.setting:
                taken.add(description.setting)
    for figure in FIGURES.values():
        if figure.setting:
            assert figure.setting in taken, figure.id
    assert EMERGENCY_NEEDED.mark == find_figure("emergency-needs").mark


FOLLOWING = {
    "car-brake": {"application": "emergency", "charged": "{}"},
    "full-service-figures": {"brake_pipe_setting": "{}"},
    "locomotive-brake": {"handle": "emergency", "main_reservoir": "{}"},
    "train-run": {"command": "emergency", "cars": "5", "from_pressure": "{}"},
}


@pytest.mark.parametrize("name", FOLLOWING)
def test_the_railroads_own_figure_for_an_emergency_is_followed(name: str):
    for pressure, low in ((54.9, True), (55.0, False)):
        entries = {key: text.format(pressure) for key, text in FOLLOWING[name].items()}
        found = answer(CALCULATORS[name], entries, settings={"emergency_needs": "55"})
        text = " ".join(answer_text(found).split())
        assert ("Emergency not assured" in text) == low
        assert ("your own figure" in text) == low
        assert "from memory, it may not start" not in text


def test_a_circuit_follows_it_too():
    for reduction, low in (("15.2", True), ("14.8", False)):
        entries = {"circuit": "service-application", "brake_pipe_setting": "70"}
        found = answer(
            CALCULATORS["circuit"],
            entries | {"reduction": reduction},
            settings={"emergency_needs": "55"},
        )
        text = " ".join(answer_text(found).split())
        assert ("under about 55 psi an emergency is not assured" in text) == low


def test_who_says_emergency_not_assured_has_the_railroads_figure():
    """No module of a question has a figure of its own for it."""
    said = {
        module.parent.name
        for module in (ROOT / "calculators" / "questions").rglob("*.py")
        if re.search(r"emergency (?:is )?not assured", module.read_text("utf-8"), re.IGNORECASE)
    }
    for folder in said - {"shared"}:
        calculator = CALCULATORS[folder.replace("_", "-")]
        assert "emergency_needs" in calculator.inputs(), folder


# Models whose figures stand in records of their own kind, with their bands; and the law's own.
# The errors that fault finding reckons with are no figures of a brake: its page says what they are.
ELSEWHERE = ("equipment/running/", "equipment/train/", "law/", "finding/")
MARKED = re.compile(
    r"\[(?:M|P|S\*?)\b|[Ff]rom memory|common practice|[Nn]ominal\b|our own guess|49 CFR|"
    + "|".join(rf"(?<![\w-]){re.escape(source)}(?![\w])" for source in SOURCES)
)


def bare_figures(text: str) -> list[str]:
    """Constants of a module that are typed as numbers and called nominal, practice or read."""
    lines = text.splitlines()
    found = []
    for node in ast.parse(text).body:
        if not isinstance(node, ast.Assign | ast.AnnAssign) or node.value is None:
            continue
        if not any(
            isinstance(one, ast.Constant) and isinstance(one.value, int | float) and one.value
            for one in ast.walk(node.value)
        ) or any(isinstance(one, ast.Call) for one in ast.walk(node.value)):
            continue
        first = node.lineno - 1
        while first and lines[first - 1].startswith("#"):
            first -= 1
        last = node.end_lineno or node.lineno
        if last < len(lines) and lines[last].startswith('"""'):
            last += 1
        if MARKED.search("\n".join(lines[first:last])):
            found.append(lines[node.lineno - 1])
    return found


def test_no_figure_from_memory_or_a_text_stands_bare_in_code():
    bare = {
        str(module.relative_to(ROOT / "calculators")): found
        for module in sorted((ROOT / "calculators").rglob("*.py"))
        if not str(module.relative_to(ROOT / "calculators")).startswith(ELSEWHERE)
        if (found := bare_figures(module.read_text("utf-8")))
    }
    assert bare == {}


def test_a_bare_figure_is_found():
    assert bare_figures("# A guess [M].\nX = 45.0\n") == ["X = 45.0"]
    assert bare_figures('X = 45.0\n"""Nominal, from memory."""\n') == ["X = 45.0"]
    assert bare_figures("# Enough for a phone.\nX = 45\n") == []


def test_words_and_refusals():
    assert find_figure("emergency-seconds").words().text(Display()) == "3 s to 5 s"
    assert find_figure("emergency-needs").words().text(Display()) == "45 psi"
    assert find_figure("emergency-needs").span() == (45.0, 45.0)
    with pytest.raises(UnknownNameError):
        find_figure("nobody")
    with pytest.raises(ValueError, match="has its texts"):
        Figure(id="x", title="x", value=1, unit="", mark="S", decides="x", from_where="memory")
    with pytest.raises(ValueError, match="has its texts"):
        Figure(id="x", title="x", value=1, unit="", mark="M", decides="x")
    with pytest.raises(ValueError, match="has its texts"):
        Figure(
            id="x", title="x", value=1, unit="", mark="M", decides="x", sources=(Citation("RLE"),)
        )
