"""Running one step of the set-up: a title, a sign of life, a reason when it fails."""

import subprocess
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

SIGN_OF_LIFE_SECONDS = 15
LINES_OF_A_FAILURE = 25


class SetupError(Exception):
    """Something the project needs is missing; the message says what to do about it."""


def run(
    title: str,
    command: Sequence[str | Path],
    *,
    log: Path,
    advice: str,
    folder: Path | None = None,
    variables: Mapping[str, str] | None = None,
) -> None:
    """Run `command`, keeping its output in `log`.

    Raises
    ------
    SetupError
        If the command cannot be started or fails: its last lines and the `advice`.
    """
    print(f"- {title} ...", flush=True)
    started = time.monotonic()
    log.parent.mkdir(parents=True, exist_ok=True)
    with log.open("wb") as output:
        try:
            process = subprocess.Popen(
                [str(word) for word in command],
                cwd=folder,
                env=variables,
                stdin=subprocess.DEVNULL,
                stdout=output,
                stderr=subprocess.STDOUT,
            )
        except OSError as error:
            raise SetupError(f"{title} could not start: {error}. {advice}") from error
        status = _wait(process, started)
    if status != 0:
        raise SetupError(
            f"{title} failed (exit {status}). {advice}\n"
            f"The last lines of its output ({log}):\n{_last_lines(log)}"
        )
    print(f"  done in {time.monotonic() - started:.0f} s", flush=True)


def _wait(process: "subprocess.Popen[bytes]", started: float) -> int:
    try:
        while True:
            try:
                return process.wait(timeout=SIGN_OF_LIFE_SECONDS)
            except subprocess.TimeoutExpired:
                print(f"  still at it after {time.monotonic() - started:.0f} s", flush=True)
    finally:
        if process.poll() is None:
            process.terminate()
            process.wait()


def _last_lines(log: Path) -> str:
    lines = log.read_text(encoding="utf-8", errors="replace").splitlines()
    return "\n".join(f"  | {line}" for line in lines[-LINES_OF_A_FAILURE:])
