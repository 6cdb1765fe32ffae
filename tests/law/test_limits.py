"""The limits against the table typed from the texts, and the traps that stand between them."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from pathlib import Path

import pytest

from calculators.base.results import Display, Reading, Value
from calculators.base.units import UNITS
from calculators.law.judging import Railroad, judge
from calculators.law.limit_list import LIMITS, find_limit
from calculators.law.limits import cars, due, end_of_train, locomotive, older, train_tests
from calculators.law.records import NAMED_SLACK

GROUPS = (train_tests, due, cars, end_of_train, locomotive, older)
TYPED = Path(__file__).parents[1] / "published" / "law" / "limits.toml"
READ_AGAIN = "eCFR, up to date as of 17 June 2026"


@dataclass(frozen=True, slots=True)
class Typed:
    """One limit as typed from its text."""

    id: str
    sense: str
    figure: float
    upper: float | None
    unit: str
    section: str
    edition: str
    how_read: str


def typed() -> list[Typed]:
    rows = []
    for text in tomllib.loads(TYPED.read_text(encoding="utf-8"))["text"]:
        for id, sense, figure, unit, section in text["limits"]:
            low, _, high = figure.partition(" to ")
            rows.append(
                Typed(
                    id=id,
                    sense=sense,
                    figure=float(low),
                    upper=float(high) if high else None,
                    unit=unit,
                    section=section,
                    edition=text["edition"],
                    how_read=text["how_read"],
                )
            )
    return rows


ROWS = typed()


def test_the_table_names_every_limit_once():
    ids = [row.id for row in ROWS]

    assert sorted(ids) == sorted(LIMITS)
    assert len(LIMITS) == sum(len(group.LIMITS) for group in GROUPS), "an id stands twice"


@pytest.mark.parametrize("row", ROWS, ids=[row.id for row in ROWS])
def test_limit_as_typed_from_the_text(row: Typed):
    limit = find_limit(row.id)

    assert (limit.sense, limit.figure, limit.upper, limit.unit) == (
        row.sense,
        row.figure,
        row.upper,
        row.unit,
    )
    assert limit.section.removeprefix("49 CFR ") == row.section
    assert (limit.edition, limit.how_read) == (row.edition, row.how_read)


@pytest.mark.parametrize("limit", LIMITS.values(), ids=LIMITS.keys())
def test_limit_is_whole(limit):
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", limit.id)
    assert limit.unit in UNITS
    assert all((limit.title, limit.condition, limit.section, limit.edition))
    if limit.sense != "fact":
        assert (limit.upper is not None) == (limit.sense == "between")
    # The figure is shown as written, not rounded away.
    shown = limit.words().text(Display()).replace(",", "")
    assert str(limit.figure).removesuffix(".0") in shown


@pytest.mark.parametrize("limit", LIMITS.values(), ids=LIMITS.keys())
def test_parts_229_and_232_name_the_edition_that_was_read(limit):
    """History says the edition it stood in; everything in force was read in June 2026."""
    if re.match(r"49 CFR (229|232)\.", limit.section) and not limit.id.endswith("-before"):
        assert limit.edition.startswith(READ_AGAIN)
        assert limit.how_read == "read in the text"


@pytest.mark.parametrize(
    "row", [row for row in ROWS if row.sense != "fact"], ids=lambda row: row.id
)
def test_the_figure_itself_is_within_and_the_next_one_is_not(row: Typed):
    """Two-sided: a tenth of the last place over or under decides."""
    limit = find_limit(row.id)
    step = 0.01
    inside, outside = {
        "at most": ((row.figure,), (row.figure + step,)),
        "at least": ((row.figure,), (row.figure - step,)),
        "as named": (
            (row.figure, row.figure + NAMED_SLACK),
            (row.figure - step, row.figure + NAMED_SLACK + step),
        ),
        "between": (
            (row.figure, row.upper or 0.0),
            (row.figure - step, (row.upper or 0.0) + step),
        ),
    }[row.sense]

    assert all(limit.holds(amount) for amount in inside)
    assert not any(limit.holds(amount) for amount in outside)


def test_facts_are_never_judged():
    with pytest.raises(ValueError, match="states a fact"):
        find_limit("off-air-hours-before").holds(3)
    assert {limit.sense for limit in older.LIMITS} == {"fact"}


class TestTraps:
    def test_floors_at_the_rear_stay_apart(self):
        floors = {
            "rear-floor-class-1": 75,
            "rear-floor-class-3": 60,
            "rear-floor-transfer": 60,
            "rear-floor-yard-air": 60,
        }
        for name, floor in floors.items():
            assert find_limit(name).holds(floor)
            assert not find_limit(name).holds(floor - 1)

    def test_fifteen_psi_is_four_things(self):
        sections = {
            find_limit(id).section
            for id in ("rear-gradient", "en-route-gradient", "retest-pressure")
        } | {find_limit("main-reservoir-over-brake-pipe").section}
        assert len(sections) == 4

    def test_four_hours_are_not_the_time_off_air(self):
        """232.5 still says four for "previously tested"; 232.205(a)(3) says 24."""
        assert find_limit("previously-tested-hours").figure == 4
        assert find_limit("off-air-hours").figure == 24
        assert find_limit("off-air-hours-before").sense == "fact"

    def test_a_failed_device_bars_another_grade_than_the_heavy_one(self):
        """232.407(g)(1) knows no tonnage; (a)(1) does; 232.109(j)(2) is overspeed."""
        assert "tonnage" in find_limit("two-way-failure-grade").condition
        assert find_limit("heavy-grade-heavy-train").figure == 1
        assert (
            find_limit("overspeed-grade").section != find_limit("heavy-grade-heavy-train").section
        )

    def test_freight_travel_is_not_the_older_or_the_passenger_one(self):
        assert find_limit("piston-travel").holds(6.5)
        assert find_limit("older-piston-travel").figure == 7
        assert find_limit("passenger-piston-travel").figure == 7

    def test_three_psi_means_two_things_at_the_end_of_the_train(self):
        """Accuracy of the instrument, and agreement of two readings."""
        assert find_limit("end-of-train-error").section != find_limit("head-rear-agreement").section

    def test_368_days_are_three_things(self):
        ids = ("annual-tests", "hand-brake-inspection", "end-of-train-sensor-test")
        assert {find_limit(id).figure for id in ids} == {368}
        assert len({find_limit(id).section for id in ids}) == 3

    def test_gauge_error_is_the_lesser_of_two(self):
        """5 % and 3 psi meet at 60 psi."""
        crossover = find_limit("cab-gauge-error").figure / 0.05
        assert crossover == pytest.approx(60)

    def test_sixty_percent_of_and_forty_below_are_the_same(self):
        assert find_limit("main-reservoir-leakage-start").figure == (
            100 - find_limit("older-reservoir-start").figure
        )

    def test_intervals_that_look_like_slips_are_both_real(self):
        assert find_limit("brake-work-26-l-dryer").figure == 1472
        assert find_limit("passenger-days-26-c").figure == 1476
        assert find_limit("passenger-days-26-l").figure == 1104


class TestTwoTexts:
    """Class IA and II, air from two or more places: 60 in their words, 90 where they point."""

    PAIR = ("air-flow-two-sources-own-words", "air-flow-two-sources-by-reference")

    @pytest.mark.parametrize(
        ("flow", "standing"),
        [
            (0, "within"),
            (60, "within"),
            (60.1, "the texts differ: ask your railroad"),
            (75, "the texts differ: ask your railroad"),
            (90, "the texts differ: ask your railroad"),
            (90.1, "not within"),
            (150, "not within"),
        ],
    )
    def test_both_stand_and_between_them_is_no_verdict(self, flow, standing):
        for id in self.PAIR:
            found = judge(Reading(limit=id, value=Value(flow, "cfm")))
            assert [verdict.standing for verdict in found] == [standing]

    def test_the_railroads_own_figure_is_judged_by_itself(self):
        railroad = Railroad(own_limits={self.PAIR[0]: 60.0})
        found = judge(Reading(limit=self.PAIR[0], value=Value(75, "cfm")), railroad)
        assert [(v.own, v.standing) for v in found] == [
            (True, "not within"),
            (False, "the texts differ: ask your railroad"),
        ]

    def test_each_names_the_other(self):
        first, second = (find_limit(id) for id in self.PAIR)
        assert (first.other_text, second.other_text) == (second.id, first.id)
        assert [limit.id for limit in LIMITS.values() if limit.other_text] == list(self.PAIR)

    def test_class_1_has_one_figure(self):
        found = judge(Reading(limit="air-flow-two-sources", value=Value(75, "cfm")))
        assert found[0].standing == "within"


def test_worked_settings_of_the_collection():
    """90-psi brake pipe, 140-psi main reservoir: starts 105, stops from 115, valve 155, test 84."""
    start = 90 + find_limit("compressor-start-over-brake-pipe").figure
    stop = start + find_limit("compressor-run").figure
    valve = 140 + find_limit("safety-valve-over-working").figure
    leakage_start = 140 * find_limit("main-reservoir-leakage-start").figure / 100

    assert [start, stop, valve, leakage_start] == pytest.approx([105, 115, 155, 84])
