"""The faults of the locomotive, in the order of the air."""

from __future__ import annotations

from collections.abc import Callable

from calculators.base.errors import UnknownNameError
from calculators.base.wording import at_begin
from calculators.equipment.faults.records import FAMILIES, Family, Fault, Proof, Where, Wrong
from calculators.equipment.running import Change, Leak

GAUGES = {
    "reservoir": "equalizing reservoir",
    "pipe": "brake pipe",
    "cylinder": "brake cylinder",
    "main": "main reservoir",
}
"""The gauges of the cab, by the name that readings use."""

Making = Callable[[float], Wrong]


def _leak(source: str, sink: str = "atmosphere") -> Making:
    return lambda hole: Wrong(change=Change(leaks=(Leak(source=source, sink=sink, hole=hole),)))


def _held(*valves: tuple[str, str]) -> Making:
    return lambda _: Wrong(change=Change(held=valves))


def _shut(*passages: str) -> Making:
    return lambda _: Wrong(change=Change(scaled=tuple((name, 0.0) for name in passages)))


def _set(name: str, sign: float) -> Making:
    return lambda by: Wrong(settings={name: sign * by})


def _gauge(name: str, sign: float) -> Making:
    return lambda by: Wrong(offsets={name: sign * by})


def _proof(words: str, where: Where = "ground", seconds: float = 90.0) -> Proof:
    return Proof(words=words, where=where, seconds=seconds)


TAKE_OUT = "Not used in control until put right: report it and let qualified people repair it."
TIGHTEN = "Find the leak and have it made tight before it is used; report it."

_AIR = (
    Fault(
        id="main-reservoir-low",
        title="Main reservoir low",
        family="regulating",
        part="main-reservoir",
        circuit="charging",
        wrong=_set("main_reservoir", -1.0),
        smallest=15.0,
        largest=60.0,
        unit="psi",
        complete="the compressor hardly feeds it",
        proof=_proof(
            "Main reservoir gauge against the governor's figures, compressor running?", "cab", 30.0
        ),
        remedy="Compressor, governor or a leak. No set that could not be made good again.",
        sources=("TEA",),
    ),
    Fault(
        id="regulator-low",
        title="Regulating valve set low",
        family="regulating",
        part="regulating-valve",
        circuit="charging",
        wrong=_set("brake_pipe_setting", -1.0),
        smallest=2.0,
        largest=25.0,
        unit="psi",
        complete="far under the figure ordered",
        proof=_proof("Turn it up: do both gauges follow to the setting and stay?", "cab", 30.0),
        remedy="Set it to the figure ordered, on a gauge that is known to be right.",
    ),
    Fault(
        id="regulator-creeping",
        title="Regulating valve creeping up",
        family="regulating",
        part="regulating-valve",
        circuit="charging",
        wrong=_leak("main_reservoir", "equalizing_reservoir"),
        smallest=0.002,
        largest=0.03,
        unit="in",
        complete="main-reservoir air passes it freely",
        proof=_proof(
            "In release, does the reservoir climb past the setting without a hand on it?",
            "cab",
            60.0,
        ),
        remedy=TAKE_OUT + " What it charged too high has to be got rid of as your railroad says.",
        sources=("ARRC-96",),
    ),
    Fault(
        id="regulator-swinging",
        title="Regulating valve swinging",
        family="regulating",
        part="regulating-valve",
        circuit="charging",
        wrong=lambda by: Wrong(swing=by),
        smallest=2.0,
        largest=8.0,
        unit="psi",
        complete="hunts widely",
        proof=_proof(
            "In release with a small leak made: does the pipe swing more than 2 psi?", "cab", 60.0
        ),
        remedy="Clean or change it; until then the pipe is not held steady.",
        sources=("TEA",),
    ),
)

_BRAKE_VALVE = (
    Fault(
        id="equalizing-reservoir-leaking",
        title="Equalizing reservoir leaking",
        family="equalizing-reservoir",
        part="equalizing-reservoir",
        circuit="service-lap",
        wrong=_leak("equalizing_reservoir"),
        smallest=0.002,
        largest=0.05,
        unit="in",
        heard="equalizing-reservoir",
        complete="its pipe is broken off",
        proof=_proof("Soap and listen along the reservoir and its pipe: a leak there?"),
        remedy=TIGHTEN + " On the road only as 49 CFR 232.105(d) and your railroad allow.",
        sources=("TEA", "ARMY-223"),
    ),
    Fault(
        id="reservoir-cut-off-leaking",
        title="Equalizing reservoir cut-off leaking",
        family="equalizing-reservoir",
        part="automatic-brake-valve",
        circuit="service-lap",
        wrong=_leak("regulated", "equalizing_reservoir"),
        smallest=0.002,
        largest=0.04,
        unit="in",
        complete="it does not shut at all",
        proof=_proof("Set, then handle half-way back: does the reservoir rise?", "cab", 45.0),
        remedy="Brake valve repaired before it is used: it can release a train unasked.",
        sources=("ARMY-223", "ARMY-224"),
    ),
    Fault(
        id="handle-not-driving",
        title="Handle does not drive the valve",
        family="brake-valve",
        part="automatic-brake-valve",
        circuit="service-application",
        wrong=_held(("handle", "stuck")),
        proof=_proof(
            "Does the handle turn with nothing of the valve turning with it?", "cab", 20.0
        ),
        remedy="There is no automatic brake from this handle: the cab's own emergency valve if it must stop. "
        + TAKE_OUT,
        sources=("RAIB-09",),
    ),
    Fault(
        id="pipe-relay-not-exhausting",
        title="Pipe relay of the brake valve does not exhaust",
        family="brake-valve",
        part="automatic-brake-valve",
        circuit="service-application",
        wrong=_held(("pipe_relay_exhaust", "shut")),
        proof=_proof(
            "In a set, is the brake pipe exhaust silent while the reservoir is down?", "cab", 20.0
        ),
        remedy=TAKE_OUT,
    ),
    Fault(
        id="pipe-relay-not-feeding",
        title="Pipe relay of the brake valve does not feed",
        family="brake-valve",
        part="automatic-brake-valve",
        circuit="release-and-recharge",
        wrong=_held(("pipe_relay_feed", "shut")),
        proof=_proof(
            "Selector IN and no emergency behind you: does the relay still not feed in release?",
            "cab",
            30.0,
        ),
        remedy=TAKE_OUT,
    ),
    Fault(
        id="charging-cut-off-shut",
        title="Charging cut-off not reset after an emergency from the train",
        family="brake-valve",
        part="break-in-two-protection",
        circuit="emergency-from-train",
        wrong=_held(("charging_cut_off", "shut")),
        proof=_proof(
            "Was there an emergency from the train, and is pipe 53 not drained yet?", "cab", 20.0
        ),
        remedy="Recover as your railroad says: on the equipment read, handle to emergency, then to release.",
        sources=("ARMY-223",),
    ),
    Fault(
        id="cut-off-out",
        title="Cut-off selector OUT, or does not cut in",
        family="brake-valve",
        part="cut-off-selector",
        circuit="cut-out",
        wrong=_held(("pipe_relay_feed", "shut"), ("pipe_relay_exhaust", "shut")),
        proof=_proof("Read the selector: is it OUT, or halfway?", "cab", 10.0),
        remedy="Cut in only with the equalizing reservoir under the pipe as it reads now.",
    ),
    Fault(
        id="brake-pipe-leaking",
        title="Brake pipe leaking",
        family="brake-pipe",
        part="brake-pipe",
        circuit="service-lap",
        wrong=_leak("brake_pipe"),
        smallest=0.002,
        largest=0.25,
        unit="in",
        heard="brake-pipe",
        complete="a hose hardly holds",
        proof=_proof("Walk the pipe and its hoses, secured: a leak there?"),
        remedy=TIGHTEN,
        sources=("ARMY-223", "ARMY-224"),
    ),
    Fault(
        id="brake-pipe-exhaust-leaking",
        title="Brake pipe exhaust valve leaking",
        family="brake-pipe",
        part="automatic-brake-valve",
        circuit="charging",
        wrong=_leak("brake_pipe"),
        smallest=0.002,
        largest=0.25,
        unit="in",
        heard="brake-pipe-exhaust",
        complete="held off its seat",
        proof=_proof(
            "Does the brake pipe exhaust blow in every position of the handle?", "cab", 20.0
        ),
        remedy="Dirt can often be blown clear as your railroad says; else repair.",
        sources=("TEA",),
    ),
)

_CONTROL = (
    Fault(
        id="control-valve-cut-out",
        title="Control valve cut out",
        family="automatic-lost",
        part="control-valve",
        circuit="service-application",
        wrong=_held(("control_valve", "cut-out")),
        proof=_proof("Read the mark on the control valve's cock: cut out?", "ground", 60.0),
        remedy="Cut in only by people who know why it was cut out; look for a tag.",
        sources=("TEA",),
    ),
    Fault(
        id="control-reservoir-leaking",
        title="Control reservoir leaking",
        family="control-reservoir",
        part="control-reservoir",
        circuit="service-lap",
        wrong=_leak("control_reservoir"),
        smallest=0.001,
        largest=0.03,
        unit="in",
        heard="control-reservoir",
        complete="it cannot be kept charged",
        proof=_proof(
            "Soap and listen at the control reservoir, its pipe and the bail-off valve: a leak?"
        ),
        remedy=TIGHTEN,
        sources=("TEA",),
    ),
    Fault(
        id="control-reservoir-overcharged",
        title="Control reservoir charged above the setting",
        family="control-reservoir",
        part="control-reservoir",
        circuit="release-and-recharge",
        wrong=lambda by: Wrong(overcharge=by),
        smallest=1.0,
        largest=15.0,
        unit="psi",
        complete="charged by another unit set far higher",
        proof=_proof(
            "Does the brake come off for good after the bail-off was pressed long enough?",
            "cab",
            60.0,
        ),
        remedy="Your railroad's cure for an overcharge; the cars behind may have one too.",
    ),
    Fault(
        id="pipe-16-leaking",
        title="Pipe 16 leaking",
        family="too-much-too-little",
        part="pipe-16",
        circuit="service-application",
        wrong=_leak("pipe_16"),
        smallest=0.005,
        largest=0.25,
        unit="in",
        heard="pipe-16",
        complete="broken right off",
        proof=_proof("With a set on, secured: a blow along pipe 16?"),
        remedy=TIGHTEN,
        sources=("TEA",),
    ),
    Fault(
        id="pipe-16-blocked",
        title="Pipe 16 blocked",
        family="automatic-lost",
        part="pipe-16",
        circuit="service-application",
        wrong=_shut("control-feed", "control-exhaust"),
        proof=_proof(
            "A shop gauge ahead of the blockage: does it rise while the cylinder does not?",
            "shop",
            900.0,
        ),
        remedy=TAKE_OUT,
        sources=("TEA",),
    ),
    Fault(
        id="service-limit-low",
        title="Service limiting valve low",
        family="too-much-too-little",
        part="service-limiting-valve",
        circuit="service-application",
        wrong=_set("service_limit", -1.0),
        smallest=2.0,
        largest=35.0,
        unit="psi",
        complete="far under its figure",
        proof=_proof(
            "A light set is right and only the deep one low, on a gauge known right?", "cab", 60.0
        ),
        remedy="Set or change it in the shop.",
    ),
    Fault(
        id="service-limit-high",
        title="Service limiting valve high",
        family="too-much-too-little",
        part="service-limiting-valve",
        circuit="service-application",
        wrong=_set("service_limit", 1.0),
        smallest=2.0,
        largest=15.0,
        unit="psi",
        complete="it does not limit at all",
        proof=_proof(
            "A light set is right and only the deep one high, on a gauge known right?", "cab", 60.0
        ),
        remedy="Set or change it in the shop: wheels may slide in full service.",
    ),
    Fault(
        id="bail-off-lost",
        title="Bail-off path lost",
        family="bail-off",
        part="bail-off-path",
        circuit="bail-off",
        wrong=_held(("bail_off", "lost")),
        proof=_proof(
            "Handle pressed: does air come to the end of the actuating pipe and nothing follow?",
            "shop",
            600.0,
        ),
        remedy="The automatic set cannot be taken off this locomotive: handle it so, and report it.",
        sources=("TEA",),
    ),
    Fault(
        id="bail-off-stuck",
        title="Bail-off stuck on",
        family="automatic-lost",
        part="bail-off-path",
        circuit="bail-off",
        wrong=_held(("bail_off", "pressed")),
        proof=_proof(
            "Handle let go: does the actuating pipe keep its air, or the bail-off valve blow on?",
            "ground",
            90.0,
        ),
        remedy=TAKE_OUT,
        sources=("TEA",),
    ),
    Fault(
        id="actuating-pipe-leaking",
        title="Actuating pipe leaking or broken",
        family="bail-off",
        part="bail-off-path",
        circuit="bail-off",
        wrong=_leak("pipe_13"),
        smallest=0.02,
        largest=0.25,
        unit="in",
        heard="actuating-pipe",
        complete="broken right off",
        proof=_proof("Handle pressed by one, secured: does another hear the actuating pipe blow?"),
        remedy=TIGHTEN,
        sources=("TEA",),
    ),
    Fault(
        id="dynamic-interlock-stuck",
        title="Dynamic brake interlock stuck on",
        family="automatic-lost",
        part="dynamic-interlock",
        circuit="service-application",
        wrong=_held(("dynamic_interlock", "on")),
        proof=_proof(
            "Dynamic off and its fuse or breaker open: does the automatic come back?", "cab", 60.0
        ),
        remedy=TAKE_OUT,
    ),
)

_INDEPENDENT = (
    Fault(
        id="double-check-to-20",
        title="Double check valve stuck toward pipe 20",
        family="automatic-lost",
        part="double-check-valve",
        circuit="independent-brake",
        wrong=_held(("double_check", "pipe 20")),
        proof=_proof("Tap it with a set on, secured: does the cylinder come up?", "ground", 60.0),
        remedy=TAKE_OUT,
        sources=("TEA",),
    ),
    Fault(
        id="double-check-to-16",
        title="Double check valve stuck toward pipe 16",
        family="independent",
        part="double-check-valve",
        circuit="independent-brake",
        wrong=_held(("double_check", "pipe 16")),
        proof=_proof(
            "Tap it with the independent on, secured: does the cylinder come up?", "ground", 60.0
        ),
        remedy=TAKE_OUT,
        sources=("TEA",),
    ),
    Fault(
        id="double-check-across",
        title="Double check valve leaking across",
        family="independent",
        part="double-check-valve",
        circuit="independent-brake",
        wrong=_leak("pipe_16", "pipe_20"),
        smallest=0.01,
        largest=0.1,
        unit="in",
        complete="it hardly seats",
        proof=_proof(
            "Automatic set, independent in release: does the independent's exhaust blow?",
            "cab",
            30.0,
        ),
        remedy="Repair of the double check valve.",
    ),
    Fault(
        id="pipe-20-leaking",
        title="Pipe 20 leaking",
        family="independent",
        part="pipe-20",
        circuit="independent-brake",
        wrong=_leak("pipe_20"),
        smallest=0.005,
        largest=0.25,
        unit="in",
        heard="pipe-20",
        complete="broken right off",
        proof=_proof("Independent on, secured: a blow along pipe 20?"),
        remedy=TIGHTEN,
        sources=("TEA",),
    ),
    Fault(
        id="pipe-20-lost",
        title="Pipe 20 blocked",
        family="independent",
        part="pipe-20",
        circuit="independent-brake",
        wrong=_shut("independent-feed"),
        proof=_proof(
            "A shop gauge behind the independent brake valve: does nothing come?", "shop", 900.0
        ),
        remedy=TAKE_OUT,
        sources=("TEA",),
    ),
    Fault(
        id="independent-on-trail",
        title="Lead unit's independent set to trail",
        family="independent",
        part="independent-brake-valve",
        circuit="independent-brake",
        wrong=_held(("independent", "trail")),
        proof=_proof("Read the lead and trail valve: is it at trail?", "cab", 10.0),
        remedy="Set it to lead as your railroad's changeover says.",
        sources=("ARRC-96",),
    ),
    Fault(
        id="independent-not-released",
        title="Independent not fully released",
        family="independent",
        part="independent-brake-valve",
        circuit="independent-brake",
        wrong=lambda by: Wrong(least_independent=by),
        smallest=1.0,
        largest=40.0,
        unit="psi",
        complete="left full on",
        proof=_proof(
            "Move the handle fully to release: does the cylinder go to zero?", "cab", 15.0
        ),
        remedy="Release it fully; a valve that holds air in release is repaired.",
        sources=("ARMY-224",),
    ),
)

_CYLINDERS = (
    Fault(
        id="relay-diaphragm-leaking",
        title="Relay diaphragm leaking",
        family="relay",
        part="relay-valve",
        circuit="service-application",
        wrong=_leak("pilot"),
        smallest=0.005,
        largest=0.25,
        unit="in",
        heard="relay-vent",
        complete="torn",
        proof=_proof("Either brake on, secured: a blow at the relay's vent?"),
        remedy="Relay valve changed.",
        sources=("TEA",),
    ),
    Fault(
        id="relay-supply-leaking",
        title="Relay supply valve leaking",
        family="relay",
        part="relay-valve",
        circuit="charging",
        wrong=_leak("main_reservoir", "brake_cylinder"),
        smallest=0.01,
        largest=0.3,
        unit="in",
        complete="it does not seat",
        proof=_proof("Brake released, secured: a blow at the relay's exhaust?"),
        remedy="Relay valve changed.",
        sources=("TEA",),
    ),
    Fault(
        id="relay-exhaust-leaking",
        title="Relay exhaust valve leaking",
        family="relay",
        part="relay-valve",
        circuit="service-application",
        wrong=_leak("brake_cylinder"),
        smallest=0.01,
        largest=0.3,
        unit="in",
        heard="relay-exhaust",
        complete="it does not seat",
        proof=_proof("Brake applied, secured: a blow at the relay's exhaust, and none released?"),
        remedy="Relay valve changed.",
        sources=("TEA",),
    ),
    Fault(
        id="relay-ratio-low",
        title="Relay gives too little",
        family="relay",
        part="relay-valve",
        circuit="service-application",
        wrong=lambda by: Wrong(
            settings={"relay_ratio_automatic": -by, "relay_ratio_independent": -by}
        ),
        smallest=0.03,
        largest=0.5,
        unit="share",
        complete="a relay for another kind of unit",
        proof=_proof(
            "Do both brakes come out low by the same share on a gauge known right?", "cab", 60.0
        ),
        remedy="Compare the relay fitted with the one the unit should have; shop.",
    ),
    Fault(
        id="relay-ratio-high",
        title="Relay gives too much",
        family="relay",
        part="relay-valve",
        circuit="service-application",
        wrong=lambda by: Wrong(
            settings={"relay_ratio_automatic": by, "relay_ratio_independent": by}
        ),
        smallest=0.03,
        largest=0.6,
        unit="share",
        complete="a relay for another kind of unit",
        proof=_proof(
            "Do both brakes come out high by the same share on a gauge known right?", "cab", 60.0
        ),
        remedy="Compare the relay fitted with the one the unit should have; shop. Wheels may slide.",
    ),
    Fault(
        id="gauge-truck-cut-out",
        title="Truck that the gauge shows cut out",
        family="one-truck",
        part="cut-out-cock",
        circuit="service-application",
        wrong=lambda _: Wrong(change=Change(held=(("truck_2", "cut-out"),)), seen_from=2),
        proof=_proof("Read the mark on that truck's cock, and look at its pistons: in?"),
        remedy="Cut in, or moved only as the rules for a cut-out brake allow.",
        sources=("TEA",),
    ),
    Fault(
        id="other-truck-cut-out",
        title="Truck that the gauge does not show cut out",
        family="one-truck",
        part="cut-out-cock",
        circuit="service-application",
        wrong=_held(("truck_2", "cut-out")),
        proof=_proof("Read the mark on that truck's cock, and look at its pistons: in?"),
        remedy="Cut in, or moved only as the rules for a cut-out brake allow.",
        sources=("TEA",),
    ),
    Fault(
        id="gauge-truck-leaking",
        title="Cylinders of the truck that the gauge shows leaking",
        family="one-truck",
        part="locomotive-brake-cylinder",
        circuit="service-application",
        wrong=_leak("brake_cylinder"),
        smallest=0.01,
        largest=0.4,
        unit="in",
        heard="gauge-truck",
        complete="its pipe is broken",
        proof=_proof("Brake on, secured: a blow at that truck's cylinders or their pipe?"),
        remedy="Cut that truck out as the rules allow, and report it.",
        sources=("TEA",),
    ),
    Fault(
        id="other-truck-leaking",
        title="Cylinders of the truck that the gauge does not show leaking",
        family="one-truck",
        part="locomotive-brake-cylinder",
        circuit="service-application",
        wrong=_leak("brake_cylinder_2"),
        smallest=0.01,
        largest=0.4,
        unit="in",
        heard="other-truck",
        complete="its pipe is broken",
        proof=_proof("Brake on, secured: a blow at that truck's cylinders or their pipe?"),
        remedy="Cut that truck out as the rules allow, and report it.",
        sources=("TEA",),
    ),
)


def _gauge_fault(name: str, words: str, sign: float) -> Fault:
    side = "high" if sign > 0 else "low"
    return Fault(
        id=f"{name}-gauge-{side}",
        title=f"{at_begin(words)} gauge reads {side}",
        family="gauges",
        part="gauges",
        circuit="charging",
        wrong=_gauge(name, sign),
        smallest=2.0,
        largest=20.0,
        unit="psi",
        complete="far off",
        proof=_proof(
            "Against a test gauge: is it off by more than 49 CFR 229.53 allows?", "shop", 300.0
        ),
        remedy="Tested and changed. No setting is turned to please a gauge that has not been proved.",
        sources=("CFR-229-53",),
    )


_GAUGES = tuple(
    _gauge_fault(name, words, sign) for name, words in GAUGES.items() for sign in (1.0, -1.0)
)

FAULTS: tuple[Fault, ...] = (*_AIR, *_BRAKE_VALVE, *_CONTROL, *_INDEPENDENT, *_CYLINDERS, *_GAUGES)
"""Every fault of the locomotive that the series can look for."""

_BY_ID = {fault.id: fault for fault in FAULTS}
_FAMILY = {family.id: family for family in FAMILIES}


def find_fault(id: str) -> Fault:
    """The fault of that id; UnknownNameError if there is none."""
    if id not in _BY_ID:
        raise UnknownNameError(f'no fault is called "{id[:60]}"')
    return _BY_ID[id]


def family_of(fault: Fault) -> Family:
    """The family that a fault stands with."""
    return _FAMILY[fault.family]
