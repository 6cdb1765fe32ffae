"""Embeds in Markdown: replaced in place, or the build stops with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from calculators.rendering.elements import element, html
from generator import site
from generator.embeds import Block, EmbedError, expand
from generator.fragments import Fragments

PAGE = Path("tests/page.md")
FRAGMENTS = Fragments(())


def made(block: Block) -> str:
    return html(element("div", block.subject, class_="made"))


def run(text: str) -> str:
    return expand(text, file=PAGE, blocks={"calculator": made}, inline=FRAGMENTS.inline)


def test_a_block_is_replaced_and_text_stays():
    found = run(
        "before\n\n```calculator\nunits   # the one\nvalue = 5\n```\n\nafter {{ units.value }}"
    )
    assert '<div class="made">units</div>' in found
    assert found.startswith("before\n")
    assert "620.5282" in found.split("after ")[1]


def test_plain_code_is_left_alone():
    text = "```\n{{ nothing.here }}\n```\n`{{ nothing.here }}`\n```text\nx\n```"
    assert run(text) == text


def test_an_inline_figure_is_the_answer_of_the_module():
    words = FRAGMENTS.inline("locomotive-brake.brake_cylinder reduction=12 brake_pipe_setting=85")
    assert words.startswith('<span class="figure" data-embedded="locomotive-brake.brake_cylinder?')
    assert words.endswith(">30 psi</span>")
    words = FRAGMENTS.inline("locomotive-brake.brake_cylinder reduction=12")
    assert 'data-embedded="locomotive-brake.brake_cylinder?reduction=12"' in words
    assert "9.8" not in FRAGMENTS.inline('units.value value="1" from_unit=psi to_unit=kPa')
    assert "at most 5 psi/min" in FRAGMENTS.inline("limit brake-pipe-leakage section")
    assert "TM 55-2210-223-34" in FRAGMENTS.inline("source ARMY-223")


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("a\n\n```colour\nx\n```", 3, 'nothing can be embedded as "colour"'),
        ("```calculator\nunits", 1, "not closed"),
        ("```calculator\n```", 1, "the block is empty"),
        ("```calculator\nunits\nvalue 5\n```", 1, '"value 5" should read name = value'),
        ("a figure of {{ units.value", 1, "not closed"),
        ("a figure of {{ units.value\nx }}", 1, "not closed"),
        ("{{ units.value }} and }}", 1, "not closed"),
        ("`{{ in code }}` but {{ not here", 1, "not closed"),
        ("x\n{{ nobody.value }}", 2, 'no calculator is called "nobody"'),
        ("{{ units.nothing }}", 1, "no result or input 'nothing'"),
        ("{{ units.value reduction=5 }}", 1, "units has no input reduction"),
        ("{{ locomotive-brake.brake_cylinder reduction=x }}", 1, 'Reduction is "x"'),
        ("{{ locomotive-brake.brake_cylinder reduction }}", 1, "should read field=value"),
        ("{{ locomotive-brake.auxiliary_volume }}", 1, "stands empty"),
        ("{{ limit nothing }}", 1, "no limit has the id 'nothing'"),
        ("{{ source NOBODY }}", 1, "no source has the id 'NOBODY'"),
        ("{{ brake }}", 1, "names no figure"),
        ("{{ timer piston-travel }}", 1, "nothing in it is timed"),
        ("{{ }}", 1, "embeds nothing"),
    ],
)
def test_what_cannot_be_made_is_named_with_file_and_line(text: str, line: int, words: str):
    with pytest.raises(EmbedError) as caught:
        run(text)
    assert str(caught.value).startswith(f"tests/page.md:{line}: ")
    assert words in str(caught.value)


def test_leftovers_stop_the_build(tmp_path: Path):
    (tmp_path / "index.html").write_text("<p>{{ units.value }}</p>")
    with pytest.raises(site.BuildError, match=r"index\.html: \{\{ units\.value \}\}"):
        site.check_leftovers(tmp_path)


def test_bare_tables_get_a_box_that_keys_reach(tmp_path: Path):
    page = tmp_path / "index.html"
    page.write_text('<table><tr></tr></table><div class="wide" tabindex="0"><table></table></div>')
    site.reachable_tables(tmp_path)
    text = page.read_text()
    assert text.count('<table class="figures">') == 2
    assert text.count('tabindex="0"') == 2


def test_navigation_is_filled_from_a_folder(tmp_path: Path):
    (tmp_path / "parts").mkdir()
    for name, title in (("index", "Parts"), ("b", "Angle cock"), ("a", "Vent valve")):
        (tmp_path / "parts" / f"{name}.md").write_text(f"---\ntitle: {title}\n---\n")
    nav = [{"Parts": ["parts/index.md", "parts/*"]}]
    assert site.filled(nav, tmp_path) == [
        {"Parts": ["parts/index.md", {"Angle cock": "parts/b.md"}, {"Vent valve": "parts/a.md"}]}
    ]
