"""Nothing ships undocumented: the registry against docstrings, pages, sources and published rows."""

from __future__ import annotations

import inspect
from pathlib import Path

import pytest
import yaml

from calculators.answering.answer import answer
from calculators.base.errors import UnknownNameError
from calculators.base.fields import parse
from calculators.base.quantities import Choice, Quantity, Text
from calculators.catalog import every_calculator, find_calculator
from calculators.declaring.registry import Calculator
from calculators.law.limit_list import LIMITS
from calculators.law.source_list import SOURCES, find_source
from generator.published import searches, tables

CALCULATORS = every_calculator()

ROOT = Path(__file__).parents[1]
CONTENT = ROOT / "content"
EACH = pytest.mark.parametrize("calculator", CALCULATORS.values(), ids=CALCULATORS.keys())
# Links and scripts rely on these; the names may never change.
FIXED = {
    "locomotive-brake": {
        "brake_pipe_setting", "handle", "reduction", "independent", "bail_off", "service_limit",
        "emergency_limit", "multiplier", "relay_ratio_automatic", "relay_ratio_independent",
        "main_reservoir", "cut_off", "release_type", "unit", "control_reservoir", "dynamic_brake",
        "equalizing_reservoir", "brake_pipe", "pipe_16", "pipe_20", "pilot", "brake_cylinder",
        "decided_by", "reduction_at_limit", "car_brake_cylinder",
    },
    "car-brake": {
        "brake_pipe_setting", "reduction", "application", "piston_travel", "cylinder_bore",
        "auxiliary_volume", "emergency_volume", "quick_service_limit", "retaining_valve",
        "brake_cylinder", "full_service_pressure", "full_service_reduction", "emergency_pressure",
        "rule_of_thumb",
    },
    "release": {"brake_pipe_setting", "reduction", "rise", "release_type", "brake_cylinder"},
    "repeated-applications": {
        "brake_pipe_setting", "cars", "car_length", "reductions", "waits", "auxiliary",
        "emergency_reservoir", "full_service_left", "emergency_left",
    },
    "leakage-and-flow": {
        "cars", "car_length", "pipe_bore", "leakage", "leakage_pressure", "air_flow",
        "flow_pressure", "air_sources", "flow_from_leakage", "leakage_from_flow",
    },
    "rear-pressure": {"brake_pipe_setting", "rear", "test", "gradient"},
    "charging-time": {
        "cars", "car_length", "from_pressure", "brake_pipe_setting", "delivery",
        "time_lower_bound", "time",
    },
    "train-run": {
        "cars", "car_length", "brake_pipe_setting", "command", "reduction", "seconds", "leakage",
        "rear_device", "first_car_starts", "last_car_starts", "last_car_90_percent",
        "propagation_speed", "mass_error", "undesired_actions",
    },
    "brake-force": {
        "brake_cylinder", "cylinders", "cylinder_bore", "lever_ratio", "efficiency", "weight",
        "shoe_force", "braking_ratio",
    },
    "train-resistance": {
        "weight_per_axle", "axles", "speed", "frontal_area", "grade", "curve", "resistance",
    },
    "stopping-distance": {
        "speed", "weight", "cars", "car_length", "grade", "brake_pipe_setting", "command",
        "reduction", "braking_ratio", "friction", "distance", "time",
    },
    "grade-balance": {
        "weight", "grade", "speed", "operative_brakes", "brake_pipe_setting", "braking_ratio",
        "friction", "reduction", "tons_per_operative_brake",
    },
    "hand-brakes": {"weight", "grade", "holding_force", "margin", "number"},
    "main-reservoir": {
        "volume", "from_pressure", "to_pressure", "delivery", "leakage", "working_pressure",
        "brake_pipe_setting", "time",
    },
    "brake-test": {"test"},
    "units": {"value", "from_unit", "to_unit"},
}  # fmt: skip


def front_matter(page: Path) -> dict[str, object]:
    text = page.read_text(encoding="utf-8")
    assert text.startswith("---\n"), page
    return dict(yaml.safe_load(text.split("---\n")[1]))


@EACH
def test_docstring_says_what_comes_back(calculator: Calculator):
    """Inputs describe themselves in their dataclass."""
    doc = inspect.getdoc(calculator.function) or ""
    assert "Returns\n-------" in doc
    assert list(inspect.signature(calculator.function).parameters) == ["given"]
    assert "Parameters\n" not in doc


@EACH
def test_fixed_names_are_there(calculator: Calculator):
    names = set(calculator.inputs()) | set(calculator.outputs())
    assert FIXED.get(calculator.name, set()) - names == set()


@EACH
def test_sources_exist(calculator: Calculator):
    assert calculator.sources
    for citation in calculator.sources:
        find_source(citation.source)


@EACH
def test_says_where_it_holds_and_what_it_leaves_out(calculator: Calculator):
    assert calculator.question.endswith("?")
    assert calculator.validity
    assert calculator.leaves_out


@EACH
def test_defaults_lie_in_their_ranges(calculator: Calculator):
    found = answer(calculator, {}, example=True)
    assert found.errors == {}
    for item in found.inputs:
        if item.text:
            parse(item.name, item.description, item.text)
        description = item.description
        assert isinstance(description, Quantity | Choice | Text)
        if isinstance(description, Quantity) and calculator.defaults()[item.name] is None:
            assert description.blank or description.typical or item.name in calculator.example


# What may be under nothing: a temperature, and any number that is only turned into another unit.
WITH_A_SIGN = {
    ("main-reservoir", "temperature"),
    ("train-run", "temperature"),
    ("units", "value"),
}


@EACH
def test_nothing_under_nothing_is_taken(calculator: Calculator):
    """No pressure, length, time or number of cars is less than none; each has its two ends."""
    for name, description in calculator.inputs().items():
        if isinstance(description, Quantity):
            assert description.low is not None
            assert description.high is not None
            with_a_sign = (calculator.name, name) in WITH_A_SIGN
            assert (description.low < 0) == with_a_sign, name
            assert description.low < description.high, name


@EACH
def test_has_its_page(calculator: Calculator):
    page = CONTENT / "calculators" / f"{calculator.name}.md"
    meta = front_matter(page)

    assert meta["calculator"] == calculator.name
    for block in ("calculator", "reference", "published"):
        assert f"```{block}\n{calculator.name}\n" in page.read_text(encoding="utf-8"), block


@pytest.mark.parametrize(
    "page", sorted(CONTENT.rglob("*.md")), ids=lambda p: str(p.relative_to(CONTENT))
)
def test_front_matter(page: Path):
    meta = front_matter(page)

    assert meta["title"]
    assert str(meta["description"]).endswith(".")
    sources = meta.get("sources", [])
    assert isinstance(sources, list)
    assert [id for id in sources if id not in SOURCES] == []
    if "calculator" in meta:
        assert sources, "a page with a calculator names its sources"


def test_every_calculator_has_a_published_row_or_its_page_says_what_was_looked_for():
    printed = ROOT / "tests" / "published"
    checked = {table.calculator for table in tables(printed)}
    looked_for = searches(printed)
    assert set(CALCULATORS) - checked == set(looked_for)
    for search in looked_for.values():
        assert search.looked_for
        assert search.where


def test_limits_that_answers_judge_exist():
    for calculator in CALCULATORS.values():
        outcome = answer(calculator, {}, example=True).outcome
        assert outcome is not None
        for reading in outcome.readings:
            assert reading.limit in LIMITS


def test_unknown_names_say_what_comes_near():
    with pytest.raises(UnknownNameError, match="did you mean locomotive-brake"):
        find_calculator("locomotive-brakes")
    with pytest.raises(UnknownNameError, match=r'no calculator is called "zzz"$'):
        find_calculator("zzz")
    with pytest.raises(UnknownNameError):
        find_source("NOBODY")
