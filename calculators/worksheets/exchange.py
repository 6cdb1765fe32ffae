"""A worksheet for other programs: as CSV (RFC 4180), and as the items of QTI 3 (1EdTech, 2022)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from xml.etree.ElementTree import Element, SubElement, indent, tostring

from calculators.base.csv_cells import cell
from calculators.base.results import plain
from calculators.study.items import Item
from calculators.worksheets.asking import Worksheet

HEADS = ("number", "question", "answer", "options", "wrong answers", "working", "skill", "link")

_ITEM = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
_PACKAGE = "http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1"
_MATCH = "https://purl.imsglobal.org/spec/qti/v3p0/rptemplates/match_correct"
TEST_FILE = "test.xml"
MANIFEST_FILE = "imsmanifest.xml"


def as_csv(sheet: Worksheet) -> str:
    """One row a question; lines end as RFC 4180 has it."""
    rows: list[Iterable[str]] = [HEADS]
    for number, item in enumerate(sheet.items, 1):
        options = "" if item.right.value is not None else " | ".join(item.options())
        rows.append(
            (
                str(number),
                item.question,
                item.right.words,
                options,
                " | ".join(f"{one.words} ({one.name})" for one in item.wrong),
                " | ".join(one.words() for one in item.working),
                item.skill,
                item.address,
            )
        )
    return "".join(",".join(cell(text) for text in row) + "\r\n" for row in rows)


def as_qti(sheet: Worksheet) -> dict[str, str]:
    """The files of a QTI 3 package by name: manifest, test, one a question.

    A figure is right within the tolerance of the drills; a choice by its option.
    """
    names = [f"item-{number}.xml" for number in range(1, len(sheet.items) + 1)]
    files = {
        name: _xml(_item(sheet, item, name)) for name, item in zip(names, sheet.items, strict=True)
    }
    return {MANIFEST_FILE: _xml(_manifest(names)), TEST_FILE: _xml(_test(sheet, names)), **files}


def _xml(root: Element) -> str:
    indent(root)
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + tostring(root, encoding="unicode") + "\n"


def _below(parent: Element, tag: str, text: str = "", **attributes: str) -> Element:
    made = SubElement(parent, tag, {name.replace("_", "-"): v for name, v in attributes.items()})
    made.text = text or None
    return made


def _id(name: str) -> str:
    return name.removesuffix(".xml")


def _item(sheet: Worksheet, item: Item, name: str) -> Element:
    """One question: a text to be typed for a figure, a choice for words."""
    figure = item.right.value is not None
    root = Element(
        "qti-assessment-item",
        {
            "xmlns": _ITEM,
            "identifier": _id(name),
            "title": item.title,
            "adaptive": "false",
            "time-dependent": "false",
            "xml:lang": "en-US",
        },
    )
    answer = _below(
        root,
        "qti-response-declaration",
        identifier="RESPONSE",
        cardinality="single",
        base_type="float" if figure else "identifier",
    )
    options = item.options()
    right = _below(answer, "qti-correct-response")
    if item.right.value is not None:
        _below(right, "qti-value", plain(round(sheet.typed_value(item)[0], 6)))
    else:
        _below(right, "qti-value", f"option-{options.index(item.right.words) + 1}")
    score = _below(
        root,
        "qti-outcome-declaration",
        identifier="SCORE",
        cardinality="single",
        base_type="float",
    )
    _below(_below(score, "qti-default-value"), "qti-value", "0")
    body = _below(root, "qti-item-body")
    if figure:
        _below(body, "p", item.question)
        line = _below(body, "p")
        entry = _below(line, "qti-text-entry-interaction", response_identifier="RESPONSE")
        entry.set("expected-length", "8")
        entry.tail = f" {sheet.typed_unit(item)}"
        root.append(_within(sheet.typed_value(item)[1]))
    else:
        choice = _below(
            body,
            "qti-choice-interaction",
            response_identifier="RESPONSE",
            shuffle="false",
            max_choices="1",
        )
        _below(choice, "qti-prompt", item.question)
        for number, words in enumerate(options, 1):
            _below(choice, "qti-simple-choice", words, identifier=f"option-{number}")
        _below(root, "qti-response-processing", template=_MATCH)
    return root


def _within(tolerance: float) -> Element:
    """Scores a figure within the drills' tolerance of the right one."""
    processing = Element("qti-response-processing")
    condition = _below(processing, "qti-response-condition")
    when = _below(condition, "qti-response-if")
    equal = _below(
        when,
        "qti-equal",
        tolerance_mode="absolute",
        tolerance=f"{plain(round(tolerance, 6))} {plain(round(tolerance, 6))}",
    )
    _below(equal, "qti-variable", identifier="RESPONSE")
    _below(equal, "qti-correct", identifier="RESPONSE")
    for branch, points in ((when, "1"), (_below(condition, "qti-response-else"), "0")):
        given = _below(branch, "qti-set-outcome-value", identifier="SCORE")
        _below(given, "qti-base-value", points, base_type="float")
    return processing


def _test(sheet: Worksheet, names: list[str]) -> Element:
    root = Element(
        "qti-assessment-test", {"xmlns": _ITEM, "identifier": "worksheet", "title": sheet.title()}
    )
    part = _below(
        root,
        "qti-test-part",
        identifier="part",
        navigation_mode="nonlinear",
        submission_mode="individual",
    )
    section = _below(
        part, "qti-assessment-section", identifier="section", title=sheet.title(), visible="true"
    )
    for name in names:
        _below(section, "qti-assessment-item-ref", identifier=_id(name), href=name)
    return root


def _manifest(names: list[str]) -> Element:
    root = Element("manifest", {"xmlns": _PACKAGE, "identifier": "worksheet-package"})
    meta = _below(root, "metadata")
    _below(meta, "schema", "QTI Package")
    _below(meta, "schemaversion", "3.0.0")
    _below(root, "organizations")
    resources = _below(root, "resources")
    for name, kind in _resources(names):
        resource = _below(resources, "resource", identifier=f"resource-{_id(name)}")
        resource.set("type", kind)
        resource.set("href", name)
        _below(resource, "file").set("href", name)
        if name == TEST_FILE:
            for other in names:
                _below(resource, "dependency").set("identifierref", f"resource-{_id(other)}")
    return root


def _resources(names: list[str]) -> Iterator[tuple[str, str]]:
    yield TEST_FILE, "imsqti_test_xmlv3p0"
    for name in names:
        yield name, "imsqti_item_xmlv3p0"
