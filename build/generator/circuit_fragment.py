"""The fragment that a page embeds for a circuit: complete without scripts, its moments beside it."""

from __future__ import annotations

import json
from pathlib import Path

from calculators.answering.answer import answer
from calculators.base.errors import UnknownNameError
from calculators.catalog import find_calculator
from calculators.circuits.catalog import CIRCUITS, find_circuit
from calculators.kept.settings import touching
from calculators.rendering.circuit.page import circuit_element, moments_json
from calculators.rendering.elements import element, html
from generator.embeds import Block
from generator.fragments import EXAMPLE, PRERENDERED


def circuit(block: Block) -> str:
    """A circuit in a given state: the block names it and presets inputs, one a line.

    Raises
    ------
    UnknownNameError
        If there is no such circuit or input.
    ValueError
        If an input cannot be used.
    """
    shown = find_circuit(block.subject)
    presets = {"circuit": shown.id, **block.settings}
    found = answer(find_calculator("circuit"), presets)
    if found.unknown:
        raise UnknownNameError(f"the circuit has no input {', '.join(found.unknown)}")
    if found.errors:
        raise ValueError("; ".join(found.errors.values()))
    id = f"circuit-{block.number}"
    own_page = block.page == page_of(shown.id)
    own = " ".join(key for key in touching(found) if key not in presets)
    shell = html(
        element(
            "brake-circuit",
            element("p", PRERENDERED, class_="state"),
            element("p", EXAMPLE, class_="example-mark", hidden="hidden"),
            circuit_element(found, id=id, title="" if own_page else shown.question),
            element("DATA"),
            id=id,
            data_search_exclude="",
            data_state="prerendered",
            data_example="yes",
            data_fields=own,
            data_page=_address(block.page, shown.id),
            data_presets=json.dumps(presets),
            **({"data_own_page": "yes"} if own_page else {}),
        )
    )
    data = f'<script type="application/json">{moments_json(found, id=id)}</script>'
    # Data of a script is no text to escape; the shell only says where it goes.
    return f'<div class="embed">{shell.replace("<DATA></DATA>", data)}</div>'


def page_of(id: str) -> Path:
    """The page of a circuit, below ``content/``."""
    return Path("circuits") / f"{id}.md"


def circuit_list() -> str:
    """Every circuit with its question, as a list of links from the circuits' index."""
    items = [
        element(
            "li",
            element("a", shown.title, href=f"{shown.id}/"),
            element("small", shown.question),
        )
        for shown in CIRCUITS.values()
    ]
    return html(element("ul", *items, class_="task-list"))


def _address(page: Path, id: str) -> str:
    """The address of a circuit's page, seen from another page (each is a folder of its own)."""
    here = page.with_suffix("")
    depth = len(here.parts) - (1 if here.name == "index" else 0)
    return "../" * depth + f"circuits/{id}/"
