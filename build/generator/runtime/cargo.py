"""What is packed beside the runtime: our modules, in two parts, and libraries that go along.

The first part is all that a page of answers needs, and is loaded when Python starts. The second is
fetched after it and loaded when something in it is first asked for; nothing of the first imports
it but by name, when asked.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from generator.runtime.archives import files_below

PACKAGE = "calculators"
# Modules and folders of the package that make up its second part; what is not there is no error, as
# each comes with a piece of work of its own.
LATER = (
    "browser/screens.py",
    "browser/study.py",
    "browser/worksheets.py",
    "equipment/faults",
    "finding",
    "questions/fault_shown",
    "questions/find_fault",
    "rendering/screens.py",
    "rendering/study.py",
    "rendering/worksheets.py",
    "study",
    "worksheets",
)
_LEFT_OUT = (".pyc", ".md")
# The command line is of no use in a page.
DESK_ONLY = ("__main__.py", "cli.py")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cargo:
    """A package to pack, and the requests that lead through all of it.

    The worker asks `self_test` of a Python that it took from a snapshot.
    """

    package: Path
    self_test: str
    requests: Sequence[str]
    streams: Sequence[str] = ()
    later: Sequence[str] = ()
    """Its modules and folders that make up the second part, by their path inside it."""
    libraries: Mapping[str, bytes] = field(default_factory=dict)
    """Modules of libraries for the second part, by their path beside the package."""

    @property
    def first_files(self) -> dict[str, bytes]:
        """The modules of the first part and the data beside them, by their path beside the package."""
        return {name: body for name, body in self._files().items() if not self._is_later(name)}

    @property
    def later_files(self) -> dict[str, bytes]:
        """The same of the second part, with the libraries."""
        ours = {name: body for name, body in self._files().items() if self._is_later(name)}
        return {**ours, **(self.libraries if ours else {})}

    @property
    def later_modules(self) -> list[str]:
        """The names under which the second part is first imported: modules and whole packages."""
        names = (f"{PACKAGE}/{one}" for one in self.later if self._has(f"{PACKAGE}/{one}"))
        return sorted(module_name(name) for name in names)

    def _has(self, place: str) -> bool:
        return any(_is_at(name, place) for name in self._files())

    def _is_later(self, name: str) -> bool:
        return any(_is_at(name, f"{PACKAGE}/{one}") for one in self.later)

    def _files(self) -> dict[str, bytes]:
        return {
            f"{PACKAGE}/{name}": body
            for name, body in files_below(self.package).items()
            if "__pycache__" not in name and not name.endswith(_LEFT_OUT) and name not in DESK_ONLY
        }


def module_names(files: Mapping[str, bytes]) -> list[str]:
    """Give the names of the modules among some files of our package, or beside it."""
    return [module_name(name) for name in files if name.endswith(".py")]


def module_name(path: str) -> str:
    """Give a module's name.

    >>> module_name("calculators/air/__init__.py"), module_name("calculators/finding")
    ('calculators.air', 'calculators.finding')
    """
    return path.removesuffix(".py").replace("/", ".").removesuffix(".__init__")


def _is_at(name: str, place: str) -> bool:
    return name == place or name.startswith(f"{place}/")
