"""Where things lie in the project."""

import os
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """The folders of one copy of the project, named from its root."""

    root: Path

    @property
    def build(self) -> Path:
        """The folder that is run as `python3 build`."""
        return self.root / "build"

    @property
    def locks(self) -> Path:
        """The hashed lock files."""
        return self.build / "locks"

    @property
    def site(self) -> Path:
        """The built site."""
        return self.root / "site"

    @property
    def work(self) -> Path:
        """Environments, logs and build products: everything that may be thrown away."""
        return self.root / ".work"

    @property
    def environment(self) -> Path:
        """The project's own Python environment."""
        return self.work / "venv"

    @property
    def environment_python(self) -> Path:
        """The Python of that environment."""
        return self.environment / "bin" / "python"

    @property
    def test_times(self) -> Path:
        """What the last whole run of the tests wrote down of their times, in the JUnit form."""
        return self.work / "log" / "tests.xml"

    def python_lock(self, name: str) -> Path:
        """Name the lock file of a dependency group of pyproject.toml."""
        return self.locks / f"{name}.txt"


def keeping_downloads(project: Places) -> dict[str, str]:
    """Give the variables under which pip and npm keep what they fetch inside the project.

    Their own caches lie in the user's home, which may be missing, full or not ours to fill; who
    has named a place for them is heeded.
    """
    cache = project.work / "cache"
    named = {"PIP_CACHE_DIR": str(cache / "pip"), "npm_config_cache": str(cache / "npm")}
    return {**named, **os.environ}
