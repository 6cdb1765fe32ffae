"""Start-up of `python3 build`: any Python in, the project's own environment out.

The steps: refuse a Python that is too old, make the generator importable, read the words of the
command, make the environment that its verb needs, go on inside that environment.
Everything here runs on whatever `python3` is, before any package is installed.
"""

import errno
import sys
from pathlib import Path

OLDEST_PYTHON = (3, 11)
CANNOT_WRITE = (errno.EACCES, errno.EPERM, errno.EROFS, errno.ENOSPC, errno.EDQUOT)
BUILD = Path(__file__).resolve().parent


def main(words: "list[str]") -> int:
    """Carry out the command and return its exit status."""
    if sys.version_info < OLDEST_PYTHON:
        return refuse_old_python()
    make_generator_importable()
    # Imported only now: these modules are written for the Python that was just asked for.
    from generator import verbs
    from generator.setup import environment, places, steps

    order = verbs.read(words)
    project = places.Places(root=BUILD.parent)
    try:
        environment.prepare(project, order.verb.python_lock)
        if not environment.is_inside(project):
            environment.go_on_inside(project, BUILD, words)
        return verbs.carry_out(order, project)
    except steps.SetupError as error:
        print(f"\nStopped: {error}", file=sys.stderr)
        return 1
    except OSError as error:
        if error.errno not in CANNOT_WRITE:
            raise
        print(
            f"\nStopped: {error.filename}: {error.strerror}. The command writes into .work/ and site/ "
            f"of {BUILD.parent}: this user must be able to, and there must be room.",
            file=sys.stderr,
        )
        return 1
    except KeyboardInterrupt:
        print("\nStopped by the keyboard.", file=sys.stderr)
        return 130


def refuse_old_python() -> int:
    """Say which Python is needed and which one this is."""
    needed = ".".join(str(part) for part in OLDEST_PYTHON)
    running = ".".join(str(part) for part in sys.version_info[:3])
    print(
        f"This project needs Python {needed} or newer, and this is Python {running} "
        f"({sys.executable}).\nRun it with a newer one, for example: python{needed} build",
        file=sys.stderr,
    )
    return 2


def make_generator_importable() -> None:
    """Put the build folder and the project's root last on the import path.

    A folder that is run stands first on the path, where a file in it could hide a module of
    the standard library; last, it can hide nothing.
    """
    sys.path[:] = [entry for entry in sys.path if Path(entry).resolve() != BUILD]
    sys.path += [str(BUILD), str(BUILD.parent)]


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
