"""A worksheet's key is what the calculators answer; its forms for other programs say the same."""

from __future__ import annotations

import csv
import io
import json
import re
from statistics import mean
from urllib.parse import parse_qsl
from xml.etree import ElementTree

import pytest

from calculators.answering.answer import answer
from calculators.answering.follow import finished
from calculators.base.csv_cells import cell
from calculators.base.errors import InputError
from calculators.base.units import convert
from calculators.browser import reply
from calculators.catalog import CALCULATORS
from calculators.rendering.worksheets import worksheet_html
from calculators.study.catalog import SKILLS, find_skill
from calculators.worksheets.asking import DEFAULTS, MOST_QUESTIONS, worksheet
from calculators.worksheets.exchange import MANIFEST_FILE, TEST_FILE, as_csv, as_qti
from tests.support.qti import broken

SEEDS, QUESTIONS = 50, 20
QTI = "{http://www.imsglobal.org/xsd/imsqtiasi_v3p0}"
PACKAGE = "{http://www.imsglobal.org/xsd/qti/qtiv3p0/imscp_v1p1}"


def key_is_the_calculators(seeds: range, questions: int) -> tuple[int, int]:
    """Every question asked again by its own link, apart from what drew it; how many, and figures."""
    figures = asked = 0
    for seed in seeds:
        for item in worksheet({"number": str(questions), "seed": str(seed)}).items:
            asked += 1
            path, _, query = item.address.partition("?")
            calculator = CALCULATORS[path.removeprefix("calculators/").strip("/")]
            found = answer(calculator, dict(parse_qsl(query, keep_blank_values=True)))
            assert not found.errors, item.address
            form = find_skill(item.skill).form
            if item.right.value is None or not form.asks:
                continue
            figures += 1
            result = (finished(found) if form.follows else found).results()[form.asks]
            assert item.right.value == pytest.approx(float(str(result)), abs=0.05), seed
    return asked, figures


def test_the_key_is_what_the_calculators_answer_for_a_thousand_questions():
    asked, figures = key_is_the_calculators(range(SEEDS), QUESTIONS)
    assert asked == SEEDS * QUESTIONS
    assert figures > asked / 10


@pytest.mark.long
def test_the_key_is_what_the_calculators_answer_for_a_thousand_seeds():
    asked, figures = key_is_the_calculators(range(1_000), int(DEFAULTS["number"]))
    assert asked == 1_000 * int(DEFAULTS["number"])
    assert figures > asked / 10


def test_the_same_seed_draws_the_same_sheet_and_another_another():
    one = worksheet({"seed": "a"})
    assert one == worksheet({"seed": "a"})
    assert [i.question for i in one.items] != [i.question for i in worksheet({"seed": "b"}).items]


def test_two_seeds_are_alike_in_difficulty():
    """The same mistakes in the same order, and working of the same length within a tenth."""
    sheets = [worksheet({"seed": str(seed), "number": "20"}) for seed in range(12)]
    assert len({tuple(item.skill for item in sheet.items) for sheet in sheets}) == 1
    steps = [mean(len(item.working) for item in sheet.items) for sheet in sheets]
    assert max(steps) <= 1.1 * min(steps)


def test_a_link_makes_the_same_sheet():
    sheet = worksheet({"seed": "x y", "number": "3", "units": "bar", "topics": "locomotive"})
    again = worksheet(dict(parse_qsl(sheet.query(), keep_blank_values=True)))
    assert again == sheet
    assert not again.said


@pytest.mark.parametrize("change", [{"drawn": "0"}, {"version": "9.9.9"}])
def test_a_link_of_another_version_says_that_the_key_is_not_this_sheets(change: dict[str, str]):
    said = worksheet(change).said
    assert "a key printed then is not this sheet's" in said[0]
    assert "is not this sheet" in worksheet_html(worksheet(change))


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"number": "0"}, "number"),
        ({"number": str(MOST_QUESTIONS + 1)}, "number"),
        ({"number": "ten"}, "number"),
        ({"number": "٣"}, "number"),
        ({"seed": "s" * 99}, "seed"),
        ({"units": "at"}, "units"),
        ({"paper": "a3"}, "paper"),
        ({"topics": "weather"}, "topics"),
        ({"colour": "red"}, "colour"),
    ],
)
def test_what_is_not_understood_is_said(asked: dict[str, str], field: str):
    with pytest.raises(InputError) as refused:
        worksheet(asked)
    assert refused.value.field == field
    said = json.loads(reply(json.dumps({"kind": "worksheet", "entries": asked})))
    assert said == {"errors": {field: refused.value.message}}


@pytest.mark.parametrize("units", ["psi", "kPa", "bar"])
def test_question_and_key_are_of_one_unit(units: str):
    sheet = worksheet({"units": units, "number": "12"})
    for item in sheet.items:
        if item.right.value is None or item.right.unit != "psi":
            continue
        assert sheet.typed_unit(item) == units
        value, tolerance = sheet.typed_value(item)
        assert value == pytest.approx(convert(item.right.value, "psi", units))
        assert 0 < tolerance < value
        assert item.right.words.endswith(units)
        assert float(item.right.words.split()[0].replace(",", "")) == pytest.approx(
            value, abs=tolerance
        )


def test_the_question_sheet_tells_no_answer():
    sheet = worksheet({"number": "8"})
    questions, key = worksheet_html(sheet).split("</section>")[:2]
    for item in sheet.items:
        assert item.working[-1].how not in re.sub(r"<[^>]*>", "", questions)
    assert key.count("<strong>") >= len(sheet.items)
    for paper in (questions, key):
        assert "Caution" in paper or "caution" in paper
        assert "version" in paper


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1", "  =1", "a", ""])
def test_no_cell_is_taken_for_a_formula(text: str):
    (row,) = csv.reader(io.StringIO(cell(text) + "\r\n", newline="")) if text else [[""]]
    assert not row[0].lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\r"))
    assert row[0].removeprefix("'") == text


def test_the_table_opens_again_with_the_same_answers():
    sheet = worksheet({"number": "20", "seed": "table"})
    rows = list(csv.DictReader(io.StringIO(as_csv(sheet), newline="")))
    assert [row["answer"].removeprefix("'") for row in rows] == [i.right.words for i in sheet.items]
    assert [row["question"] for row in rows] == [item.question for item in sheet.items]


def test_the_package_opens_again_with_the_same_answers():
    """Read back as the standard says it is read: the manifest names the test, the test the items."""
    sheet = worksheet({"number": "20", "seed": "package", "units": "kPa"})
    files = as_qti(sheet)
    manifest = ElementTree.fromstring(files[MANIFEST_FILE])
    resources = {one.get("identifier"): one for one in manifest.iter(f"{PACKAGE}resource")}
    test = next(one for one in resources.values() if one.get("type") == "imsqti_test_xmlv3p0")
    assert test.get("href") == TEST_FILE
    needed = [one.get("identifierref") for one in test.iter(f"{PACKAGE}dependency")]
    names = [resources[one].get("href") for one in needed]
    root = ElementTree.fromstring(files[TEST_FILE])
    assert [one.get("href") for one in root.iter(f"{QTI}qti-assessment-item-ref")] == names
    assert set(files) == {MANIFEST_FILE, TEST_FILE, *names}
    for item, name in zip(sheet.items, names, strict=True):
        made = ElementTree.fromstring(files[str(name)])
        value = made.findtext(f".//{QTI}qti-correct-response/{QTI}qti-value")
        text = "".join(made.itertext())
        assert item.question in text
        if item.right.value is None:
            chosen = made.find(f".//{QTI}qti-simple-choice[@identifier='{value}']")
            assert chosen is not None
            assert chosen.text == item.right.words
        else:
            equal = made.find(f".//{QTI}qti-equal")
            assert equal is not None
            right, tolerance = sheet.typed_value(item)
            assert float(str(value)) == pytest.approx(right, abs=1e-5)
            assert (equal.get("tolerance") or "").split() == [
                str(equal.get("tolerance")).split()[0]
            ] * 2
            assert float(str(equal.get("tolerance")).split()[0]) == pytest.approx(
                tolerance, abs=1e-5
            )


# The order in which an item's parts follow each other.
ITEM_ORDER = (
    "qti-response-declaration",
    "qti-outcome-declaration",
    "qti-item-body",
    "qti-response-processing",
)


def local(one: ElementTree.Element) -> str:
    return one.tag.rpartition("}")[2]


def every_kind() -> dict[str, str]:
    """A package that holds each kind of question at least once."""
    sheet = worksheet({"number": str(MOST_QUESTIONS), "seed": "kinds"})
    assert len({item.kind for item in sheet.items}) >= 6
    assert {item.right.value is None for item in sheet.items} == {True, False}
    return as_qti(sheet)


def test_the_packages_structure_is_what_the_standard_asks():
    for name, text in every_kind().items():
        assert list(broken(ElementTree.fromstring(text))) == [], name


# A whole file is broken in one place, and that is what is told: (what stands there, instead).
DAMAGES = {
    "a figure's item": (
        ('time-dependent="false"', ""),
        ('time-dependent="false"', 'time-dependent="no"'),
        ('cardinality="single"', 'cardinality="one"'),
        ('identifier="RESPONSE"', 'identifier="1 RESPONSE"'),
        ('response-identifier="RESPONSE"', 'response-identifier="OTHER"'),
        ('base-type="float">', 'base-type="number">'),
        ('tolerance-mode="absolute"', ""),
        ('<qti-base-value base-type="float">1<', '<qti-base-value base-type="integer">1<'),
        ('<qti-base-value base-type="float">1<', '<qti-base-value base-type="float">one<'),
        ("qti-response-else>", "qti-else>"),
        ("<p>", '<p color="red">'),
    ),
    "a choice's item": (
        ('max-choices="1"', 'max-choices="one"'),
        ("rptemplates/match_correct", "rptemplates/match"),
        ("qti-prompt>", "qti-simple-choice>"),
        ('<qti-simple-choice identifier="option-1">', "<qti-simple-choice>"),
    ),
    "the test": (
        ('navigation-mode="nonlinear"', 'navigation-mode="free"'),
        (' visible="true"', ""),
        ("qti-test-part", "qti-part"),
    ),
    "the manifest": (
        ("imsqti_test_xmlv3p0", "imsqti_test_xmlv2p1"),
        ("<schemaversion>3.0.0</schemaversion>", ""),
        ("organizations", "organization"),
    ),
}


@pytest.mark.parametrize("which", DAMAGES)
def test_a_broken_package_is_told(which: str):
    files = every_kind()
    items = [text for text in files.values() if "<qti-item-body" in text]
    whole = {
        "a figure's item": next(text for text in items if "text-entry" in text),
        "a choice's item": next(text for text in items if "choice-interaction" in text),
        "the test": files[TEST_FILE],
        "the manifest": files[MANIFEST_FILE],
    }[which]
    for there, instead in DAMAGES[which]:
        assert there in whole, there
        assert list(broken(ElementTree.fromstring(whole.replace(there, instead)))), there


def test_the_manifest_names_the_standard_and_its_version():
    manifest = ElementTree.fromstring(every_kind()[MANIFEST_FILE])
    assert manifest.findtext(f".//{PACKAGE}schema") == "QTI Package"
    assert manifest.findtext(f".//{PACKAGE}schemaversion") == "3.0.0"


def test_each_item_declares_what_it_uses_and_holds_its_right_answer():
    for name, text in every_kind().items():
        root = ElementTree.fromstring(text)
        if local(root) != "qti-assessment-item":
            continue
        assert root.get("identifier") == name.removesuffix(".xml")
        assert tuple(map(local, root)) == ITEM_ORDER
        declared = {o.get("identifier"): o for o in root if local(o).endswith("-declaration")}
        assert len(declared) == len([o for o in root if local(o).endswith("-declaration")])
        asked = [o.get("response-identifier") for o in root.iter() if o.get("response-identifier")]
        assert asked == ["RESPONSE"]
        responses = [i for i, o in declared.items() if local(o) == "qti-response-declaration"]
        assert responses == asked
        used = {
            o.get("identifier")
            for o in root.iter()
            if local(o) in ("qti-variable", "qti-correct", "qti-set-outcome-value")
        }
        assert used <= set(declared)
        (value,) = root.iterfind(f"{QTI}qti-response-declaration/{QTI}qti-correct-response/*")
        choices = [o.get("identifier") for o in root.iter(f"{QTI}qti-simple-choice")]
        assert len(set(choices)) == len(choices)
        kind = declared["RESPONSE"].get("base-type")
        if kind == "identifier":
            assert value.text in choices
            words = ["".join(o.itertext()) for o in root.iter(f"{QTI}qti-simple-choice")]
            assert len(set(words)) == len(words) >= 2
        else:
            assert kind == "float"
            assert not choices
            float(value.text or "")


def test_the_manifest_lists_all_files_once_and_what_they_need():
    files = every_kind()
    manifest = ElementTree.fromstring(files[MANIFEST_FILE])
    assert [local(one) for one in manifest] == ["metadata", "organizations", "resources"]
    resources = list(manifest.iter(f"{PACKAGE}resource"))
    ids = [one.get("identifier") for one in resources]
    assert len(set(ids)) == len(ids)
    listed = [one.get("href") for one in manifest.iter(f"{PACKAGE}file")]
    assert sorted(map(str, listed)) == sorted(set(files) - {MANIFEST_FILE})
    for one in resources:
        assert one.get("href") in [file.get("href") for file in one.iter(f"{PACKAGE}file")]
    needed = [one.get("identifierref") for one in manifest.iter(f"{PACKAGE}dependency")]
    assert set(needed) <= set(ids)
    test = ElementTree.fromstring(files[TEST_FILE])
    refs = [one.get("identifier") for one in test.iter(f"{QTI}qti-assessment-item-ref")]
    assert len(set(refs)) == len(refs) == len(files) - 2


def test_the_title_names_topics_and_gives_no_mistake_away():
    assert worksheet({"topics": "cars tests", "number": "1"}).title() == (
        "Worksheet: The cars' brake, Tests and their limits"
    )
    skills = [skill for skill in SKILLS.values() if skill.form.topic == "circuits"][:2]
    sheet = worksheet({"topics": " ".join(one.id for one in skills), "number": "1"})
    assert sheet.title() == "Worksheet: Circuits in time (chosen questions)"


def test_a_question_on_a_picture_has_its_picture_and_no_answer_in_it():
    sheet = worksheet({"topics": "release-rear.head-tells-rear", "number": "2"})
    questions, key = worksheet_html(sheet).split("</section>")[:2]
    assert questions.count("<svg") == 2
    assert "<svg" not in key
    for item, drawn in zip(sheet.items, questions.split("<svg")[1:], strict=True):
        picture = drawn.partition("</svg>")[0]
        assert item.right.words not in re.sub(r"<[^>]*>", " ", picture)
    # No two drawings share an id, as both stand on one page.
    ids = re.findall(r' id="([^"]+)"', questions)
    assert len(set(ids)) == len(ids)
