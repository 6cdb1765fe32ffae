"""The examples start with the same figure everywhere; where two calculators differ, it is listed."""

from __future__ import annotations

from collections import defaultdict

from calculators.base.fields import Plain
from calculators.base.quantities import Quantity
from calculators.catalog import CALCULATORS
from calculators.equipment.running.figures import EXAMPLE as RUNNING
from calculators.equipment.train import Train, equal_cars
from calculators.equipment.train.tables import AIR_SUPPLY
from calculators.finding.own import EXAMPLE as FINDING
from calculators.kept.settings import name_of

# By the setting that the inputs take: each start with the calculators that have it, until one is
# chosen. JF-7 is a train of its own.
DIFFERING: dict[str, dict[Plain, set[str]]] = {
    "cars": {26.0: {"hand-brakes"}},
    "piston_travel": {9.0: {"repeated-applications"}},
    "rotating_mass": {0.0: {"measured-stop"}, 5.0: {"stopping-distance"}},
}


def test_one_figure_for_one_quantity():
    starts: dict[str, dict[Plain, set[str]]] = defaultdict(lambda: defaultdict(set))
    for calculator in CALCULATORS.values():
        for name, description in calculator.inputs().items():
            if name_of(description):
                starts[name_of(description)][calculator.defaults()[name]].add(calculator.name)
    differing = {key: dict(found.items()) for key, found in starts.items() if len(found) > 1}
    assert differing.keys() == DIFFERING.keys()
    for key, listed in DIFFERING.items():
        for start, names in listed.items():
            assert differing[key][start] == names
        assert len(differing[key]) - len(listed) in (0, 1), "all others start alike"


def test_one_main_reservoir_for_every_answer_about_the_brake():
    """Whatever an input of that name is called, and where the models start by themselves."""
    starts = {
        (calculator.name, name): calculator.defaults()[name]
        for calculator in CALCULATORS.values()
        for name, description in calculator.inputs().items()
        if name == "main_reservoir"
    }
    assert {"locomotive-brake", "train-run", "circuit", "daily-brake-test"} <= {
        calculator for calculator, _ in starts
    }
    assert set(starts.values()) == {AIR_SUPPLY.compressor_starts}
    models = (RUNNING, FINDING, Train(cars=equal_cars(1)))
    assert {one.main_reservoir for one in models} == {AIR_SUPPLY.compressor_starts}


def test_another_figure_for_the_main_reservoir_says_why():
    """The pump-up ends where the compressor stops, and says where the others start."""
    taken = CALCULATORS["main-reservoir"]
    assert taken.defaults()["working_pressure"] == AIR_SUPPLY.compressor_stops
    assert taken.defaults()["to_pressure"] == AIR_SUPPLY.compressor_stops
    described = taken.inputs()["working_pressure"]
    assert isinstance(described, Quantity)
    assert f"{AIR_SUPPLY.compressor_starts:g} psi" in described.help
