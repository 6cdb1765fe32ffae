"""What QTI 3.0 asks of the elements that a worksheet's package uses, as tables, and who breaks it.

From 1EdTech, "QTI: Assessment, Section and Item Information Model, version 3.0" (final release of
1 May 2022) and the content packaging profile that goes with it, entered from memory where the text
could not be read again here: the registries hold the standard's schema file in no package of its own
(Debian and PyPI none; in npm and PyPI only inside products that make or play tests). So this is no run of the
schema: it is the rules of the elements used, none of those not used.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from xml.etree.ElementTree import Element

# By element: attributes that must be there, attributes that may, children that may stand in it.
RULES: dict[str, tuple[str, str, str]] = {
    "qti-assessment-item": (
        "identifier title time-dependent",
        "adaptive lang label tool-name tool-version",
        "qti-response-declaration qti-outcome-declaration qti-item-body qti-response-processing",
    ),
    "qti-response-declaration": ("identifier cardinality", "base-type", "qti-correct-response"),
    "qti-outcome-declaration": ("identifier cardinality", "base-type", "qti-default-value"),
    "qti-correct-response": ("", "interpretation", "qti-value"),
    "qti-default-value": ("", "interpretation", "qti-value"),
    "qti-value": ("", "base-type field-identifier", ""),
    "qti-item-body": ("", "id class lang", "p div qti-choice-interaction"),
    "p": ("", "id class lang", "qti-text-entry-interaction"),
    "qti-text-entry-interaction": ("response-identifier", "expected-length base", ""),
    "qti-choice-interaction": (
        "response-identifier",
        "shuffle max-choices min-choices orientation",
        "qti-prompt qti-simple-choice",
    ),
    "qti-prompt": ("", "id class lang", ""),
    "qti-simple-choice": ("identifier", "fixed", ""),
    "qti-response-processing": ("", "template template-location", "qti-response-condition"),
    "qti-response-condition": ("", "", "qti-response-if qti-response-else-if qti-response-else"),
    "qti-response-if": ("", "", "qti-equal qti-set-outcome-value"),
    "qti-response-else": ("", "", "qti-set-outcome-value"),
    "qti-equal": (
        "tolerance-mode",
        "tolerance include-lower-bound include-upper-bound",
        "qti-variable qti-correct",
    ),
    "qti-variable": ("identifier", "weight-identifier", ""),
    "qti-correct": ("identifier", "", ""),
    "qti-set-outcome-value": ("identifier", "", "qti-base-value"),
    "qti-base-value": ("base-type", "", ""),
    "qti-assessment-test": ("identifier title", "lang class tool-name", "qti-test-part"),
    "qti-test-part": (
        "identifier navigation-mode submission-mode",
        "title class",
        "qti-assessment-section",
    ),
    "qti-assessment-section": (
        "identifier title visible",
        "required fixed class keep-together",
        "qti-assessment-item-ref",
    ),
    "qti-assessment-item-ref": ("identifier href", "required fixed class category", ""),
    "manifest": ("identifier", "", "metadata organizations resources"),
    "metadata": ("", "", "schema schemaversion"),
    "schema": ("", "", ""),
    "schemaversion": ("", "", ""),
    "organizations": ("", "", ""),
    "resources": ("", "", "resource"),
    "resource": ("identifier type", "href", "file dependency"),
    "file": ("href", "", ""),
    "dependency": ("identifierref", "", ""),
}
# What an attribute may say.
BOOLEAN, COUNT = "true|false", r"\d+"
BASES = "boolean|directedPair|duration|file|float|identifier|integer|pair|point|string|uri"
NUMBER = r"-?\d+(\.\d+)?([eE]-?\d+)?"
SAYS = {
    "identifier": r"[A-Za-z_][\w.\-]*",
    "identifierref": r"[A-Za-z_][\w.\-]*",
    "response-identifier": r"[A-Za-z_][\w.\-]*",
    "cardinality": "single|multiple|ordered|record",
    "base-type": BASES,
    "time-dependent": BOOLEAN,
    "adaptive": BOOLEAN,
    "visible": BOOLEAN,
    "shuffle": BOOLEAN,
    "max-choices": COUNT,
    "expected-length": r"[1-9]\d*",
    "navigation-mode": "linear|nonlinear",
    "submission-mode": "individual|simultaneous",
    "tolerance-mode": "exact|absolute|relative",
    "tolerance": rf"{NUMBER}( {NUMBER})?",
    "template": r"https://purl\.imsglobal\.org/spec/qti/v3p0/rptemplates/(match_correct|map_response|map_response_point)",
    "type": "imsqti_(item|test|section)_xmlv3p0",
    "href": r"[^\s:\\]+",
    "lang": r"[a-z]{2}(-[A-Z]{2})?",
}
# In which order, and how often: a pattern over the names of an element's children.
ORDERS = {
    "qti-assessment-item": "(qti-response-declaration )*(qti-outcome-declaration )*(qti-item-body )?(qti-response-processing )?",
    "qti-correct-response": "(qti-value )+",
    "qti-default-value": "(qti-value )+",
    "qti-item-body": "(p |div |qti-choice-interaction )+",
    "qti-choice-interaction": "(qti-prompt )?(qti-simple-choice )+",
    "qti-response-condition": "qti-response-if (qti-response-else-if )*(qti-response-else )?",
    "qti-response-if": "qti-equal (qti-set-outcome-value )+",
    "qti-equal": "(qti-variable |qti-correct ){2}",
    "qti-set-outcome-value": "qti-base-value ",
    "qti-test-part": "(qti-assessment-section )+",
    "qti-assessment-test": "(qti-test-part )+",
    "manifest": "metadata organizations resources ",
    "metadata": "schema schemaversion ",
    "resource": "(file )*(dependency )*",
}


def local(name: str) -> str:
    """A name without its namespace."""
    return name.rpartition("}")[2]


def broken(root: Element) -> Iterator[str]:
    """Each rule that a file breaks, in words."""
    for one in root.iter():
        name = local(one.tag)
        if name not in RULES:
            yield f"{name} is no element that is known here"
            continue
        must, may, holds = (set(words.split()) for words in RULES[name])
        said = {local(key): text for key, text in one.attrib.items()}
        yield from (f"{name} lacks {key}" for key in must - set(said))
        yield from (f"{name} has no attribute {key}" for key in set(said) - must - may)
        for key, text in said.items():
            if key in SAYS and not re.fullmatch(SAYS[key], text):
                yield f'{name} says {key} "{text}"'
        children = [local(child.tag) for child in one]
        yield from (f"{child} stands in {name}" for child in children if child not in holds)
        order = "".join(f"{child} " for child in children)
        if name in ORDERS and not re.fullmatch(ORDERS[name], order):
            yield f"{name} holds {order}"
    yield from _of_values(root)


def _of_values(root: Element) -> Iterator[str]:
    """What values ask of each other: of one type, declared, with a tolerance where one is meant."""
    declared = {
        o.get("identifier"): o.get("base-type")
        for o in root
        if local(o.tag).endswith("-declaration")
    }
    for one in root:
        if not local(one.tag).endswith("-declaration"):
            continue
        for value in one.iter():
            if local(value.tag) == "qti-value":
                yield from _typed(value.text or "", one.get("base-type"))
    for one in root.iter():
        name = local(one.tag)
        if name == "qti-set-outcome-value":
            (value,) = one
            if value.get("base-type") != declared.get(one.get("identifier")):
                yield f"{one.get('identifier')} is set to another type than it is declared with"
            yield from _typed(value.text or "", value.get("base-type"))
        if (
            name == "qti-equal"
            and one.get("tolerance-mode") != "exact"
            and not one.get("tolerance")
        ):
            yield "qti-equal has no tolerance"
        used = (
            one.get("identifier")
            if name in ("qti-variable", "qti-correct")
            else one.get("response-identifier")
        )
        if used and used not in declared:
            yield f"{used} is not declared"


def _typed(text: str, base: str | None) -> Iterator[str]:
    pattern = {"float": NUMBER, "integer": r"-?\d+", "identifier": SAYS["identifier"]}.get(
        base or ""
    )
    if pattern and not re.fullmatch(pattern, text):
        yield f'"{text}" is no {base}'
