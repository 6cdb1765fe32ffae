"""The limits against the text of the collection: figures, sections, editions, traps.

The figures here are the ones read in the regulation's text (49 CFR, annual edition of 2015
unless a test says otherwise); records from memory are only checked to be marked so.
"""

from __future__ import annotations

import re

import pytest

from calculators.base.results import Display, Reading, Value
from calculators.base.units import UNITS
from calculators.law.judging import Railroad, judge
from calculators.law.limit_list import LIMITS, find_limit
from calculators.law.limits import cars, changes, locomotive, older, train_tests

GROUPS = (train_tests, changes, cars, locomotive, older)

# Rows of the collection that state a rule, a date or a standard but no figure to be within.
WITHOUT_FIGURE = {6, 9, 16, 33, 40, 41, 60, 66, 71, 72, 102, 115, 116, 131}
ROWS = [
    *range(1, 42),
    *range(50, 58),
    *range(60, 67),
    *range(70, 91),
    *(row for row in range(100, 132) if row not in (110, 113)),
    *range(140, 156),
    *range(160, 170),
]

# id, figure, unit, section: read in the text.
READ = [
    ("brake-pipe-leakage", 5, "psi/min", "232.205(c)(1)"),
    ("air-flow", 60, "cfm", "232.205(c)(1)"),
    ("rear-gradient", 15, "psi", "232.205(c)(1)(i)(A)"),
    ("rear-floor-class-1", 75, "psi", "232.205(c)(1)(i)(A)"),
    ("leakage-test-reduction", 20, "psi", "232.205(c)(1)(i)(B)"),
    ("flow-indicator-calibration", 92, "", "229.29(b)"),
    ("application-reduction", 20, "psi", "232.205(c)(4)"),
    ("retest-pressure", 15, "psi", "232.205(c)(4)"),
    ("retest-hold", 3, "min", "232.205(c)(4)"),
    ("piston-travel-nominal", 7.5, "in", "232.205(c)(5)"),
    ("roll-by-speed", 10, "mph", "232.205(c)(8)"),
    ("operative-brakes-class-1", 100, "%", "232.103(d)"),
    ("operative-brakes-moving", 85, "%", "232.103(e)"),
    ("piston-travel-effective", 10.5, "in", "232.103(f)(1)"),
    ("class-1a-spacing", 1000, "miles", "232.207"),
    ("telemetry-fall", 5, "psi", "232.209"),
    ("rear-floor-class-3", 60, "psi", "232.211"),
    ("class-3-reduction", 20, "psi", "232.211"),
    ("rear-floor-transfer", 60, "psi", "232.215"),
    ("transfer-reduction", 15, "psi", "232.215"),
    ("transfer-distance", 20, "miles", "232.215"),
    ("rear-floor-yard-air", 60, "psi", "232.217"),
    ("yard-air-gradient", 15, "psi", "232.217"),
    ("yard-air-retest", 80, "psi", "232.217"),
    ("overspeed-margin", 5, "mph", "232.109(j)(2)"),
    ("hand-brakes-unattended", 1, "", "232.103(n)(1)"),
    ("end-of-train-error", 3, "psi", "232.403"),
    ("end-of-train-repeat", 1, "psi", "232.403"),
    ("end-of-train-report-change", 2, "psi", "232.403"),
    ("end-of-train-report-interval", 70, "s", "232.403"),
    ("two-way-link-loss", 16.5, "min", "232.407"),
    ("two-way-failure-speed", 30, "mph", "232.407"),
    ("heavy-grade-light-train", 2, "%", "232.407"),
    ("heavy-grade-heavy-train", 1, "%", "232.407"),
    ("head-rear-agreement", 3, "psi", "232.409"),
    ("periodic-inspection", 92, "", "229.23"),
    ("annual-tests", 368, "", "229.27"),
    ("brake-work-26-l", 1104, "", "229.29(f)(1)"),
    ("brake-work-26-l-dryer", 1472, "", "229.29(f)(2)"),
    ("brake-work-electronic", 1840, "", "229.29(f)(3)"),
    ("main-reservoir-test-factor", 1.25, "", "229.31"),
    ("safety-valve-over-working", 15, "psi", "229.49(a)(1)"),
    ("governor-error", 5, "psi", "229.49(b)"),
    ("compressor-start-over-brake-pipe", 15, "psi", "229.49(c)"),
    ("compressor-run", 10, "psi", "229.49(c)"),
    ("cab-gauge-error", 3, "psi", "229.53"),
    ("cab-gauge-error-share", 5, "%", "229.53"),
    ("locomotive-travel-left", 1.5, "in", "229.55(b)"),
    ("locomotive-cylinder-can-reach", 30, "psi", "229.55(c)"),
    ("main-reservoir-leakage", 3, "psi/min", "229.59(a)"),
    ("main-reservoir-leakage-time", 3, "min", "229.59(a)"),
    ("main-reservoir-leakage-start", 60, "%", "229.59(a)"),
    ("locomotive-brake-pipe-leakage", 5, "psi/min", "229.59(b)"),
    ("locomotive-cylinder-hold", 5, "min", "229.59(c)"),
]


def test_no_id_stands_twice():
    assert len(LIMITS) == sum(len(group.LIMITS) for group in GROUPS)


def test_every_row_with_a_figure_is_held():
    held = {int(row) for limit in LIMITS.values() for row in re.findall(r"R([0-9]+)", limit.row)}

    assert held == set(ROWS) - WITHOUT_FIGURE


@pytest.mark.parametrize("limit", LIMITS.values(), ids=LIMITS.keys())
def test_limit_is_whole(limit):
    assert re.fullmatch(r"[a-z0-9]+(-[a-z0-9]+)*", limit.id)
    assert re.fullmatch(r"R[0-9]+(, R[0-9]+)*", limit.row)
    assert limit.unit in UNITS
    assert all((limit.title, limit.condition, limit.section, limit.edition))
    if limit.sense != "fact":
        assert (limit.upper is not None) == (limit.sense == "between")
    assert bool(limit.edition_of) == bool(limit.edition_key)
    assert limit.words().text(Display())
    # The figure is shown as written, not rounded away.
    shown = limit.words().text(Display()).replace(",", "")
    assert str(limit.figure).removesuffix(".0") in shown


@pytest.mark.parametrize(("id", "figure", "unit", "section"), READ, ids=[row[0] for row in READ])
def test_figure_as_read(id, figure, unit, section):
    limit = find_limit(id)

    assert (limit.figure, limit.unit, limit.how_read) == (figure, unit, "read in the text")
    assert section in limit.section


@pytest.mark.parametrize(
    ("id", "low", "high"),
    [("leakage-test-wait", 45, 60), ("piston-travel", 6, 9)],
)
def test_range_as_read(id, low, high):
    limit = find_limit(id)

    readings = (low - 0.1, low, high, high + 0.1)
    assert [limit.holds(reading) for reading in readings] == [False, True, True, False]


def test_what_was_not_read_says_so():
    """Rows R51, R53, R54 and R55 were not confirmed in a text."""
    from_memory = {limit.id for limit in LIMITS.values() if limit.how_read == "from memory"}

    assert from_memory == {
        "off-air-hours-24",
        "air-flow-two-sources-codified",
        "rear-gradient-two-sources",
        "rear-floor-two-sources",
        "single-car-test-months-later",
    }


def test_older_and_passenger_figures_are_never_judged():
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

    def test_freight_travel_is_not_the_older_or_the_passenger_one(self):
        assert find_limit("piston-travel").holds(6.5)
        assert find_limit("older-piston-travel").figure == 7
        assert find_limit("passenger-piston-travel").figure == 7

    def test_three_psi_means_two_things_at_the_end_of_the_train(self):
        """R78 is the accuracy of the instrument, R88 the agreement of two readings."""
        assert find_limit("end-of-train-error").section != find_limit("head-rear-agreement").section

    def test_gauge_error_is_the_lesser_of_two(self):
        """R122: 5 % and 3 psi meet at 60 psi."""
        crossover = find_limit("cab-gauge-error").figure / 0.05
        assert crossover == pytest.approx(60)

    def test_electronic_check_is_not_judged_before_it_is_read_again(self):
        assert find_limit("electronic-indicator-error").sense == "fact"

    def test_sixty_percent_of_and_forty_below_are_the_same(self):
        assert find_limit("main-reservoir-leakage-start").figure == (
            100 - find_limit("older-reservoir-start").figure
        )

    def test_intervals_that_look_like_slips_are_both_real(self):
        assert find_limit("brake-work-26-l-dryer").figure == 1472
        assert find_limit("passenger-days-26-c").figure == 1476
        assert find_limit("passenger-days-26-l").figure == 1104


class TestEditions:
    """Off air 4 or 24 hours, 60 or 90 cfm: no verdict until the user has chosen."""

    @pytest.mark.parametrize(
        ("ids", "value"),
        [
            (("off-air-hours-4", "off-air-hours-24"), Value(10, "h")),
            (("air-flow-two-sources-60", "air-flow-two-sources-90"), Value(75, "cfm")),
        ],
    )
    def test_each_choice_takes_its_own_record(self, ids, value):
        lower, higher = (find_limit(name) for name in ids)
        assert lower.edition_of == higher.edition_of
        readings = [Reading(limit=name, value=value) for name in ids]

        unchosen = [judge(reading)[-1].standing for reading in readings]
        assert unchosen == ["choose the edition in your settings"] * 2

        for chosen, expected in ((lower, "not within"), (higher, "within")):
            railroad = Railroad(own_limits={}, editions={chosen.edition_of: chosen.edition_key})
            standings = {
                reading.limit: judge(reading, railroad)[-1].standing for reading in readings
            }
            assert standings.pop(chosen.id) == expected
            assert list(standings.values()) == ["not applicable"]

    def test_one_air_source_needs_no_choice(self):
        assert judge(Reading(limit="air-flow", value=Value(60, "cfm")))[-1].standing == "within"

    def test_keys_are_the_figures_that_a_person_chooses(self):
        for limit in LIMITS.values():
            if limit.edition_of:
                assert limit.edition_key == f"{limit.figure:g}"


def test_worked_settings_of_the_collection():
    """90-psi brake pipe, 140-psi main reservoir: starts 105, stops from 115, valve 155, test 84."""
    start = 90 + find_limit("compressor-start-over-brake-pipe").figure
    stop = start + find_limit("compressor-run").figure
    valve = 140 + find_limit("safety-valve-over-working").figure
    leakage_start = 140 * find_limit("main-reservoir-leakage-start").figure / 100

    assert [start, stop, valve, leakage_start] == pytest.approx([105, 115, 155, 84])
