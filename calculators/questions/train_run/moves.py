"""A list of moves as a person writes it: "0 s service 10; 60 s release".

Each entry is a time from the start of the run and a move; entries are parted by semicolons. What
cannot be read is an error that quotes the entry and says what is known.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from calculators.base.errors import InputError
from calculators.base.fields import typed
from calculators.base.quantities import Piece, Quantity, Text
from calculators.base.results import Phrase, Value, psi, say
from calculators.equipment.train import Command

FIELD = "moves"
LONGEST_RUN = 10_800.0
"""Longest run that is offered: three hours. [s]"""
MOST_MOVES = 20

MOVES = Text(
    term="Moves",
    help=(
        "Takes the place of the move above. A time from the start, then the move; part the entries "
        "with semicolons. A reduction is the total off the setting: 10, then 6 more, is service 16."
    ),
    group="A list of moves",
    blank="the move above",
    pieces=(
        Piece(words="Service", text="{at} s service {figure} psi", figure="Total off, psi"),
        Piece(words="Release", text="{at} s release"),
        Piece(words="Emergency from the head", text="{at} s emergency head"),
        Piece(words="Emergency from the rear", text="{at} s emergency rear"),
        Piece(words="Emergency from both ends", text="{at} s emergency both"),
        Piece(words="Emergency from a car", text="{at} s emergency car {figure}", figure="Car"),
        Piece(words="Cut the brake valve out: lap, not maintained", text="{at} s cut out"),
        Piece(words="Cut the brake valve in", text="{at} s cut in"),
        Piece(
            words="Close the angle cock behind a car",
            text="{at} s close angle cock {figure}",
            figure="Car ahead of it, 0 the locomotive",
        ),
        Piece(
            words="Open the angle cock behind a car",
            text="{at} s open angle cock {figure}",
            figure="Car ahead of it, 0 the locomotive",
        ),
    ),
)

_TIME = Quantity(term="The time of a move", unit="s", low=0, high=LONGEST_RUN)
_OFF = Quantity(term="The reduction of a move", unit="psi", low=1, high=110)
_OPEN = Quantity(term="The opening of a cock", unit="%", low=0, high=99)

_ENTRY = re.compile(
    r"(?:at\s+)?(?P<at>[0-9](?:[0-9.,]*[0-9])?\s*(?:s|sec|seconds?|min|minutes?|h|hours?)?)[\s,:]+(?P<move>\S.*)",
    re.IGNORECASE,
)
_SERVICE = re.compile(r"(?:service|set|reduce)\s+(?:by\s+)?(?P<off>\S.*)", re.IGNORECASE)
_RELEASE = re.compile(r"release", re.IGNORECASE)
_EMERGENCY = re.compile(
    r"emergency(?:\s+(?:from|at))?(?:\s+the)?"
    r"(?:\s+(?P<place>head|rear|both)(?:\s+ends)?|\s+(?:a\s+)?car\s+(?P<car>[0-9]{1,4}))?",
    re.IGNORECASE,
)
_CUT = re.compile(r"cut[\s-]?(?P<way>out|in)", re.IGNORECASE)
_COCK = re.compile(
    r"(?P<way>close|open)(?:\s+the)?(?:\s+angle)?\s+cock(?:\s+behind)?(?:\s+car)?"
    r"\s+(?P<car>[0-9]{1,4})(?:\s+to\s+(?P<open>\S.*))?",
    re.IGNORECASE,
)


def read_moves(text: str, *, cars: int) -> tuple[Command, ...]:
    """Read a list of moves.

    Parameters
    ----------
    text
        The list as written.
    cars
        Cars in the train; a move that names another is refused.

    Returns
    -------
    tuple of Command
        In order of time.

    Raises
    ------
    InputError
        If an entry cannot be read, or there are too many.

    Examples
    --------
    >>> [move.action for move in read_moves("1 min release; 0 s service 10", cars=5)]
    ['service', 'release']
    """
    entries = [entry.strip() for entry in text.split(";") if entry.strip()]
    if len(entries) > MOST_MOVES:
        raise InputError(
            FIELD, f"{MOVES.term} has {len(entries)} entries; at most {MOST_MOVES} are read."
        )
    return tuple(sorted((_move(entry, cars) for entry in entries), key=lambda m: m.at_seconds))


def _move(entry: str, cars: int) -> Command:
    parts = _ENTRY.fullmatch(entry)
    if parts is None:
        raise InputError(
            FIELD,
            f'{MOVES.term} has "{_shown(entry)}"; begin an entry with its time, for example '
            '"0 s service 10".',
        )
    at = typed(FIELD, _TIME, parts["at"]).value
    for pattern, make in _READERS:
        found = pattern.fullmatch(parts["move"].strip())
        if found is not None:
            return make(found, at, cars)
    raise InputError(
        FIELD,
        f'{MOVES.term} has "{_shown(entry)}"; the moves are: service 10, release, emergency '
        "(head, rear, both or car 7), cut out, cut in, close angle cock 7, open angle cock 7.",
    )


def _service(found: re.Match[str], at: float, _cars: int) -> Command:
    return Command(
        at_seconds=at, action="service", reduction=typed(FIELD, _OFF, found["off"]).value
    )


def _release(_found: re.Match[str], at: float, _cars: int) -> Command:
    return Command(at_seconds=at, action="release")


def _emergency(found: re.Match[str], at: float, cars: int) -> Command:
    if found["car"]:
        return Command(at_seconds=at, action="emergency", at=_car(found["car"], cars, least=1))
    place = (found["place"] or "head").lower()
    assert place in ("head", "rear", "both")
    return Command(at_seconds=at, action="emergency", at=place)  # type: ignore[arg-type]


def _cut(found: re.Match[str], at: float, _cars: int) -> Command:
    return Command(at_seconds=at, action="cut-in" if found["way"].lower() == "in" else "cut-out")


def _cock(found: re.Match[str], at: float, cars: int) -> Command:
    behind = _car(found["car"], cars, least=0)
    if found["way"].lower() == "open":
        return Command(at_seconds=at, action="open-angle-cock", behind_car=behind)
    opening = typed(FIELD, _OPEN, found["open"]).value / 100.0 if found["open"] else 0.0
    return Command(at_seconds=at, action="close-angle-cock", behind_car=behind, opening=opening)


_READERS: tuple[tuple[re.Pattern[str], Callable[[re.Match[str], float, int], Command]], ...] = (
    (_SERVICE, _service),
    (_RELEASE, _release),
    (_EMERGENCY, _emergency),
    (_CUT, _cut),
    (_COCK, _cock),
)


def _car(text: str, cars: int, *, least: int) -> int:
    car = int(text)
    if not least <= car <= cars:
        raise InputError(
            FIELD, f"{MOVES.term} names car {car}; this train has cars {least} to {cars}."
        )
    return car


def _shown(entry: str) -> str:
    printable = "".join(character for character in entry if character.isprintable())
    return f"{printable[:40]}{'…' if len(printable) > 40 else ''}"


def moves_words(commands: tuple[Command, ...]) -> Iterator[Phrase]:
    """Each move as a sentence."""
    for command in commands:
        at = Value(command.at_seconds, "s")
        match command.action:
            case "service":
                yield say("At {at} service, {off} off", at=at, off=psi(command.reduction))
            case "emergency":
                yield say("At {at} emergency from {place}", at=at, place=_place(command))
            case "close-angle-cock":
                car = _behind(command)
                if command.opening == 0.0:
                    yield say("At {at} the angle cock behind {car} is closed", at=at, car=car)
                    continue
                yield say(
                    "At {at} the angle cock behind {car} is closed but for {open} of its opening",
                    at=at,
                    car=car,
                    open=Value(100.0 * command.opening, "%"),
                )
            case "open-angle-cock":
                yield say("At {at} the angle cock behind {car} opens", at=at, car=_behind(command))
            case "release":
                yield say("At {at} release", at=at)
            case _:
                way = command.action.removeprefix("cut-")
                yield say("At {at} the brake valve is cut {way}", at=at, way=way)


def _place(command: Command) -> str:
    if isinstance(command.at, int):
        return f"car {command.at}"
    return {"head": "the head", "rear": "the rear", "both": "both ends"}[command.at]


def _behind(command: Command) -> str:
    return f"car {command.behind_car}" if command.behind_car else "the locomotive"
