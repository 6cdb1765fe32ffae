"""Settings join inputs by the quantity that an input declares, and every declared one is a setting."""

from __future__ import annotations

from collections import defaultdict

from calculators.base.quantities import Choice, Quantity, Text, Words
from calculators.catalog import CALCULATORS
from calculators.kept.settings import name_of, settings

TAKEN: dict[str, list[tuple[str, str, Quantity | Choice]]] = defaultdict(list)
for _calculator in CALCULATORS.values():
    for _name, _description in _calculator.inputs().items():
        if name_of(_description):
            assert not isinstance(_description, Text | Words)
            TAKEN[name_of(_description)].append((_calculator.name, _name, _description))


def test_every_quantity_named_is_a_setting_and_every_setting_is_taken():
    joined = {
        key: [(calculator.name, name) for calculator, name in setting.fields]
        for key, setting in settings().items()
        if setting.fields and not setting.for_all
    }
    assert joined == {key: [(one, name) for one, name, _ in found] for key, found in TAKEN.items()}


def test_one_quantity_has_one_unit_or_the_same_options():
    for found in TAKEN.values():
        units = {d.unit if isinstance(d, Quantity) else d.options for _, _, d in found}
        assert len(units) == 1, found


def test_a_name_that_means_two_things_is_two_settings():
    """A car's auxiliary reservoir is not the control valve's; the compressor is not the train's air."""
    for own, calculator, name in (
        ("auxiliary_volume", "locomotive-brake", "auxiliary_volume"),
        ("delivery", "main-reservoir", "delivery"),
    ):
        assert (calculator, name) not in [(one, field) for one, field, _ in TAKEN[own]]
        assert [(one, field) for one, field, _ in TAKEN[f"{calculator}.{name}"]] == [
            (calculator, name)
        ]


def test_a_description_of_a_result_takes_no_setting():
    for calculator in CALCULATORS.values():
        for description in calculator.outputs().values():
            assert not name_of(description)
