"""The list of the offline copy, the manifest and the icons, without a browser."""

import base64
import hashlib
import json
import re
import shutil
import struct
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from generator import page_pieces
from generator.copy_stamp import MARK, stamped, version_of
from generator.later_part import PartError, is_later
from generator.offline import OfflineError, paths_of_copy
from generator.search_pieces import split
from generator.weight import FIRST_PART_AT_MOST, TEXT_EDIT_AT_MOST, weigh
from tests.offline.conftest import finish
from tests.support.standin import LATER


def copy_of(site: Path) -> dict[str, Any]:
    """What the build wrote into the service worker."""
    first = (site / "service-worker.js").read_text().split("\n", 1)[0]
    copy: dict[str, Any] = json.loads(first.removeprefix("self.COPY = ").removesuffix(";"))
    return copy


def tree(site: Path) -> dict[Path, bytes]:
    """Every file of the site with its bytes."""
    return {path: path.read_bytes() for path in sorted(site.rglob("*")) if path.is_file()}


def test_every_listed_file_has_its_hash_and_size(site):
    files = copy_of(site)["files"]

    assert len(files) > 20
    for path, hash, size in files:
        content = (site / stamped(path, version_of(site))).read_bytes()
        digest = base64.urlsafe_b64encode(hashlib.sha256(content).digest()).decode()
        assert (hash, size) == (digest.rstrip("="), len(content)), path


def test_list_holds_all_but_what_is_named(site):
    listed = {stamped(path, version_of(site)) for path, _, _ in copy_of(site)["files"]}
    every = {path.relative_to(site).as_posix() for path in site.rglob("*") if path.is_file()}
    left_out = every - listed

    assert listed <= every
    assert {path for path in left_out if not path.startswith("assets/javascripts/lunr/")} == {
        "search/search_index.json",
        "service-worker.js",
        "sitemap.xml",
        "sitemap.xml.gz",
        "icons/icon-512.png",
        "icons/icon-maskable-512.png",
        *(path for path in every if path.endswith(".map")),
        # A page is in the copy as a piece beside the blocks that pages share.
        *(path for path in every if path.endswith(".html")),
    }


def test_small_files_come_first_and_the_runtime_last(site):
    copy = copy_of(site)
    first, later = copy["files"][: copy["first"]], copy["files"][copy["first"] :]
    assert copy["core"] < len(first)
    assert all(path.startswith("runtime/") for path, _, _ in first[copy["core"] :])
    for part in (first, later):
        sizes = [size for _, _, size in part]
        assert sizes == sorted(sizes)


def test_the_second_part_comes_behind_the_first(site):
    copy = copy_of(site)
    paths = [path for path, _, _ in copy["files"]]

    assert paths[copy["first"] :] == ["study/index.html.json", LATER]
    assert [path for path in paths if is_later(path)] == paths[copy["first"] :]


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("browser/offline.js", 'import { draw } from "./later-study.js";\n'),
        ("browser/offline.js", 'import {\n  draw,\n  ask,\n} from "./later-store.js";\n'),
        ("browser/start.js", 'const parts = [import("./later-study.js")];\n'),
        ("index.html", '<script type="module" src="browser/later-study.js"></script>'),
    ],
)
def test_the_first_part_never_loads_the_second_with_itself(rendered, tmp_path, path, text):
    site = tmp_path / "site"
    shutil.copytree(rendered, site)
    for name in ("later-study.js", "later-store.js"):
        (site / "browser" / name).write_text("export const draw = 1, ask = 2;\n")
    whole = (site / path).read_text() if (site / path).is_file() else ""
    (site / path).write_text(text + whole if path.endswith(".js") else whole + text)

    with pytest.raises(PartError, match=r"loads later-(study|store)\.js with itself"):
        finish(site)


def test_the_first_part_may_load_the_second_when_it_is_asked_for(rendered, tmp_path):
    site = tmp_path / "site"
    shutil.copytree(rendered, site)
    (site / "browser" / "later-study.js").write_text("export const draw = 1;\n")
    script = site / "browser" / "offline.js"
    script.write_text(
        'export const later = () => import("./later-study.js");\n' + script.read_text()
    )

    finish(site)

    assert is_later(copy_of(site)["files"][-1][0])


def test_finishing_again_changes_no_byte(site):
    before = tree(site)
    finish(site)

    assert tree(site) == before


def test_two_builds_give_the_same_bytes(rendered, tmp_path):
    trees = []
    for name in ("one", "two"):
        shutil.copytree(rendered, tmp_path / name)
        finish(tmp_path / name)
        trees.append(list(tree(tmp_path / name).values()))

    assert trees[0] == trees[1]


def test_new_build_time_changes_only_stamp_and_worker(site):
    before = tree(site)
    version = copy_of(site)["version"]
    assert version_of(site) == version
    finish(site, built="2027-01-01T00:00:00-06:00")
    changed = {path.name for path, content in tree(site).items() if before[path] != content}

    assert changed == {"copy.json", "service-worker.js"}
    assert copy_of(site)["version"] == version
    assert json.loads((site / "copy.json").read_text()) == {
        "version": "0.0.0",
        "built": "2027-01-01T06:00:00Z",
        "content": version,
    }


def test_any_changed_byte_changes_the_version(site):
    version = copy_of(site)["version"]
    (site / "runtime/piece-0.bin").write_bytes(b"other")
    finish(site)

    assert copy_of(site)["version"] != version


@pytest.mark.parametrize("built", ["yesterday", "2026-10-01T12:00:00"])
def test_build_time_must_be_a_moment(site, built):
    with pytest.raises(OfflineError, match=f"built is '{built}'"):
        finish(site, built=built)


@pytest.mark.parametrize("name", ["404.html", "index.html", "browser/offline.js"])
def test_missing_part_is_named(site, name):
    (site / stamped(name, version_of(site))).unlink()

    with pytest.raises(OfflineError, match=re.escape(name)):
        finish(site)


def test_manifest_icons_are_what_it_says(site):
    manifest = json.loads((site / "manifest.webmanifest").read_text())
    assert {(icon["sizes"], icon.get("purpose")) for icon in manifest["icons"]} >= {
        ("192x192", None),
        ("512x512", None),
        ("512x512", "maskable"),
    }
    for icon in manifest["icons"]:
        content = (site / icon["src"]).read_bytes()
        if icon["type"] == "image/png":
            width, height = struct.unpack(">II", content[16:24])
            assert f"{width}x{height}" == icon["sizes"]
    assert (site / "icons/apple-touch-180.png").is_file()
    for address in ("id", "start_url", "scope"):
        assert manifest[address] == "./"


PLACES = st.lists(
    st.tuples(st.text(max_size=8), st.lists(st.text(max_size=8), max_size=3)), max_size=12
)


@given(PLACES, st.sampled_from([{}, {"config": {"lang": ["en"]}}]))
def test_joined_pieces_are_the_index(places, rest):
    docs = [
        {"location": f"{page}#{anchor}", "text": "“ü” <b>\n"}
        for page, anchors in places
        for anchor in anchors
    ]
    pieces = split({**rest, "docs": docs})

    assert json.loads("".join(pieces)) == {**rest, "docs": docs}


def test_an_added_page_changes_one_piece():
    docs = [{"location": f"page-{number}/", "text": "words"} for number in range(60)]
    before = set(split({"docs": docs}))
    changes = []
    for place in range(60):
        added = [*docs[:place], {"location": "an/added/", "text": "more"}, *docs[place:]]
        changes.append(len(set(split({"docs": added})) - before))

    assert max(changes) <= 2


def test_weights(site):
    weights = weigh(site)
    files = copy_of(site)["files"]

    assert weights.whole.raw == sum(size for _, _, size in files) + (
        (site / "service-worker.js").stat().st_size
    )
    assert weights.whole.sent == sum(group.sent for group in weights.groups)
    assert weights.dearest_edit.sent < TEXT_EDIT_AT_MOST
    assert weights.heaviest_page.sent > (site / "index.html").stat().st_size / 10
    assert weights.problems() == []
    assert weights.first.sent + weights.later.sent == weights.whole.sent
    assert weights.later.raw == sum(size for path, _, size in files if is_later(path))
    table = weights.table()
    assert f"{FIRST_PART_AT_MOST:,}" in table
    assert all(f"{one.sent:,}" in table for one in (weights.first, weights.later, weights.whole))


def test_a_heavy_page_is_said_and_holds_nothing_up(site):
    page = site / "units/index.html"
    random = "".join(hashlib.sha256(bytes([n % 256, n // 256])).hexdigest() for n in range(4000))
    page.write_text(page.read_text().replace("</h1>", f"</h1><p>{random}</p>", 1))
    finish(site)
    weights = weigh(site)
    assert weights.problems() == []
    said = weights.heavy_pages()
    assert [one.split(" weighs ")[0] for one in said] == [
        "page units/index.html",
        "text edit of units/index.html",
    ]
    assert all("make two pages of it" in one for one in said)


def test_weight_over_its_limit_is_said(site):
    (site / "runtime/later-2.bin").write_bytes(bytes(range(256)) * 12_000)
    finish(site)
    assert [problem.split(" weighs ")[0] for problem in weigh(site).problems()] == ["whole site"]

    (site / "runtime/extra.bin").write_bytes(bytes(range(256)) * 10_000)
    finish(site)
    assert [problem.split(" weighs ")[0] for problem in weigh(site).problems()] == [
        "first part",
        "whole site",
    ]


def test_paths_are_found_without_finishing(site):
    kept, left_out = paths_of_copy(site)

    listed = [stamped(path, version_of(site)) for path, _, _ in copy_of(site)["files"]]
    assert sorted(listed) == kept
    assert "service-worker.js" in left_out


lines = st.lists(
    st.sampled_from(
        ["<p>a line that many pages hold", "<p>another such line, long enough", "", "x"]
    ),
    max_size=12,
)


@given(st.lists(st.tuples(lines, st.text(max_size=40)), min_size=1, max_size=5))
def test_pages_come_back_from_their_pieces(drawn):
    texts = {
        Path(f"{number}.html"): "\n".join([*shared, own, *shared])
        for number, (shared, own) in enumerate(drawn)
    }
    blocks, pieces = page_pieces.split(texts)

    assert {page: page_pieces.compose(piece, blocks) for page, piece in pieces.items()} == texts


def test_a_text_edit_changes_one_piece_and_no_block():
    frame = "\n".join(f"<div>a line of the frame, number {number}" for number in range(50))
    texts = {Path(f"{n}.html"): f"{frame}\n<p>text of page {n}\n{frame}\n" for n in range(6)}
    blocks, pieces = page_pieces.split(texts)
    edited = texts | {Path("3.html"): texts[Path("3.html")].replace("text of", "other text of")}
    new_blocks, new_pieces = page_pieces.split(edited)

    assert new_blocks == blocks
    assert [page for page in texts if new_pieces[page] != pieces[page]] == [Path("3.html")]
    assert len(str(pieces[Path("3.html")])) < 100


def test_every_page_names_its_copy_and_asks_for_its_scripts(site):
    """Pages and scripts of two copies cannot come together: what is another copy's has another name."""
    version = version_of(site)
    for page in site.rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert f'data-copy="{version}"' in text
        assert f'browser-{version}/offline.js"' in text
        assert MARK not in text
        piece = page.with_name(page.name + ".json").read_text(encoding="utf-8")
        assert version not in piece
    assert MARK in (site / "pages/blocks.json").read_text(encoding="utf-8")
    assert not (site / "browser").exists()


def test_a_copy_without_a_stamp_or_with_two_is_said(site):
    (site / "browser-0123456789abcdef").mkdir()
    with pytest.raises(LookupError, match="2 stamps"):
        version_of(site)
