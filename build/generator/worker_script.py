"""The service worker as one script, joined from its modules.

Not every browser runs a service worker that is a module, so the modules below
`browser/service-worker/`, and what they share with the pages' scripts, are put into one scope here:
each once, behind those that it imports from. Only the plain forms of import and export are known;
anything else stops the build, and so does a name that two modules give away at their top.
"""

import re
from pathlib import Path

ENTRY = "main.js"

_IMPORT = re.compile(r'^import (?:\{([^}]*)\} from )?"(\.[^"]+)";\n', re.MULTILINE)
_EXPORT = re.compile(r"^export (?=(?:async function|function|const|let|class) )", re.MULTILINE)
_UNKNOWN = re.compile(r"^\s*(?:import|export)\b[^\n]*", re.MULTILINE)
_TOP = re.compile(r"^(?:async function|function|const|let|class) (\w+|\[[^\]]*\])", re.MULTILINE)
_COMMENT = re.compile(r"^[ \t]*(?:/\*\*(?:(?!\*/).)*\*/|//[^\n]*)\n", re.MULTILINE | re.DOTALL)
_NAME = re.compile(r"\w+")


class JoinError(ValueError):
    """The modules cannot be put into one script; says which, and why."""


def joined(folder: Path) -> str:
    """Give the modules that are reached from `main.js` in a folder, as one script.

    Comments, and lines that hold nothing else, stay in the modules.

    Raises
    ------
    JoinError
        If a module imports or exports in a way not known here, wants what another does not
        export, or two have the same name at their top.
    """
    texts: dict[Path, str] = {}
    _read(folder / ENTRY, texts, ())
    owners: dict[str, Path] = {}
    for path, text in texts.items():
        for names in _TOP.findall(text):
            for name in _NAME.findall(names):
                if owners.setdefault(name, path) != path:
                    raise JoinError(f"{path.name} and {owners[name].name} both have {name}")
    return "".join(texts.values())


def _read(path: Path, texts: dict[Path, str], above: tuple[Path, ...]) -> None:
    path = path.resolve()
    if path in above:
        raise JoinError(f"{path.name} imports itself by way of {above[-1].name}")
    if path in texts:
        return
    text = _COMMENT.sub("", path.read_text(encoding="utf-8"))
    for names, address in _IMPORT.findall(text):
        source = path.parent / address
        _read(source, texts, (*above, path))
        exported = _exported(source)
        if missing := sorted({*_NAME.findall(names)} - exported):
            raise JoinError(f"{path.name} wants {', '.join(missing)} of {source.name}")
        if " as " in names:
            raise JoinError(f"{path.name} gives an import another name")
    bare = _EXPORT.sub("", _IMPORT.sub("", text))
    if unknown := _UNKNOWN.search(bare):
        raise JoinError(f"{path.name}: {unknown[0].strip()}")
    texts[path] = bare.strip("\n") + "\n"


def _exported(path: Path) -> set[str]:
    found = re.findall(
        r"^export (?:async function|function|const|let|class) (\w+)",
        path.read_text(encoding="utf-8"),
        re.MULTILINE,
    )
    return set(found)
