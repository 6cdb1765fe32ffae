"""What the `find-fault` question asks for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from calculators.answering.duty import DEVICE, DEVICE_CHOICE
from calculators.base.quantities import Choice, Option, Piece, Text
from calculators.declaring.inputs import Takes
from calculators.declaring.vocabulary import BrakePipeSetting
from calculators.finding.making import INDEPENDENT
from calculators.finding.series import GAUGE_WORDS, STAGES
from calculators.questions.shared.locomotive import EXAMPLE, LocomotiveInputs, full_independent
from calculators.questions.shared.train import JF_3, JF_7, TrainInputs

_OFTEN = ("charged", "ten-off", "ten-off-60", "thirty-off", "independent", "released")

OBSERVATIONS = Text(
    term="What was read and heard",
    help="Entries parted by semicolons: a stage, a gauge and its figure (ten-off cylinder 30), a sound "
    "(charged blows relay-exhaust), pistons (ten-off piston other-truck in), or a stage as usual "
    "(thirty-off usual; rest usual).",
    blank="nothing yet: the series begins",
    pieces=(
        *(
            Piece(
                words=f"{stage.title}: {words}",
                text=f"{stage.id} {gauge} {{figure}}",
                figure="What the gauge read",
            )
            for stage in STAGES
            if stage.id in _OFTEN
            for gauge, words in GAUGE_WORDS.items()
        ),
        Piece(words="All the rest as usual", text="rest usual"),
        *(
            Piece(words=f"Train, {words}", text=f"{text} {{figure}}", figure=figure)
            for words, text, figure in (
                ("10 off: exhaust blew for", "train-ten exhaust", "Seconds"),
                ("10 off: rear gauge", "train-ten rear", "psi"),
                ("20 off: exhaust blew for", "train-twenty exhaust", "Seconds"),
                ("20 off: rear gauge", "train-twenty rear", "psi"),
                ("10 off: cars that applied", "train-ten applied", "Cars"),
                ("released: rear gauge", "train-released rear", "psi"),
                ("charged: air flow", "train-charged flow", "cfm"),
            )
        ),
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class FindFaultInputs:
    """The inputs of `find-fault`, in their published order."""

    observations: Annotated[str, OBSERVATIONS] = ""
    secured: Annotated[
        str,
        Choice(
            term="Locomotive secured",
            options=(
                Option(value="no", words="not said"),
                Option(value="yes", words="secured, people told"),
            ),
            help="Checks on the ground are named only once it is, and on your railroad's device.",
        ),
    ] = "no"
    device: Annotated[
        str,
        Choice(
            term="Whose device this is",
            options=(Option(value="unsaid", words="not said"), *DEVICE_CHOICE.options),
            help="Checks on the ground are named only on one that your railroad supplied; on your own, "
            "study before and after, and print.",
            setting=DEVICE,
        ),
    ] = "unsaid"
    train: Annotated[TrainInputs, Takes("cars")] = JF_7
    brake_pipe_setting: BrakePipeSetting = JF_3.brake_pipe_setting
    independent: Annotated[
        float,
        full_independent(low=20, high=70),
    ] = INDEPENDENT
    locomotive: Annotated[
        LocomotiveInputs,
        Takes("service_limit", "multiplier", "minimum_reduction", "main_reservoir"),
    ] = EXAMPLE
