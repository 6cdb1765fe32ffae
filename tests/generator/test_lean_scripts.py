"""Scripts without comments are the same scripts: both are read by a compiler and printed again."""

import subprocess
from pathlib import Path

from generator.lean_scripts import without_comments
from generator.setup import node
from generator.setup.places import Places

ROOT = Path(__file__).parents[2]
PROJECT = Places(root=ROOT)


def printed(texts: list[str], folder: Path) -> list[str]:
    """The scripts as the compiler writes them from what it has read, without any comment."""
    (folder / "in").mkdir(parents=True)
    for number, text in enumerate(texts):
        (folder / "in" / f"{number}.js").write_text(text, encoding="utf-8")
    compiler = node.package_folder(PROJECT, node.TEST_TOOLS, "typescript") / "bin" / "tsc"
    options = "--allowJs --noCheck --removeComments --target esnext --module esnext"
    files = sorted((folder / "in").iterdir())
    subprocess.run(
        [
            node.find(PROJECT).program,
            compiler,
            *options.split(),
            "--ignoreConfig",
            "--rootDir",
            folder / "in",
            "--outDir",
            folder / "out",
            *files,
        ],
        check=False,
        capture_output=True,
        timeout=120,
    )
    return [(folder / "out" / f"{n}.js").read_text(encoding="utf-8") for n in range(len(texts))]


def test_what_is_left_is_the_same_script(tmp_path: Path) -> None:
    texts = [file.read_text(encoding="utf-8") for file in (ROOT / "build/browser").rglob("*.js")]
    lean = [without_comments(text) for text in texts]
    assert len(texts) > 40
    assert sum(map(len, lean)) < 0.85 * sum(map(len, texts))

    assert printed(lean, tmp_path / "lean") == printed(texts, tmp_path / "whole")


def test_the_comparison_sees_a_lost_line(tmp_path: Path) -> None:
    text = 'const a = `\n// in a text\n`;\nrun("x");\n'

    one, other = printed([text, without_comments(text)], tmp_path)

    assert one != other
    assert "in a text" in one
