"""Fault finding in the pages: the series as a checklist, the list of complaints, families of faults."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlencode
from xml.etree.ElementTree import Element

from calculators.base.wording import at_begin, spoken
from calculators.equipment.faults import (
    FAMILIES,
    FAULTS,
    OF_TRAIN,
    TRAIN_FAULTS,
    WHERE_WORDS,
    Fault,
    TrainFault,
    find_fault,
)
from calculators.finding.observing import TRAIN_READ, TRAIN_STAGES
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
from calculators.finding.train_series import TRAIN_DOES, TRAIN_TITLES, TRAIN_WORDS
from calculators.law.source_list import find_source
from calculators.rendering.elements import append, element, html
from generator.addresses import address_of
from generator.embeds import Block
from generator.fault_pictures import marked_picture
from generator.front_matter import title_of

ROWS = "faults.toml"
PAGE = Path("calculators/find-fault.md")
SHOWN_PAGE = Path("calculators/fault-shown.md")
COMPLAINTS_PAGE = Path("faults/index.md")

_UNIT_OF = {"exhaust": ", seconds", "flow": ", cfm"}
_EVERY: tuple[Fault | TrainFault, ...] = (*FAULTS, *TRAIN_FAULTS)


def family_page(fault: Fault | TrainFault) -> Path:
    """The page of a fault's family, below ``content/``; the fault stands there under its id."""
    return _page_of(fault.family if isinstance(fault, Fault) else OF_TRAIN.id)


def _page_of(family: str) -> Path:
    return Path("faults") / f"{family}.md"


def finding(content: Path, block: Block) -> str:
    """``series``, ``train-series``, ``complaints``, ``faults``, or ``family`` with ``of``: what the block names.

    Raises
    ------
    LookupError
        For anything else.
    """
    if block.subject == "family":
        return html(_family(content, block.page, block.settings.get("of", "")))
    makers = {
        "series": _series,
        "train-series": _train_series,
        "complaints": _complaints,
        "faults": _faults,
    }
    if block.subject not in makers:
        raise LookupError(
            f"fault finding has no {block.subject}; it has {', '.join(makers)}, family"
        )
    return html(makers[block.subject](content, block.page))


def faults_looked_for(page: Path) -> str:
    """The line for the foot of a part's or a circuit's page: its faults, each with its entry in the list."""
    named = {
        fault.id: fault
        for fault in _EVERY
        if page in (Path(f"parts/{fault.part}.md"), Path(f"circuits/{fault.circuit}.md"))
    }
    if not named:
        return ""
    made = element("p", "Faults looked for: ", class_="used-in", data_search_exclude="")
    for number, (id, fault) in enumerate(named.items()):
        address = f"{address_of(family_page(fault), seen_from=page)}#{id}"
        link = element("a", fault.title, href=address)
        append(made, ", " if number else None, link)
    begin = element("a", "find the fault", href=address_of(PAGE, seen_from=page))
    append(made, ". Something shows: ", begin, ".")
    return html(made)


def _series(_content: Path, page: Path) -> Element:
    minutes = round(FULL_SERIES / 60)
    return element(
        "div",
        element(
            "fault-series",
            _duty(page, f"{len(STAGES)} stages, about {minutes} minutes of waits. "),
            element("div", class_="tools series-tools"),
            element("ol", *(_stage(stage) for stage in STAGES), class_="series"),
        ),
    )


def _duty(page: Path, first: str) -> Element:
    on_duty = address_of(Path("about/on-duty.md"), seen_from=page)
    railroad = address_of(Path("my-railroad.md"), seen_from=page)
    return element(
        "p",
        f"{first}The timers are off until it is said that your railroad supplied this device (",
        element("a", "my railroad", href=railroad),
        "); on your own, study before and after, and print it (",
        element("a", "phones on duty", href=on_duty),
        ").",
        class_="series-duty",
    )


def _train_series(_content: Path, page: Path) -> Element:
    """The train's own short series; the exhaust is timed from the first blow to the last."""
    return element(
        "div",
        element(
            "fault-series",
            _duty(page, f"{len(TRAIN_STAGES)} stages. "),
            element(
                "ol",
                *(
                    _train_stage(stage, title, does)
                    for stage, title, does in zip(
                        TRAIN_STAGES, TRAIN_TITLES, TRAIN_DOES, strict=True
                    )
                ),
                class_="series",
            ),
        ),
    )


def _train_stage(stage: str, title: str, does: str) -> Element:
    timed = f"{stage} exhaust "
    blows = title.endswith("off")
    return element(
        "li",
        element("strong", title),
        " ",
        element("span", does),
        element("span", " Exhaust blew ______ s.", class_="series-wait") if blows else None,
        element(
            "div",
            *(
                _entry(f"{stage} {name} ", f"{at_begin(TRAIN_WORDS[name])}{_UNIT_OF.get(name, '')}")
                for name in TRAIN_READ
                if name != "exhaust" or blows
            ),
            element("time-keeper", data_into=timed) if blows else None,
            class_="series-fields",
        ),
        data_stage=stage,
    )


def _entry(start: str, words: str) -> Element:
    return element(
        "label",
        element("span", words),
        element("input", type="text", inputmode="decimal", autocomplete="off", data_entry=start),
    )


def _stage(stage: Stage) -> Element:
    wait = stage.seconds + stage.recharge
    fields = [_entry(f"{stage.id} {gauge} ", at_begin(GAUGE_WORDS[gauge])) for gauge in GAUGES]
    heard = element(
        "select",
        element("option", "Nothing said", value=""),
        *(
            element("option", f"Blows: {spoken(place)}", value=f"{stage.id} blows {place}")
            for place in SOUNDS
        ),
        *(
            element(
                "option",
                f"Pistons {where}: {spoken(truck)}",
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
        if family is OF_TRAIN:
            rows = [_train_row(content, page, fault) for fault in TRAIN_FAULTS]
        else:
            rows = [_row(content, page, fault) for fault in own]
        parts.append(element("h2", family.title, id=family.id))
        leads = address_of(_page_of(family.id), seen_from=page)
        parts.append(element("p", element("a", "Healthy beside faulty, by size", href=leads)))
        parts.append(element("dl", *(piece for row in rows for piece in row)))
    return element("div", *parts)


def _family(content: Path, page: Path, id: str) -> Element:
    """One family: where its faults are on the circuit, and each with what tells and ends it."""
    family = next((one for one in FAMILIES if one.id == id), None)
    if family is None:
        raise LookupError(f'there is no family of faults "{id}"')
    faults = [one for one in _EVERY if family_page(one).stem == id]
    circuit = Path(f"circuits/{faults[0].circuit}.md")
    svg, numbers = marked_picture(faults[0].circuit, faults, id=f"where-{id}")
    return element(
        "div",
        element("h2", "Where it is", id="where-it-is"),
        element(
            "figure",
            element("div", svg, class_="circuit-view fault-places"),
            element(
                "figcaption",
                "The circuit at the end of the move ",
                element("a", title_of(content / circuit), href=address_of(circuit, seen_from=page)),
                ": ringed and numbered where a fault of this page is; the numbers stand with the faults below.",
            ),
            class_="circuit-figure",
        ),
        element("h2", "Each fault", id="each-fault"),
        element(
            "p",
            "What it does at its worst is for the example's ",
            "train" if family is OF_TRAIN else "locomotive",
            ", by this reference's own model of the brake; nothing was read on a real one.",
        ),
        *(piece for fault in faults for piece in _member(content, page, fault, numbers[fault.id])),
        element(
            "p",
            "Something like it shows? Begin with ",
            element(
                "a",
                title_of(content / COMPLAINTS_PAGE),
                href=address_of(COMPLAINTS_PAGE, seen_from=page),
            ),
            " or with ",
            element("a", "the series", href=address_of(PAGE, seen_from=page)),
            ".",
        ),
    )


def _member(content: Path, page: Path, fault: Fault | TrainFault, number: int) -> Iterator[Element]:
    yield element("h3", f"{fault.title} ", element("small", f"({number})"), id=fault.id)
    asked = urlencode({"v": "1", "fault": fault.id, "size": "100"})
    said = element("ul")
    if isinstance(fault, Fault):
        said.append(element("li", _shown(fault)))
        if fault.heard:
            words = f"Its own leak is heard at: {spoken(fault.heard)}."
            said.append(element("li", words))
        if (alike := _alike(page, fault)) is not None:
            said.append(alike)
    where = WHERE_WORDS[fault.proof.where]
    said.append(element("li", element("strong", f"Proved {where}: "), fault.proof.words))
    said.append(element("li", element("strong", "What is done: "), fault.remedy))
    beside = element(
        "a",
        "Beside one in order, at any size",
        href=f"{address_of(SHOWN_PAGE, seen_from=page)}?{asked}",
    )
    links = element("li", beside, ". ", *_links(content, page, fault))
    said.append(links)
    yield said


def _alike(page: Path, fault: Fault) -> Element | None:
    """Those with the same gauges, computed, each with its entry on the page of its own family."""
    finder = finder_for(EXAMPLE)
    if fault.id in finder.silent:
        return element("li", "The gauges read as in order.")
    group = [find_fault(f) for f in finder.groups[finder.group_of[fault.id]] if f != fault.id]
    if not group:
        return None
    made = element("li", "Same gauges as: ")
    for number, one in enumerate(group):
        address = f"{address_of(family_page(one), seen_from=page)}#{one.id}"
        append(made, "; " if number else None, element("a", one.title, href=address))
    append(made, ". A look or a sound tells them apart.")
    return made


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
    blows = sorted({spoken(p) for s in shows if s is not None for p in s.blows})
    words = ". ".join(shown)
    if blows:
        words += f"{'. ' if words else ''}Blows: {', '.join(blows[:3])}"
    pistons = [s for s in shows if s is not None and s.out[0] != s.out[1]]
    if pistons:
        words += f"{'. ' if words else ''}One truck's pistons stay in"
    complete = f"At its worst ({fault.complete}): " if fault.complete else ""
    return f"{complete}{words or 'nothing on gauges'}."
