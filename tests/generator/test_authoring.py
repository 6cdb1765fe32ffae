"""The list for authors is whole, and its examples are what they say; one page can be seen at once."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator import authoring, preview, site
from generator.authoring import BLOCKS, INLINE, embeds_list
from generator.copy_stamp import MANIFEST_PATH, stamped
from generator.embeds import Block
from generator.fragments import Fragments
from generator.site import BuildError, check_leftovers

ROOT = Path(__file__).parents[2]
PAGE = Path("about/writing.md")


def block(subject: str = "all") -> Block:
    return Block(subject=subject, settings={}, number=1, page=PAGE)


def test_a_kind_that_is_not_described_stops_the_build():
    kinds = {embed.kind for embed in BLOCKS}
    made = embeds_list(kinds, block())
    assert all(f"<strong>{embed.kind}</strong>" in made for embed in (*BLOCKS, *INLINE))
    with pytest.raises(LookupError, match="colour"):
        embeds_list({*kinds, "colour"}, block())
    with pytest.raises(LookupError, match="calculator"):
        embeds_list(kinds - {"calculator"}, block())
    with pytest.raises(LookupError, match="nothing"):
        embeds_list(kinds, block("nothing"))


@pytest.mark.parametrize("embed", INLINE, ids=lambda embed: embed.kind)
def test_every_example_in_a_sentence_is_made(embed: authoring.Embed):
    words = embed.example.removeprefix("{{ ").removesuffix(" }}")
    assert embed.example == f"{{{{ {words} }}}}"
    assert Fragments(()).inline(words)


def test_every_example_block_is_made(tmp_path: Path):
    """By the same step that makes the pages, on a page that holds all of them."""
    root = tmp_path / "project"
    root.mkdir()
    for source in ROOT.iterdir():
        if source.name not in ("content", "site"):
            (root / source.name).symlink_to(source)
    content = root / "content"
    content.mkdir()
    for source in (ROOT / "content").iterdir():
        (content / source.name).symlink_to(source)
    page = content / "all-blocks.md"
    page.write_text(
        "---\ntitle: All\ndescription: All blocks.\n---\n\n# All\n\n"
        + "\n\n".join(embed.example for embed in BLOCKS),
        encoding="utf-8",
    )
    staged = tmp_path / "staged"
    assert site.write_pages(root, staged, only=Path("all-blocks.md")) == 1
    text = (staged / "all-blocks.md").read_text(encoding="utf-8")
    for mark in (
        "<brake-calculator",
        "<brake-circuit",
        "<my-railroad",
        "<pocket-card",
        "limit-list",
    ):
        assert mark in text


def test_code_may_show_what_a_page_may_not_hold(tmp_path: Path):
    (tmp_path / "a.html").write_text("<pre><code>{{ shown }}</code></pre>")
    check_leftovers(tmp_path)
    (tmp_path / "b.html").write_text("<p>{{ left }}</p>")
    with pytest.raises(BuildError, match=r"b\.html"):
        check_leftovers(tmp_path)


def test_one_page_is_made_alone():
    out = preview.preview_page(ROOT, Path("content/parts/gauges.md"), report=lambda line: None)
    text = (out / "parts" / "gauges" / "index.html").read_text(encoding="utf-8")
    assert "<h1" in text
    assert "Content-Security-Policy" in text
    assert not (out / "service-worker.js").exists()
    # Beside a whole build its calculators answer: the list of what Python is packed of has its bare name.
    built = any((ROOT / "site").glob(stamped(MANIFEST_PATH, "*")))
    assert (out / MANIFEST_PATH).is_file() == built


def test_a_page_that_is_not_there_is_named():
    with pytest.raises(BuildError, match="nothing is no page below content"):
        preview.preview_page(ROOT, Path("nothing"), report=lambda line: None)
