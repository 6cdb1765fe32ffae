"""Where installed packages would lie; the page installs none, and what installs them is left out."""

from site import getsitepackages

# Not used here, but the runtime takes a snapshot only of a Python that holds it.
from pyodide_js import loadedPackages


class _Folder:
    """A path that is only ever said."""

    def __init__(self, path: str) -> None:
        self._path = path

    def __str__(self) -> str:
        return self._path


SITE_PACKAGES = _Folder(getsitepackages()[0])
DSO_DIR = _Folder("/usr/lib")


def init_loaded_packages() -> None:
    """Note the packages that came with the runtime: none."""
