"""The service worker joined from its modules."""

import subprocess
from pathlib import Path

import pytest

from generator.offline import BROWSER
from generator.setup import node
from generator.setup.places import Places
from generator.worker_script import JoinError, joined

ROOT = Path(__file__).parents[2]


def write(folder: Path, **modules: str) -> Path:
    for name, text in modules.items():
        (folder / f"{name}.js").write_text(text, encoding="utf-8")
    return folder


def run(script: str) -> str:
    program = node.find(Places(root=ROOT)).program
    done = subprocess.run(
        [program, "-e", script], check=True, capture_output=True, text=True, timeout=60
    )
    return done.stdout.strip()


def test_each_module_stands_once_and_behind_what_it_needs(tmp_path: Path) -> None:
    folder = write(
        tmp_path,
        main='// @ts-check\nimport { one } from "./one.js";\nimport { two } from "./two.js";\n'
        "console.log(one + two());\n",
        one="/** Words.\n * @type {number} */\nexport const one = /** @type {number} */ (1);\n",
        two='import {\n  one,\n} from "./one.js";\n\n/** @returns {number} */\n'
        "export function two() {\n  // Why.\n  return one + one;\n}\n",
    )

    script = joined(folder)

    assert script.count("const one") == 1
    assert "Words" not in script
    assert "Why" not in script
    assert run(script) == "3"


@pytest.mark.parametrize(
    ("main", "other", "words"),
    [
        ('import * as all from "./other.js";\n', "", "import * as all"),
        ('import { a as b } from "./other.js";\n', "export const a = 1, b = 2;\n", "main.js"),
        ('import { b } from "./other.js";\n', "export const a = 1;\n", "wants b of other.js"),
        ('import "./other.js";\nconst a = 1;\n', "const a = 2;\n", "both have a"),
        ('import "./other.js";\n', 'import "./main.js";\n', "imports itself"),
        ('import "./other.js";\n', "export default 1;\n", "export default 1"),
        ('import "./other.js";\n', "export { a };\n", "export { a }"),
    ],
)
def test_what_is_not_known_is_refused(tmp_path: Path, main: str, other: str, words: str) -> None:
    folder = write(tmp_path, main=main, other=other)

    with pytest.raises(JoinError) as refused:
        joined(folder)
    assert words in str(refused.value)


def test_the_service_worker_is_one_script_that_can_be_read(tmp_path: Path) -> None:
    script = tmp_path / "worker.js"
    script.write_text(joined(BROWSER / "service-worker"), encoding="utf-8")

    program = node.find(Places(root=ROOT)).program
    subprocess.run([program, "--check", script], check=True, timeout=60)
    assert "respondWith" in script.read_text(encoding="utf-8")
