"""Questions about circuits as texts, drawn at random or plain, and what they tell."""

from typing import Any

from hypothesis import strategies as st

from calculators.answering.answer import Answer, answer
from calculators.catalog import find_calculator
from calculators.circuits.catalog import CIRCUITS
from calculators.circuits.story import Story
from calculators.rendering.circuit.moments import story_in

CIRCUIT = find_calculator("circuit")
LOCOMOTIVE = find_calculator("locomotive-brake")


def asked(**entries: str) -> Answer:
    found = answer(CIRCUIT, entries)
    assert not found.errors, found.errors
    return found


def figures(**entries: str) -> dict[str, Any]:
    return dict(asked(**entries).results())


def told(**entries: str) -> Story:
    return story_in(asked(**entries))


def texts(low: float, high: float) -> st.SearchStrategy[str]:
    return st.integers(int(low * 10), int(high * 10)).map(lambda tenths: f"{tenths / 10:g}")


settings_of_a_locomotive = st.fixed_dictionaries(
    {
        "brake_pipe_setting": texts(70, 110),
        "service_limit": texts(40, 70),
        "emergency_limit": texts(55, 80),
        "multiplier": texts(1.5, 3.5),
        "relay_ratio_automatic": texts(0.5, 1.8),
        "relay_ratio_independent": texts(0.5, 1.8),
        "main_reservoir": texts(115, 145),
        "minimum_reduction": texts(5, 8),
        "suppression_reduction": texts(22, 30),
        "emergency_threshold": texts(0, 40),
        "dead_engine_setting": texts(15, 40),
        "release_type": st.sampled_from(("direct", "graduated")),
        "cars": st.sampled_from(("0", "3", "10")),
    }
)

every_stage = [
    (circuit.id, str(number))
    for circuit in CIRCUITS.values()
    for number in range(1, len(circuit.stages) + 1)
]
