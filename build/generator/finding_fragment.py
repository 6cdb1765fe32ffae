"""Fault finding in the pages: the series as a checklist, the list of complaints, families of faults."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode
from xml.etree.ElementTree import Element

from calculators.equipment.faults import (
    FAMILIES,
    FAULTS,
    TRAIN_FAULTS,
    WHERE_WORDS,
    Fault,
    TrainFault,
)
from calculators.finding.own import EXAMPLE, finder_for
from calculators.finding.series import (
    FULL_SERIES,
    GAUGE_WORDS,
    GAUGES,
    PISTONS,
    SOUNDS,
    STAGES,
    Stage,
)
from calculators.law.source_list import find_source
from calculators.rendering.elements import append, element, html
from generator.addresses import address_of
from generator.embeds import Block
from generator.front_matter import title_of

ROWS = "faults.toml"
PAGE = Path("calculators/find-fault.md")
FAULTS_PAGE = Path("faults/all.md")


def finding(content: Path, block: Block) -> str:
    """``series``, ``complaints``, or ``faults``: what the block's first line names.

    Raises
    ------
    LookupError
        For anything else.
    """
    makers = {"series": _series, "complaints": _complaints, "faults": _faults}
    if block.subject not in makers:
        raise LookupError(f"fault finding has no {block.subject}; it has {', '.join(makers)}")
    return html(makers[block.subject](content, block.page))


def faults_looked_for(page: Path) -> str:
    """The line for the foot of a part's or a circuit's page: its faults, each with its entry in the list."""
    every: tuple[Fault | TrainFault, ...] = (*FAULTS, *TRAIN_FAULTS)
    named = {
        fault.id: fault.title
        for fault in every
        if page in (Path(f"parts/{fault.part}.md"), Path(f"circuits/{fault.circuit}.md"))
    }
    if not named:
        return ""
    made = element("p", "Faults looked for: ", class_="used-in", data_search_exclude="")
    for number, (id, title) in enumerate(named.items()):
        link = element("a", title, href=f"{address_of(FAULTS_PAGE, seen_from=page)}#{id}")
        append(made, ", " if number else None, link)
    begin = element("a", "find the fault", href=address_of(PAGE, seen_from=page))
    append(made, ". Something shows: ", begin, ".")
    return html(made)


def _series(_content: Path, page: Path) -> Element:
    minutes = round(FULL_SERIES / 60)
    on_duty = address_of(Path("about/on-duty.md"), seen_from=page)
    railroad = address_of(Path("my-railroad.md"), seen_from=page)
    return element(
        "div",
        element(
            "fault-series",
            element(
                "p",
                f"{len(STAGES)} stages, about {minutes} minutes of waits. The timers are off until it is said "
                "that your railroad supplied this device (",
                element("a", "my railroad", href=railroad),
                "); on your own, study before and after, and print it (",
                element("a", "phones on duty", href=on_duty),
                ").",
                class_="series-duty",
            ),
            element("div", class_="tools series-tools"),
            element("ol", *(_stage(stage) for stage in STAGES), class_="series"),
        ),
    )


def _upper(words: str) -> str:
    return words[0].upper() + words[1:]


def _stage(stage: Stage) -> Element:
    wait = stage.seconds + stage.recharge
    fields = [
        element(
            "label",
            element("span", _upper(GAUGE_WORDS[gauge])),
            element(
                "input",
                type="text",
                inputmode="decimal",
                autocomplete="off",
                data_entry=f"{stage.id} {gauge} ",
            ),
        )
        for gauge in GAUGES
    ]
    heard = element(
        "select",
        element("option", "Nothing said", value=""),
        *(
            element(
                "option", f"Blows: {place.replace('-', ' ')}", value=f"{stage.id} blows {place}"
            )
            for place in SOUNDS
        ),
        *(
            element(
                "option",
                f"Pistons {where}: {truck.replace('-', ' ')}",
                value=f"{stage.id} piston {truck} {where}",
            )
            for truck in PISTONS
            for where in ("in", "out")
        ),
        data_add="",
    )
    return element(
        "li",
        element("strong", stage.title),
        " ",
        element("span", stage.does),
        element("span", f" Wait {wait:g} s; took ______ s.", class_="series-wait"),
        element(
            "div",
            *fields,
            element("label", element("span", "Blows, or pistons"), heard),
            element("button", "As usual", type="button", data_usual=f"{stage.id} usual"),
            element("time-keeper", data_seconds=f"{wait:g}"),
            class_="series-fields",
        ),
        data_stage=stage.id,
    )


def _complaints(content: Path, page: Path) -> Element:
    rows = tomllib.loads((content / ROWS).read_text(encoding="utf-8"))["row"]
    items = []
    for row in rows:
        part = Path("parts") / f"{row['page']}.md"
        asked = urlencode({"v": "1", "observations": row["readings"]})
        items.append(
            element(
                "li",
                element("a", row["shows"], href=f"{address_of(PAGE, seen_from=page)}?{asked}"),
                " (",
                element("a", title_of(content / part), href=address_of(part, seen_from=page)),
                ")",
            )
        )
    return element("ul", *items, class_="limits complaints")


def _faults(content: Path, page: Path) -> Element:
    parts: list[Element] = []
    for family in FAMILIES:
        own = [fault for fault in FAULTS if fault.family == family.id]
        if family.id == "train":
            rows = [_train_row(content, page, fault) for fault in TRAIN_FAULTS]
        else:
            rows = [_row(content, page, fault) for fault in own]
        parts.append(element("h2", family.title, id=family.id))
        parts.append(element("dl", *(piece for row in rows for piece in row)))
    return element("div", *parts)


def _row(content: Path, page: Path, fault: Fault) -> Iterator[Element]:
    yield element("dt", fault.title, id=fault.id)
    finder = finder_for(EXAMPLE)
    group = [f for f in finder.groups[finder.group_of[fault.id]] if f != fault.id]
    same = ""
    if fault.id in finder.silent:
        same = "The gauges read as in order. "
    elif group:
        titles = {one.id: one.title for one in FAULTS}
        same = f"Same gauges as: {'; '.join(titles[f].lower() for f in group)}. "
    yield element(
        "dd",
        _shown(fault),
        " ",
        same,
        element("strong", f"Proved {WHERE_WORDS[fault.proof.where]}: "),
        fault.proof.words,
        " ",
        fault.remedy,
        " ",
        *_links(content, page, fault),
    )


def _train_row(content: Path, page: Path, fault: TrainFault) -> Iterator[Element]:
    yield element("dt", fault.title, id=fault.id)
    yield element(
        "dd",
        element("strong", "Proved on the ground, secured: "),
        fault.proof.words,
        " ",
        fault.remedy,
        " ",
        *_links(content, page, fault),
    )


def _links(content: Path, page: Path, fault: Fault | TrainFault) -> Iterator[Element | str]:
    for number, where in enumerate(
        (Path(f"parts/{fault.part}.md"), Path(f"circuits/{fault.circuit}.md"))
    ):
        yield ", " if number else "See "
        yield element("a", title_of(content / where), href=address_of(where, seen_from=page))
    if fault.sources:
        yield " (" + "; ".join(find_source(id).title for id in fault.sources) + ")"
    yield "."


def _shown(fault: Fault) -> str:
    """What it does at its largest where that differs most from in order, computed."""
    finder = finder_for(EXAMPLE)
    shows = [row.shows for row in finder.rows if row.fault == fault.id][-1]
    most: list[tuple[float, str]] = []
    for stage, (usual, seen) in enumerate(zip(finder.in_order, shows, strict=True)):
        if usual is None or seen is None:
            continue
        for gauge, (a, b) in enumerate(zip(usual.gauges(), seen.gauges(), strict=True)):
            unit = "cfm" if GAUGES[gauge] == "flow" else "psi"
            words = f"{STAGES[stage].title}: {GAUGE_WORDS[GAUGES[gauge]]} {b:.0f} {unit}, in order {a:.0f}"
            most.append((abs(b - a), words))
    shown = [words for off, words in sorted(most, key=lambda pair: -pair[0])[:2] if off > 2]
    blows = sorted({p.replace("-", " ") for s in shows if s is not None for p in s.blows})
    words = ". ".join(shown)
    if blows:
        words += f"{'. ' if words else ''}Blows: {', '.join(blows[:3])}"
    pistons = [s for s in shows if s is not None and s.out[0] != s.out[1]]
    if pistons:
        words += f"{'. ' if words else ''}One truck's pistons stay in"
    complete = f"At its worst ({fault.complete}): " if fault.complete else ""
    return f"{complete}{words or 'nothing on gauges'}."
