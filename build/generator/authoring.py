"""Everything that a page can embed, by name with an example: the list for authors, and its proof.

The page ``content/about/writing.md`` shows it; a test builds every example, and the block refuses to
be made while a kind of embed is missing here.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from calculators.rendering.elements import element, html
from generator.embeds import Block


@dataclass(frozen=True, slots=True, kw_only=True)
class Embed:
    """One kind of embed: what it puts into the page, and how it is written."""

    kind: str
    puts: str
    example: str


BLOCKS = (
    Embed(
        kind="calculator",
        puts="A calculator with its form and its answer, asked with the values below its name.",
        example="```calculator\nlocomotive-brake\nbrake_pipe_setting = 85\nreduction = 12\n```",
    ),
    Embed(
        kind="circuit",
        puts="A circuit, drawn for a move of the handles; the values are those of the circuit calculator.",
        example="```circuit\nservice-application\nreduction = 12\n```",
    ),
    Embed(
        kind="reference",
        puts="What a calculator declares: where its answer holds, what it leaves out, inputs, sources.",
        example="```reference\ncar-brake\n```",
    ),
    Embed(
        kind="published",
        puts="The published figures that a calculator is checked against, with ours beside them.",
        example="```published\ncar-brake\n```",
    ),
    Embed(
        kind="limits",
        puts="Limits by their names, parted by blanks; `all` is the whole list by subject.",
        example="```limits\nbrake-pipe-leakage air-flow\n```",
    ),
    Embed(
        kind="figures",
        puts="Figures that no regulation gives: `thresholds` of warnings, or `nominal` ones.",
        example="```figures\nthresholds\n```",
    ),
    Embed(
        kind="rules",
        puts="The rules of the regulation that the pages hold, by section.",
        example="```rules\nby-section\n```",
    ),
    Embed(
        kind="study",
        puts="Drills: `today`, `topics`, `share`, `progress`, `keep`, or the id of a topic for a set of its questions.",
        example="```study\ntests\n```",
    ),
    Embed(
        kind="protection",
        puts="The box that leads to the protection of people, before a page sends anyone to equipment.",
        example="```protection\nequipment\n```",
    ),
    Embed(
        kind="finding",
        puts="Fault finding: `series` and `train-series` as checklists, `complaints` from the parts' tables, `faults` by family, `family` with `of`: one family, drawn and in words.",
        example="```finding\ncomplaints\n```",
    ),
    Embed(
        kind="list",
        puts="A list read from a catalog: `calculators`, `circuits` or `train-bands`.",
        example="```list\ncalculators\n```",
    ),
    Embed(
        kind="glossary",
        puts="The glossary: `all` its terms, or its `abbreviations`.",
        example="```glossary\nabbreviations\n```",
    ),
    Embed(
        kind="lessons",
        puts="The reading order of `content/learn/order.toml`, chapter by chapter.",
        example="```lessons\nall\n```",
    ),
    Embed(
        kind="sources",
        puts="Every published text with what cites it.",
        example="```sources\nall\n```",
    ),
    Embed(
        kind="railroad",
        puts="The form of a railroad's own settings.",
        example="```railroad\nsettings\n```",
    ),
    Embed(
        kind="pocket-card",
        puts="The card of main figures.",
        example="```pocket-card\nmain-figures\n```",
    ),
    Embed(
        kind="licences",
        puts="The licenses of what is shipped.",
        example="```licences\nshipped\n```",
    ),
    Embed(
        kind="changes",
        puts="What changed, version by version, from `CHANGELOG.md`.",
        example="```changes\nversions\n```",
    ),
    Embed(
        kind="train-run",
        puts="The train in time, as the calculator of that name, with moves and moment set.",
        example="```train-run\nJF-3\ncars = 40\nseconds = 30\n```",
    ),
    Embed(
        kind="drill",
        puts="Questions with their answers folded up: topics or skills, how many, and the seed that draws them; the same seed draws the same questions.",
        example="```drill\nlocomotive\nnumber = 2\nseed = 7\n```",
    ),
    Embed(
        kind="fault",
        puts="A case of fault finding: the id of a fault that is put in and the stages that are read, worked out by the model; or `readings` with the line `observations`, in fault finding's own words. What fits is folded up under it.",
        example="```fault\nrelay-ratio-low\nstages = ten-off thirty-off independent\n```",
    ),
    Embed(
        kind="scenario",
        puts="The example's own record: its `trains`, its `line` or the `readings` of its day.",
        example="```scenario\nline\n```",
    ),
    Embed(
        kind="worksheet",
        puts="The form of a worksheet, begun with topics, number, seed, units and paper.",
        example="```worksheet\nform\ntopics = locomotive\nnumber = 5\n```",
    ),
    Embed(
        kind="class-screen",
        puts="The class screen with the plan of the example class.",
        example="```class-screen\nplan\n```",
    ),
    Embed(kind="embeds", puts="This list.", example="```embeds\nall\n```"),
)
INLINE = (
    Embed(
        kind="calculator.result",
        puts="A result of a calculator, or an input that it starts with, for the values behind it. It follows the settings of the reader's device, and a circuit on the same page.",
        example="{{ locomotive-brake.brake_cylinder reduction=12 }}",
    ),
    Embed(
        kind="example",
        puts="The same, kept to the example train and locomotive and marked so: for a sentence that is about these, or about where a figure comes from.",
        example="{{ example locomotive-brake.brake_cylinder reduction=12 }}",
    ),
    Embed(
        kind="limit",
        puts="A limit in words; `figure` leaves out its sense, `section` adds where it is written.",
        example="{{ limit brake-pipe-leakage section }}",
    ),
    Embed(
        kind="scenario",
        puts="A reading of the example's day.",
        example="{{ scenario air_flow }}",
    ),
    Embed(
        kind="timer",
        puts="A timer for the seconds of a limit, or for the minute of a fall a minute; it shows only on a device that the settings call the railroad's.",
        example="{{ timer leakage-test-wait }}",
    ),
    Embed(
        kind="source",
        puts="The issuer and the title of a published text.",
        example="{{ source CFR-232-205 }}",
    ),
)


def embeds_list(kinds: Collection[str], block: Block) -> str:
    """The list of all kinds, each with an example.

    Raises
    ------
    LookupError
        If another list is asked for, or a kind that can be embedded is not described.
    """
    if block.subject != "all":
        raise LookupError(f'the list of embeds is called "all", not "{block.subject}"')
    described = {embed.kind for embed in BLOCKS}
    if missing := set(kinds) ^ described:
        raise LookupError(f"described in authoring.py or made in site.py, not both: {missing}")
    return "\n\n".join(
        [
            "### Blocks",
            *(_entry(embed) for embed in BLOCKS),
            "### Inside a sentence",
            *(_entry(embed) for embed in INLINE),
        ]
    )


def _entry(embed: Embed) -> str:
    made = element(
        "div",
        element("p", element("strong", embed.kind), f": {embed.puts.replace('`', '')}"),
        element("pre", element("code", embed.example)),
        class_="embed-kind",
    )
    # No blank line may stand in it, or Markdown would take it apart.
    return html(made)
