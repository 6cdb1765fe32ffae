"""The locks: every file by its hash, no host, one set of versions."""

import json
import re
import tomllib
from collections.abc import Iterable, Mapping
from importlib.metadata import requires
from pathlib import Path
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

from generator.setup import environment, locks, node
from generator.setup.places import Places

ROOT = Path(__file__).parents[2]
PROJECT = Places(root=ROOT)
ANY_ADDRESS = re.compile(r"https?://\S+")
# Addresses that packages give for themselves, where money or problems may be sent.
OWN_WORDS_OF_PACKAGES = ("funding", "deprecated", "license")
NODE_SETS = (node.RUNTIME, node.PAGE_SCRIPTS, node.TEST_TOOLS, node.BENCH_TOOLS)


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


def left_out(asked: Mapping[str, Iterable[str]]) -> set[str]:
    """What packages want by another's extra and no package of the lock brings.

    ``asked`` are the packages of a lock, each with the requirements that it declares itself.
    """
    wanted = [
        (Requirement(line).name, extra)
        for lines in asked.values()
        for line in lines
        if applies(line, "")
        for extra in Requirement(line).extras
    ]
    return {
        f"{name}[{extra}] brings {Requirement(line).name}"
        for name, extra in wanted
        for line in asked.get(canonicalize_name(name), ())
        if applies(line, extra) and not applies(line, "")
        if canonicalize_name(Requirement(line).name) not in asked
    }


def applies(line: str, extra: str) -> bool:
    """Whether a requirement holds here, where its package is asked for with the extra."""
    marker = Requirement(line).marker
    return marker is None or marker.evaluate({"extra": extra})


def test_a_lock_names_what_the_extras_bring_that_its_packages_ask_for() -> None:
    """Without that, set-up would depend on what the index holds today."""
    locked = {canonicalize_name(one.split("==")[0]) for one in requirements("test")}
    installed = {str(name): requires(name) or [] for name in sorted(locked)}

    assert left_out(installed) == set()


def test_a_lock_without_what_an_extra_brings_is_refused() -> None:
    lock = {
        "reporter": ["measure[files]>=7", 'other[more]; extra == "unasked"'],
        "measure": ['reader; extra == "files"', "base"],
        "base": (),
        "other": ['another; extra == "more"'],
    }
    assert left_out(lock) == {"measure[files] brings reader"}
    assert left_out(lock | {"reader": ()}) == set()


def test_a_remade_lock_keeps_the_extras(monkeypatch: pytest.MonkeyPatch) -> None:
    """The tool that makes the locks is told so; left to itself it strips them."""
    told: list[list[Any]] = []
    monkeypatch.setattr(locks, "run", lambda title, command, **_: told.append(command))
    monkeypatch.setattr(environment, "prepare", lambda *_: None)
    monkeypatch.setattr(locks, "_remake_node_lock", lambda *_: None)

    locks.remake(PROJECT)

    assert len(told) == len(locks.PYTHON_LOCKS)
    assert all("--no-strip-extras" in command for command in told)


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
