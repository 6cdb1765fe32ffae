"""The examples start with the same figure everywhere; where two calculators differ, it is listed."""

from __future__ import annotations

from collections import defaultdict

from calculators.base.fields import Plain
from calculators.catalog import CALCULATORS
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
