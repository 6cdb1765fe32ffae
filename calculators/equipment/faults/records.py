"""What a fault is: what it changes, how large it can be, how it is proved, what is done about it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from calculators.equipment.running import Change, Setup

Where = Literal["cab", "ground", "shop"]
"""Where a check is made: only from the cab is it made without leaving it."""
WHERE_WORDS: Mapping[Where, str] = {
    "cab": "in the cab",
    "ground": "on the ground, secured",
    "shop": "in the shop",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """All that a fault of one size changes; the empty one is a locomotive in order.

    ``settings`` are added to the locomotive's own by name; ``least_independent`` is what pipe 20
    keeps with the handle in release [psi]; ``overcharge`` is how far above the setting all stood
    when it was charged [psi]; ``swing`` how far the regulating valve wanders either way [psi];
    ``offsets`` are the errors of gauges by name [psi]; ``seen_from`` is the truck that the gauge
    shows, if it is not the first.
    """

    change: Change = field(default_factory=Change)
    settings: Mapping[str, float] = field(default_factory=dict)
    offsets: Mapping[str, float] = field(default_factory=dict)
    least_independent: float = 0.0
    overcharge: float = 0.0
    swing: float = 0.0
    seen_from: Literal[1, 2] = 1

    def put_in(self, setup: Setup) -> Setup:
        """The same locomotive with this wrong; gauges and handles are the reader's affair."""
        equipment = setup.equipment
        changed = {name: getattr(equipment, name) + by for name, by in self.settings.items()}
        start = setup.starting_pressure
        if self.overcharge:
            start = equipment.brake_pipe_setting + self.overcharge
        made = replace(equipment, **changed)
        if made.main_reservoir < made.brake_pipe_setting:
            # Nothing was ever charged above what feeds it.
            start = min(start or made.brake_pipe_setting, made.main_reservoir)
        return replace(
            setup,
            equipment=made,
            starting_pressure=start,
            change=self.change,
        )


SOUND = Wrong()


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """A look, a sound or an act that tells a fault from others with the same gauges."""

    words: str
    where: Where
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Family:
    """Faults of one part or one effect, as they stand together on a page."""

    id: str
    title: str

    @property
    def page(self) -> str:
        """The address of its page, from the site's root."""
        return f"faults/{self.id}/"


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing that can be wrong with a locomotive's brake.

    Attributes
    ----------
    title
        What is wrong, in a few words.
    family, part, circuit
        Where it stands: a family by id, the page of the part, the circuit that shows it.
    wrong
        What it changes when it is so large.
    largest, smallest
        The sizes between which it is looked for, in ``unit``; both 1 if it is there or is not. The
        smallest that gauges can show is found by the model.
    unit
        ``in`` (the diameter of a hole), ``psi``, ``share``, or empty.
    heard
        Where its own leak is heard, if it has one to the outside.
    complete
        What it is at its largest, in words.
    proof, remedy
        What proves it, and what is done within the railroad's rules.
    sources
        Where a sentence of the trade stands for it: ids of the source list, or nothing.
    """

    id: str
    title: str
    family: str
    part: str
    circuit: str
    wrong: Callable[[float], Wrong]
    smallest: float = 1.0
    largest: float = 1.0
    unit: str = ""
    heard: str = ""
    complete: str = ""
    proof: Proof
    remedy: str
    sources: tuple[str, ...] = ()

    @property
    def graded(self) -> bool:
        """Whether it can be small or large, and not only there or not."""
        return self.smallest < self.largest


OF_TRAIN = Family(id="train", title="Cars and cocks of the train")
"""The one family whose faults are of the train, looked for by its own series."""

FAMILIES = (
    Family(id="equalizing-reservoir", title="Equalizing reservoir"),
    Family(id="brake-valve", title="Brake valve and cut-off"),
    Family(id="regulating", title="Regulating valve and main reservoir"),
    Family(id="brake-pipe", title="Brake pipe leaks"),
    Family(id="control-reservoir", title="Control reservoir"),
    Family(id="automatic-lost", title="No automatic brake on the locomotive"),
    Family(id="too-much-too-little", title="Too much or too little in the cylinder"),
    Family(id="independent", title="Independent brake"),
    Family(id="relay", title="Relay valve"),
    Family(id="bail-off", title="Bail-off does nothing"),
    Family(id="one-truck", title="One truck"),
    Family(id="gauges", title="A gauge that reads wrong"),
    OF_TRAIN,
)
