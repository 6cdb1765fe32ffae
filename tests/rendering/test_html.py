"""The HTML of forms and answers: whole, escaped, and the same figures as the text."""

from __future__ import annotations

import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from hypothesis import given
from hypothesis import strategies as st

from calculators.answering.answer import answer
from calculators.answering.shown import result_rows
from calculators.base.quantities import Choice
from calculators.base.results import Axis, Display, Line, Series
from calculators.catalog import every_calculator, find_calculator
from calculators.rendering.answers.bar import spoken_text
from calculators.rendering.answers.html import answer_html
from calculators.rendering.answers.text import answer_text
from calculators.rendering.drawing.chart import chart, ticks
from calculators.rendering.elements import append, element, html
from calculators.rendering.forms.fields import mark_element
from calculators.rendering.forms.form import form_html

CALCULATORS = every_calculator()

LOCOMOTIVE = find_calculator("locomotive-brake")
EACH = pytest.mark.parametrize("name", CALCULATORS)


class Reader(HTMLParser):
    """Collects tags, ids and text of a fragment."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.ids: list[str] = []
        self.tags: list[str] = []
        self.attributes: set[str] = set()
        self.data = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes |= {name for name, _ in attrs}
        self.ids += [value or "" for name, value in attrs if name == "id"]

    def handle_data(self, data: str) -> None:
        self.data += data


@EACH
def test_answer_holds_every_result_as_the_text_does(name: str):
    found = answer(CALCULATORS[name], {}, example=True)
    shown = Reader(answer_html(found, id="x")).data
    text = answer_text(found)
    for row in result_rows(found):
        assert row.text in shown
        assert row.text in text


@EACH
def test_ids_are_unique_and_nothing_is_styled_or_scripted_inline(name: str):
    found = answer(CALCULATORS[name], {}, example=True)
    page = Reader(form_html(found, id="x") + answer_html(found, id="x"))
    assert len(page.ids) == len(set(page.ids))
    assert not {a for a in page.attributes if a.startswith("on") or a == "style"}
    assert "script" not in page.tags


@EACH
def test_every_field_has_its_label_help_and_error_place(name: str):
    calculator = CALCULATORS[name]
    form = form_html(answer(calculator, {}, example=True), id="x")
    keys = {key.field for key in calculator.first.keys}
    for field, description in calculator.inputs().items():
        # The keys of a choice are a group of their own, named by its legend.
        if not (field in keys and isinstance(description, Choice)):
            assert f'for="x-{field}"' in form
        assert f'id="x-{field}"' in form
        assert f'aria-describedby="x-{field}-help x-{field}-error"' in form


@EACH
def test_every_answer_carries_the_caution_and_no_verdict(name: str):
    found = answer(CALCULATORS[name], {}, example=True)
    words = Reader(answer_html(found, id="x")).data
    assert "a qualified person decide" in words
    assert not re.search(
        r"\b(is|are) safe\b|\b(train|brakes?|test) (passes|passed)\b|\bgo ahead\b",
        words,
        re.IGNORECASE,
    )


def test_errors_stand_by_their_fields():
    found = answer(LOCOMOTIVE, {"service_limit": "585", "reduction": "12"})
    form = form_html(found, id="x")
    assert 'aria-invalid="true"' in form
    assert "Service limiting valve set at is 585 psi" in form
    assert 'value="12"' in form
    assert spoken_text(found).startswith("No answer yet: Service limiting valve")
    assert "<li>Service limiting valve set at is 585 psi" in answer_html(found, id="x")


@given(st.text(max_size=40))
def test_typed_text_never_becomes_markup(text: str):
    hostile = f"<img src=x onerror=alert(1)>{text}"
    found = answer(LOCOMOTIVE, {"reduction": hostile, "<b>": hostile, "v": "9"})
    page = Reader(form_html(found, id="x") + answer_html(found, id="x"))
    assert "img" not in page.tags
    assert "onerror" not in page.attributes


def test_remarks_of_a_link():
    found = answer(LOCOMOTIVE, {"reduction": "8"}, settings={"reduction": "9"})
    words = Reader(answer_html(found, id="x")).data
    assert "Reduction is 8 psi here; your own settings say 9 psi." in words


def test_own_limit_is_marked():
    own = {"limit.main-reservoir-over-brake-pipe": "50"}
    words = Reader(answer_html(answer(LOCOMOTIVE, own), id="x")).data
    assert "your railroad's own figure, given with this question" in words
    words = Reader(answer_html(answer(LOCOMOTIVE, {}, settings=own), id="x")).data
    assert "your railroad's own figure, from your settings" in words
    assert "not within" in words


def test_elements_escape_and_keep_order():
    made = element("p", "a < b", element("b", "& c"), "d", None, class_="x")
    append(made, element("i", "e"), "f")
    assert html(made) == '<p class="x">a &lt; b<b>&amp; c</b>d<i>e</i>f</p>'


def test_marks():
    assert mark_element("") is None
    made = mark_element("M")
    assert made is not None
    assert made.get("title") == "nominal, from memory"


@pytest.mark.parametrize(
    ("low", "high", "found"),
    [
        (0, 36, [0, 10, 20, 30]),
        (0, 1, [0, 0.2, 0.4, 0.6, 0.8, 1]),
        (5, 5, [5]),
        (-10, 10, [-10, -5, 0, 5, 10]),
    ],
)
def test_ticks(low: float, high: float, found: list[float]):
    assert ticks(low, high) == found


@EACH
def test_every_mark_of_an_input_stands_in_its_help(name: str):
    shown = form_html(answer(find_calculator(name), {}), id="x")
    for field, description in find_calculator(name).inputs().items():
        mark = getattr(description, "mark", "")
        (help_text,) = re.findall(rf'<p id="x-{field}-help"[^>]*>(.*?)</p>', shown, re.DOTALL)
        assert (f'class="mark">[{mark}]<' in help_text) == bool(mark), field


def test_a_looser_figure_of_the_railroad_says_which_governs():
    looser = answer(
        find_calculator("leakage-and-flow"),
        {"leakage": "3"},
        settings={"limit.brake-pipe-leakage": "9"},
    )
    assert "the stricter governs" in Reader(answer_html(looser, id="x")).data


def test_a_curve_needs_points_and_may_stand_on_one():
    one = Series(
        title="One",
        x=Axis(term="Time", unit="s"),
        y=Axis(term="Pressure", unit="psi"),
        lines=(Line(name="pipe", points=((5.0, 80.0),)),),
    )
    picture = html(chart(one, Display(), id="one"))
    assert "nan" not in picture.casefold()
    assert "polyline" in picture
    with pytest.raises(ValueError, match="One: no points in pipe"):
        chart(replace(one, lines=(Line(name="pipe", points=()),)), Display(), id="one")
