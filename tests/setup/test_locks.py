"""The locks: every file by its hash, no host, one set of versions."""

import json
import re
import tomllib
from pathlib import Path
from typing import Any

import pytest

from generator.setup import locks, node
from generator.setup.places import Places

ROOT = Path(__file__).parents[2]
PROJECT = Places(root=ROOT)
ANY_ADDRESS = re.compile(r"https?://\S+")
# Addresses that packages give for themselves, where money or problems may be sent.
OWN_WORDS_OF_PACKAGES = ("funding", "deprecated", "license")
NODE_SETS = (node.RUNTIME, node.TEST_TOOLS, node.BENCH_TOOLS)


def requirements(name: str) -> dict[str, list[str]]:
    """Read a Python lock: the lines of hashes by requirement."""
    found: dict[str, list[str]] = {}
    requirement = ""
    for line in PROJECT.python_lock(name).read_text(encoding="utf-8").splitlines():
        if line.startswith("#"):
            continue
        if line.startswith(" "):
            found[requirement].append(line.strip(" \\"))
        else:
            requirement = line.strip(" \\")
            found[requirement] = []
    return found


def node_lock(package_set: node.PackageSet) -> dict[str, Any]:
    """Read the lock of a set of Node packages."""
    file = PROJECT.build / package_set.lock_folder / "package-lock.json"
    lock: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    return lock


@pytest.mark.parametrize("name", locks.PYTHON_LOCKS)
def test_python_lock_pins_every_package_by_hash_and_names_no_host(name: str) -> None:
    found = requirements(name)

    assert found != {}
    assert [one for one in found if "==" not in one] == []
    assert [one for one, hashes in found.items() if not hashes] == []
    assert {line.split(":")[0] for lines in found.values() for line in lines} == {"--hash=sha256"}
    assert not ANY_ADDRESS.search(PROJECT.python_lock(name).read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", locks.PYTHON_LOCKS)
def test_python_lock_holds_what_its_group_asks_for(name: str) -> None:
    groups = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["dependency-groups"]
    asked = [entry for entry in groups[name] if isinstance(entry, str)]
    names = {re.split(r"[<>=~!;\[ ]", entry)[0].lower() for entry in asked}

    locked = {one.split("==")[0].lower() for one in requirements(name)}

    assert names - locked == set()


def test_one_environment_serves_the_site_and_the_tests() -> None:
    assert set(requirements("site")) <= set(requirements("test"))


@pytest.mark.parametrize("package_set", NODE_SETS, ids=lambda one: one.installed)
def test_node_lock_pins_every_package_by_hash_and_names_no_host(
    package_set: node.PackageSet,
) -> None:
    packages = {name: one for name, one in node_lock(package_set)["packages"].items() if name}

    assert packages != {}
    assert [name for name, one in packages.items() if "sha512-" not in one["integrity"]] == []
    assert [name for name, one in packages.items() if "resolved" in one] == []
    said = {
        name: {key: value for key, value in one.items() if key not in OWN_WORDS_OF_PACKAGES}
        for name, one in packages.items()
    }
    assert not ANY_ADDRESS.search(json.dumps(said))


@pytest.mark.parametrize("package_set", NODE_SETS, ids=lambda one: one.installed)
def test_node_lock_belongs_to_its_declaration(package_set: node.PackageSet) -> None:
    file = PROJECT.build / package_set.lock_folder / "package.json"
    declared = json.loads(file.read_text(encoding="utf-8"))["dependencies"]

    assert node_lock(package_set)["packages"][""]["dependencies"] == declared
    assert [version for version in declared.values() if not version[0].isdecimal()] == []
