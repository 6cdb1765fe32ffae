"""The locomotive's parts on their sheets, in flow order: supply, command, train, locomotive.

One sheet for a unit in control, one for a trailing unit, one for a unit hauled dead; the parts
they share stand at the same places. The symbols are those of ISO 1219-1. Pipe numbers are those
that were read (49 CFR does not number them): 1 brake pipe, 5 equalizing reservoir, 12, 13, 15,
20 [S], 16 [P].
"""

from __future__ import annotations

from calculators.circuits.description import Band, Component, Joint, Lettering, Sheet

WIDTH, HEIGHT = 360.0, 832.0

PIPES = {
    "1": "brake pipe",
    "5": "equalizing reservoir",
    "12": "main reservoir in emergency",
    "13": "actuating",
    "15": "regulated air",
    "16": "automatic application",
    "20": "independent",
}
"""What carries each number that a sheet prints."""

BANDS = (
    Band(name="Supply", top=0.0, bottom=96.0),
    Band(name="Command", top=96.0, bottom=360.0),
    Band(name="Train", top=360.0, bottom=456.0),
    Band(name="Locomotive", top=456.0, bottom=HEIGHT),
)

_SUPPLY = (
    Component(
        id="main_reservoir",
        kind="reservoir",
        at=(180, 56),
        size=(112, 32),
        name="Main reservoir",
        named=Lettering(at=(180, 32), anchor="middle"),
        place="main_reservoir",
        reading=Lettering(at=(180, 61), anchor="middle"),
    ),
)

_COMMAND = (
    Component(
        id="regulating_valve",
        kind="reducer",
        at=(60, 160),
        faces="right",
        name="Regulating valve",
        named=Lettering(at=(24, 126)),
        state=Lettering(at=(24, 139)),
    ),
    Component(
        id="handle_valve",
        kind="three-way",
        at=(150, 190),
        manual="lever",
        name="Automatic handle",
        named=Lettering(at=(212, 184)),
        state=Lettering(at=(212, 199)),
    ),
    Component(
        id="equalizing_reservoir",
        kind="reservoir",
        at=(258, 230),
        size=(100, 30),
        name="Equalizing reservoir",
        named=Lettering(at=(258, 261), anchor="middle"),
        place="equalizing_reservoir",
        reading=Lettering(at=(258, 235), anchor="middle"),
    ),
    Component(
        id="pipe_relay",
        kind="three-way",
        at=(88, 278),
        pilots=("right",),
        name="Brake pipe relay",
        named=Lettering(at=(108, 305)),
        state=Lettering(at=(108, 318)),
    ),
    Component(
        id="cut_off_valve",
        kind="two-way",
        at=(62, 338),
        rests="open",
        manual="lever",
        name="Cut-off",
        named=Lettering(at=(124, 340)),
        state=Lettering(at=(108, 354)),
    ),
    Component(
        id="vent_valve",
        kind="two-way",
        at=(212, 346),
        faces="up",
        name="Vent valve",
        named=Lettering(at=(260, 340)),
        state=Lettering(at=(260, 354)),
    ),
    Component(
        id="independent_valve",
        kind="reducer",
        at=(332, 292),
        faces="down",
        manual="lever",
        name="Independent handle",
        named=Lettering(at=(298, 290), anchor="end"),
        state=Lettering(at=(298, 304), anchor="end"),
    ),
)

_ACTUATING = Component(
    id="actuating_valve",
    kind="change-over",
    at=(252, 420),
    manual="button",
    name="Bail-off",
    named=Lettering(at=(257, 448)),
    state=Lettering(at=(257, 462)),
)

_TRAIN = Component(
    id="train",
    kind="cars",
    at=(62, 428),
    size=(84, 40),
    name="Train",
    named=Lettering(at=(62, 424), anchor="middle"),
    place="rear",
    reading=Lettering(at=(62, 440), anchor="middle"),
)

_LEAD_UNIT = Component(
    id="lead_unit",
    kind="unit",
    at=(180, 232),
    size=(230, 96),
    name="Lead unit, in control",
    named=Lettering(at=(180, 222), anchor="middle"),
    state=Lettering(at=(180, 240), anchor="middle"),
)

_CONTROL = (
    Component(
        id="auxiliary_reservoir",
        kind="reservoir",
        at=(66, 488),
        size=(92, 26),
        name="Auxiliary",
        named=Lettering(at=(66, 492), anchor="middle"),
    ),
    Component(
        id="control_valve",
        kind="three-way",
        at=(142, 536),
        pilots=("left", "right", "bail"),
        feeds="left",
        name="Control valve",
        named=Lettering(at=(208, 562)),
        state=Lettering(at=(208, 575)),
    ),
    Component(
        id="control_reservoir",
        kind="reservoir",
        at=(54, 536),
        size=(72, 28),
        name="Control reservoir",
        named=Lettering(at=(20, 566)),
        place="control_reservoir",
        reading=Lettering(at=(54, 541), anchor="middle"),
    ),
    Component(
        id="limiting_valve",
        kind="reducer",
        at=(142, 596),
        name="Service limiting valve",
        named=Lettering(at=(176, 594)),
        state=Lettering(at=(176, 608)),
    ),
)

_LIMITING = Component(
    id="emergency_limiting_valve",
    kind="reducer",
    at=(62, 630),
    faces="right",
    name="Emergency limit",
    named=Lettering(at=(20, 600)),
    state=Lettering(at=(20, 670)),
)

_CYLINDER = (
    Component(
        id="double_check",
        kind="shuttle",
        at=(214, 672),
        name="Double check valve",
        named=Lettering(at=(224, 704)),
        state=Lettering(at=(224, 718)),
    ),
    Component(
        id="relay_valve",
        kind="three-way",
        at=(142, 744),
        pilots=("right",),
        name="Relay valve",
        named=Lettering(at=(224, 742)),
        state=Lettering(at=(224, 756)),
    ),
    Component(
        id="brake_cylinder",
        kind="cylinder",
        at=(250, 798),
        size=(120, 36),
        name="Brake cylinder",
        named=Lettering(at=(24, 790)),
        place="brake_cylinder",
        reading=Lettering(at=(24, 807)),
    ),
)

_DEAD_DEVICE = Component(
    id="dead_engine_device",
    kind="restrictor",
    at=(320, 330),
    faces="up",
    name="Dead-engine device",
    named=Lettering(at=(298, 322), anchor="end"),
    state=Lettering(at=(298, 336), anchor="end"),
)

_SUPPLY_LEFT = {
    "handle-charge": 1,
    "pipe-feed": 1,
    "emergency-feed": 1,
    "relay-feed": 1,
}

_JOINTS_COMMAND = (
    Joint(
        id="main-left",
        carries="main_reservoir",
        route=("main_reservoir.left", (12, 56), (12, 160)),
        place="main_reservoir",
        passages=_SUPPLY_LEFT,
        arrow=(70, 56),
        tees=((12, 160),),
    ),
    Joint(
        id="main-left-2",
        carries="main_reservoir",
        route=((12, 160), (12, 244)),
        place="main_reservoir",
        passages={"pipe-feed": 1, "emergency-feed": 1, "relay-feed": 1},
        arrow=(12, 204),
        tees=((12, 244),),
    ),
    Joint(
        id="main-left-3",
        carries="main_reservoir",
        route=((12, 244), (12, 630)),
        place="main_reservoir",
        passages={"emergency-feed": 1, "relay-feed": 1},
        arrow=(12, 380),
        tees=((12, 630),),
    ),
    Joint(
        id="main-regulating",
        carries="main_reservoir",
        route=((12, 160), "regulating_valve.in"),
        place="main_reservoir",
        passages={"handle-charge": 1},
        arrow=(30, 160),
    ),
    Joint(
        id="regulated",
        carries="main_reservoir",
        route=("regulating_valve.out", (143, 160), "handle_valve.supply"),
        place="regulated",
        passages={"handle-charge": 1},
        arrow=(112, 160),
        number="15",
        numbered=Lettering(at=(100, 152), anchor="middle"),
    ),
    Joint(
        id="equalizing",
        carries="equalizing_reservoir",
        route=("handle_valve.out", (150, 230), "equalizing_reservoir.left"),
        place="equalizing_reservoir",
        passages={"handle-charge": 1, "handle-exhaust": -1, "handle-vent": -1},
        arrow=(182, 230),
        number="5",
        numbered=Lettering(at=(182, 222), anchor="middle"),
        tees=((150, 230),),
    ),
    Joint(
        id="equalizing-pilot",
        carries="equalizing_reservoir",
        route=((150, 230), (150, 278), "pipe_relay.right"),
        place="equalizing_reservoir",
    ),
    Joint(
        id="main-relay",
        carries="main_reservoir",
        route=((12, 244), (81, 244), "pipe_relay.supply"),
        place="main_reservoir",
        passages={"pipe-feed": 1},
        arrow=(50, 244),
    ),
    Joint(
        id="relay-cut-off",
        carries="brake_pipe",
        route=("pipe_relay.out", (88, 308), (62, 308), "cut_off_valve.in"),
        place="behind_cut_off",
        passages={"pipe-feed": 1, "pipe-exhaust": -1},
        arrow=(74, 308),
    ),
    Joint(
        id="cut-off-pipe",
        carries="brake_pipe",
        route=("cut_off_valve.out", (62, 384)),
        place="brake_pipe",
        passages={"pipe-feed": 1, "pipe-exhaust": -1},
        tees=((62, 384),),
    ),
    Joint(
        id="vent",
        carries="brake_pipe",
        route=((212, 384), "vent_valve.in"),
        place="brake_pipe",
        passages={"pipe-vent": 1},
    ),
)

_JOINTS_RIGHT = (
    Joint(
        id="main-right",
        carries="main_reservoir",
        route=("main_reservoir.right", (352, 56), (352, 270)),
        place="main_reservoir",
        passages={"independent-feed": 1, "actuating-feed": 1},
        arrow=(296, 56),
        tees=((352, 270),),
    ),
    Joint(
        id="main-independent",
        carries="main_reservoir",
        route=((352, 270), (332, 270), "independent_valve.in"),
        place="main_reservoir",
        passages={"independent-feed": 1},
    ),
    Joint(
        id="main-actuating",
        carries="main_reservoir",
        route=((352, 270), (352, 396), (259, 396), "actuating_valve.in"),
        place="main_reservoir",
        passages={"actuating-feed": 1},
        arrow=(308, 396),
    ),
)

_JOINT_TRAIN = Joint(
    id="train-pipe",
    carries="brake_pipe",
    route=("train.top", (62, 384), (200, 384)),
    place="brake_pipe",
    passages={"train-pipe": -1},
    arrow=(112, 384),
    number="1",
    numbered=Lettering(at=(150, 379), anchor="middle"),
    reading=Lettering(at=(112, 403)),
    tees=((200, 384),),
)


def _pipe_20(*start: str | tuple[float, float]) -> Joint:
    return Joint(
        id="pipe-20",
        carries="pipe_20",
        route=(*start, (332, 672), "double_check.b"),
        place="pipe_20",
        passages={"independent-feed": 1, "independent-exhaust": -1},
        arrow=(332, 640),
        number="20",
        numbered=Lettering(at=(325, 636), anchor="end"),
        reading=Lettering(at=(248, 664)),
    )


_JOINTS_LOCOMOTIVE = (
    Joint(
        id="pipe-control",
        carries="brake_pipe",
        route=((200, 384), (200, 536), "control_valve.right"),
        place="brake_pipe",
        passages={"control-charge": 1, "control-back": -1, "auxiliary-charge": 1},
        arrow=(200, 470),
    ),
    Joint(
        id="control-own",
        carries="reservoir",
        route=("control_reservoir.right", "control_valve.left"),
        place="control_reservoir",
        passages={"control-charge": -1, "control-back": 1, "control-bail": 1},
    ),
    Joint(
        id="auxiliary",
        carries="reservoir",
        route=("auxiliary_reservoir.right", (135, 488), "control_valve.supply"),
        place="auxiliary_reservoir",
        passages={"control-feed": 1, "auxiliary-charge": -1},
        arrow=(124, 488),
    ),
    Joint(
        id="control-limiting",
        carries="pipe_16",
        route=("control_valve.out", "limiting_valve.in"),
        place="pipe_16",
        passages={"control-feed": 1, "control-exhaust": -1},
        arrow=(142, 566),
    ),
    Joint(
        id="pipe-16",
        carries="pipe_16",
        route=("limiting_valve.out", (142, 672), "double_check.a"),
        place="pipe_16",
        passages={"control-feed": 1, "control-exhaust": -1, "emergency-feed": 1},
        arrow=(168, 672),
        number="16",
        numbered=Lettering(at=(148, 628)),
        reading=Lettering(at=(148, 646)),
    ),
    Joint(
        id="pilot",
        carries="pipe_16",
        route=("double_check.out", (214, 744), "relay_valve.right"),
        place="pilot",
    ),
    Joint(
        id="main-cylinder",
        carries="main_reservoir",
        route=((12, 630), (12, 704), (135, 704), "relay_valve.supply"),
        place="main_reservoir",
        passages={"relay-feed": 1},
        arrow=(80, 704),
    ),
    Joint(
        id="cylinder",
        carries="brake_cylinder",
        route=("relay_valve.out", (142, 798), "brake_cylinder.left"),
        place="brake_cylinder",
        passages={"relay-feed": 1, "relay-exhaust": -1},
        arrow=(166, 798),
    ),
)

_JOINT_LIMITING = (
    Joint(
        id="main-limiting",
        carries="main_reservoir",
        route=((12, 630), "emergency_limiting_valve.in"),
        place="pipe_12",
        passages={"emergency-feed": 1, "pipe-12-feed": 1, "pipe-12-exhaust": -1},
        number="12",
        numbered=Lettering(at=(30, 622), anchor="middle"),
    ),
    Joint(
        id="limited",
        carries="pipe_16",
        route=("emergency_limiting_valve.out", (142, 630)),
        place="pipe_16",
        passages={"emergency-feed": 1},
        arrow=(112, 630),
        tees=((142, 630),),
    ),
)


def _pipe_13(start: str) -> Joint:
    return Joint(
        id="pipe-13",
        carries="main_reservoir",
        route=(start, (252, 546), "control_valve.bail"),
        place="pipe_13",
        passages={"actuating-feed": 1, "actuating-exhaust": -1},
        arrow=(252, 500),
        number="13",
        numbered=Lettering(at=(246, 484), anchor="end"),
    )


LEAD = Sheet(
    id="lead",
    width=WIDTH,
    height=HEIGHT,
    bands=BANDS,
    components=(
        *_SUPPLY,
        *_COMMAND,
        _TRAIN,
        _ACTUATING,
        *_CONTROL,
        _LIMITING,
        *_CYLINDER,
    ),
    joints=(
        *_JOINTS_COMMAND,
        *_JOINTS_RIGHT,
        _JOINT_TRAIN,
        _pipe_13("actuating_valve.out"),
        *_JOINTS_LOCOMOTIVE,
        *_JOINT_LIMITING,
        _pipe_20("independent_valve.out"),
    ),
)
"""A unit in control: every part."""

_BEHIND_LEAD = (
    Joint(
        id="lead-pipe",
        carries="brake_pipe",
        route=("lead_unit.brake_pipe", (80, 384)),
        place="brake_pipe",
        passages={"pipe-feed": 1, "pipe-exhaust": -1, "pipe-vent": -1},
        arrow=(80, 340),
        tees=((80, 384),),
    ),
)

_MAIN_TO_RELAY = Joint(
    id="main-left",
    carries="main_reservoir",
    route=("main_reservoir.left", (12, 56), (12, 630)),
    place="main_reservoir",
    passages={"emergency-feed": 1, "relay-feed": 1},
    arrow=(12, 330),
)

TRAILING = Sheet(
    id="trailing",
    width=WIDTH,
    height=HEIGHT,
    bands=BANDS,
    components=(
        *_SUPPLY,
        _LEAD_UNIT,
        _TRAIN,
        *_CONTROL,
        _LIMITING,
        *_CYLINDER,
    ),
    joints=(
        _MAIN_TO_RELAY,
        *_BEHIND_LEAD,
        _JOINT_TRAIN,
        *_JOINTS_LOCOMOTIVE,
        *_JOINT_LIMITING,
        _pipe_13("lead_unit.pipe_13"),
        _pipe_20("lead_unit.pipe_20", (332, 252)),
    ),
)
"""A unit that trails, cut out: its brake pipe, pipe 13 and pipe 20 come from the lead unit."""

DEAD = Sheet(
    id="dead",
    width=WIDTH,
    height=HEIGHT,
    bands=BANDS,
    components=(
        *_SUPPLY,
        _LEAD_UNIT,
        _TRAIN,
        _DEAD_DEVICE,
        *_CONTROL,
        *_CYLINDER,
    ),
    joints=(
        _MAIN_TO_RELAY,
        *_BEHIND_LEAD,
        _JOINT_TRAIN,
        Joint(
            id="pipe-dead-engine",
            carries="brake_pipe",
            route=((200, 384), (320, 384), "dead_engine_device.in"),
            place="brake_pipe",
            passages={"dead-engine": 1},
            arrow=(260, 384),
        ),
        Joint(
            id="dead-engine-main",
            carries="main_reservoir",
            route=("dead_engine_device.out", (320, 56), "main_reservoir.right"),
            place="main_reservoir",
            passages={"dead-engine": 1},
            arrow=(320, 150),
        ),
        *_JOINTS_LOCOMOTIVE,
        _pipe_20((332, 610)),
    ),
)
"""A unit hauled dead: its main reservoir is fed from the brake pipe."""

SHEETS = {sheet.id: sheet for sheet in (LEAD, TRAILING, DEAD)}
