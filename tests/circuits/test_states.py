"""What parts and lines do at a moment: read from the brake, and from nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from calculators.circuits.sheet.parts import SHEETS
from calculators.circuits.states import STATELESS, moment
from tests.circuits.asked import told


def test_every_part_has_a_state_of_its_own_or_only_holds_air() -> None:
    for unit, circuit in (
        ("lead", "service-lap"),
        ("trailing", "trailing-unit"),
        ("dead", "hauled-dead"),
    ):
        shown = told(circuit=circuit, cars="0").frames[-1].moment.parts
        for component in SHEETS[unit].components:
            state = shown[component.id]
            said = bool(state.position) or state.words is not None or component.id == "train"
            assert said != (component.id in STATELESS), component.id


def test_an_unknown_part_is_refused() -> None:
    story = told(circuit="service-application", cars="0")
    odd = replace(story.sheet.components[0], id="odd")
    sheet = replace(story.sheet, components=(odd,))

    with pytest.raises(LookupError, match="odd"):
        moment(sheet, story.setup, story.now, story.run.samples[0])


def test_the_auxiliary_shows_its_own_pressure() -> None:
    """FINDINGS A1.10. It fills pipe 16 of 90 cu in to 25 psi: by hand 90 - 25 x 90 / 2500."""
    story = told(circuit="service-application", cars="0")
    shown = story.frames[-1].moment.pressures

    assert shown["auxiliary_reservoir"] == pytest.approx(90.0 - 25.0 * 90.0 / 2500.0, abs=0.4)
    assert shown["control_reservoir"] == pytest.approx(90.0, abs=0.1)
    assert shown["auxiliary_reservoir"] < shown["control_reservoir"] - 0.4
