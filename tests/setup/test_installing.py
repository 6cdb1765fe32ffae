"""Installing: a step that fails says why and what to do, a finished one is not done again."""

import sys
from pathlib import Path
from typing import Any

import pytest

from generator.setup import browsers, debian, environment, node, places, stamps
from generator.setup.places import Places
from generator.setup.steps import SetupError, run


@pytest.fixture
def project(tmp_path: Path) -> Places:
    """A project with nothing installed."""
    places = Places(root=tmp_path)
    places.locks.mkdir(parents=True)
    for name in ("site", "test", "node"):
        places.python_lock(name).write_text(f"# {name}\n", encoding="utf-8")
    return places


def pretend_environment(project: Places) -> None:
    """Put a Python where the environment's is looked for."""
    project.environment_python.parent.mkdir(parents=True)
    project.environment_python.symlink_to(sys.executable)


def pretend_finished(project: Places, name: str) -> Path:
    """Say that the environment holds a lock; gives the stamp that says so."""
    pretend_environment(project)
    stamp = project.environment / "locked" / name
    stamps.write(stamp, stamps.key_of(project.python_lock(name)))
    return stamp


def test_an_environment_that_was_stopped_while_it_was_made_is_made_again(
    project: Places, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Python is there before pip: without a stamp nothing says that pip came."""
    pretend_environment(project)
    monkeypatch.setattr(environment, "run", _refuse)

    with pytest.raises(AssertionError, match="Making the project's Python environment"):
        environment.prepare(project, "test")


def test_what_is_fetched_is_kept_inside_the_project(
    project: Places, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("PIP_CACHE_DIR", "npm_config_cache", "HOME"):
        monkeypatch.delenv(name, raising=False)

    kept = places.keeping_downloads(project)

    for name in ("PIP_CACHE_DIR", "npm_config_cache"):
        assert Path(kept[name]).is_relative_to(project.work)
    monkeypatch.setenv("PIP_CACHE_DIR", "/elsewhere")
    assert places.keeping_downloads(project)["PIP_CACHE_DIR"] == "/elsewhere"


@pytest.mark.parametrize("fetching", [environment._install, node._install])
def test_whatever_fetches_is_told_where_to_keep_it(
    project: Places, monkeypatch: pytest.MonkeyPatch, fetching: Any
) -> None:
    told: list[dict[str, str]] = []
    pretend_environment(project)
    for name in ("package.json", "package-lock.json"):
        (project.build / name).write_text("{}", encoding="utf-8")

    def note(title: str, *_: object, variables: Any = None, **__: object) -> None:
        if title.startswith("Installing"):
            told.append(variables)

    monkeypatch.setattr(environment, "run", note)
    monkeypatch.setattr(node, "run", note)
    monkeypatch.setenv("npm_config_cache", str(project.work / "cache" / "npm"))
    monkeypatch.setenv("PIP_CACHE_DIR", str(project.work / "cache" / "pip"))

    fetching(project, "test" if fetching is environment._install else node.RUNTIME)

    (variables,) = told
    assert (
        variables.items()
        >= {
            "PIP_CACHE_DIR": str(project.work / "cache" / "pip"),
            "npm_config_cache": str(project.work / "cache" / "npm"),
        }.items()
    )


def test_a_failing_step_shows_its_last_lines_and_the_advice(tmp_path: Path) -> None:
    program = "import sys; print('one'); print('no room left'); sys.exit(3)"

    with pytest.raises(SetupError) as caught:
        run(
            "Trying",
            [sys.executable, "-c", program],
            log=tmp_path / "log" / "trying.log",
            advice="Make room.",
        )

    words = str(caught.value)
    assert "Trying failed (exit 3). Make room." in words
    assert "no room left" in words


def test_a_program_that_is_not_there_is_named(tmp_path: Path) -> None:
    with pytest.raises(SetupError, match=r"could not start: .*no-such-program.* Install it\."):
        run("Trying", [tmp_path / "no-such-program"], log=tmp_path / "log", advice="Install it.")


def test_a_stamp_holds_only_for_the_content_it_was_written_for(tmp_path: Path) -> None:
    lock, stamp = tmp_path / "lock", tmp_path / "folder" / "stamp"
    lock.write_text("one", encoding="utf-8")
    stamps.write(stamp, stamps.key_of(lock))
    assert stamps.is_fresh(stamp, stamps.key_of(lock))

    lock.write_text("two", encoding="utf-8")

    assert not stamps.is_fresh(stamp, stamps.key_of(lock))


def test_an_environment_that_holds_the_lock_is_left_alone(
    project: Places, monkeypatch: pytest.MonkeyPatch
) -> None:
    pretend_finished(project, "test")
    monkeypatch.setattr(environment, "run", _refuse)

    environment.prepare(project, "test")
    environment.prepare(project, "site")  # The lock of the tests holds all of the site's.

    with pytest.raises(AssertionError, match="Installing the Python packages of node"):
        environment.prepare(project, "node")


def test_a_changed_lock_is_installed_again(
    project: Places, monkeypatch: pytest.MonkeyPatch
) -> None:
    stamp = pretend_finished(project, "test")
    project.python_lock("test").write_text("# newer\n", encoding="utf-8")
    monkeypatch.setattr(environment, "run", _refuse)

    with pytest.raises(AssertionError, match="Installing the Python packages of test"):
        environment.prepare(project, "test")

    assert not stamp.exists()


def test_without_venv_and_without_root_the_package_is_named(
    project: Places, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(environment, "_has_module", lambda name: False)
    monkeypatch.setattr(debian, "is_root", lambda: False)

    with pytest.raises(SetupError, match=r"apt-get install python3\.\d+-venv"):
        environment.prepare(project, "site")


def test_without_chromium_and_without_root_the_package_is_named(
    project: Places, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(project.root))
    monkeypatch.setattr(debian, "is_root", lambda: False)

    with pytest.raises(SetupError, match="apt-get install chromium"):
        browsers.prepare(project)
    with pytest.raises(SetupError, match="python3 build test"):
        browsers.chromium()


def test_another_chromium_will_do_and_the_quicker_one_is_asked_for_once(
    project: Places, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = project.root / "chromium"
    other.write_text("#!/bin/sh\n", encoding="utf-8")
    other.chmod(0o755)
    monkeypatch.setenv("PATH", str(project.root))
    monkeypatch.setattr(browsers, "DRIVER_LIBRARIES", {})
    monkeypatch.setattr(debian, "can_install", lambda: True)
    asked: list[object] = []

    def refuse(_: Places, packages: object, **__: object) -> None:
        asked.append(packages)
        raise SetupError("no line")

    monkeypatch.setattr(debian, "install", refuse)

    browsers.prepare(project)
    assert asked == []
    browsers.ask_once_for_windowless(project)
    browsers.ask_once_for_windowless(project)

    assert asked == [[browsers.WINDOWLESS]]
    assert browsers.chromium() == browsers.windowless() == other


@pytest.mark.parametrize("version", ["v18.20.4", "nonsense"])
def test_a_node_that_is_too_old_is_not_taken(
    project: Places, monkeypatch: pytest.MonkeyPatch, version: str
) -> None:
    for name in ("node", "npm"):
        program = project.root / name
        program.write_text(f"#!/bin/sh\necho {version}\n", encoding="utf-8")
        program.chmod(0o755)
    monkeypatch.setenv("PATH", f"{project.root}:/bin")
    monkeypatch.setattr(environment, "run", _refuse)
    pretend_finished(project, "test")
    node.on_the_machine.cache_clear()

    with pytest.raises(AssertionError, match="Installing the Python packages of node"):
        node.find(project)

    node.on_the_machine.cache_clear()


def _refuse(title: str, *_: object, **__: object) -> None:
    raise AssertionError(title)
