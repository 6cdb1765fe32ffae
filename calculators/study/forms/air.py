"""Questions on the air along the train and its supply: leakage, flow, rear, charging, compressor."""

from __future__ import annotations

from calculators.base.units import ATMOSPHERE
from calculators.study.draws import Draws
from calculators.study.model import Drawn, Form, Seen, Slip

TOPIC = "air"
_CARS = (40.0, 60.0, 80.0, 100.0, 118.0, 140.0)


def _leak(draws: Draws) -> Drawn:
    return {
        "cars": draws.pick(_CARS),
        "leakage": draws.whole(2, 9),
        "leakage_pressure": draws.pick((60.0, 65.0, 70.0)),
        "flow_pressure": draws.pick((90.0, 100.0, 110.0)),
    }


def _flow(draws: Draws) -> Drawn:
    return {
        "cars": draws.pick(_CARS),
        "air_flow": draws.whole(20, 58, 2),
        "leakage_pressure": draws.pick((60.0, 65.0, 70.0)),
        "flow_pressure": draws.pick((90.0, 100.0, 110.0)),
    }


def _gradient(draws: Draws) -> Drawn:
    setting = draws.pick((90.0, 95.0, 100.0))
    return {"brake_pipe_setting": setting, "rear": setting - draws.whole(5, 20), "test": "class-1"}


def _floor(draws: Draws) -> Drawn:
    return {
        "brake_pipe_setting": 90.0,
        "rear": draws.whole(61, 74),
        "test": draws.pick(("class-1", "class-3")),
    }


def _charge(draws: Draws) -> Drawn:
    return {
        "cars": draws.pick(_CARS),
        "from_pressure": draws.pick((0.0, 0.0, 30.0, 45.0, 60.0)),
        "brake_pipe_setting": draws.pick((80.0, 90.0, 100.0)),
        "delivery": draws.whole(40, 100, 10),
    }


def _pipe_only(seen: Seen) -> float:
    """Minutes to fill the pipe alone, which is what the head gauge seems to show [min]."""
    volume = float(seen.other("leakage-and-flow", cars=seen.cars).pipe_volume)
    rise = float(seen.brake_pipe_setting - seen.from_pressure)
    return volume * rise / ATMOSPHERE / float(seen.delivery)


def _compressor(draws: Draws) -> Drawn:
    return {"brake_pipe_setting": draws.pick((95.0, 100.0, 105.0, 110.0, 80.0))}


def _safety(draws: Draws) -> Drawn:
    return {"working_pressure": draws.whole(125, 145, 5)}


def _blow(draws: Draws) -> Drawn:
    return {
        "cars": draws.pick((80.0, 100.0, 118.0, 140.0)),
        "reduction": draws.whole(10, 20),
        "heard": draws.whole(4, 60, 2),
    }


def _blow_says(seen: Seen) -> str | None:
    """What a timed blow says, from the band: too short, inside, or too long."""
    heard = seen.heard
    if abs(heard - seen.shortest) < 4 or abs(heard - seen.longest) < 10:
        return None
    if heard < seen.shortest:
        return "short"
    return "long" if heard > seen.longest else "fits"


def _pump(draws: Draws) -> Drawn:
    return {
        "volume": draws.pick((50000.0, 60000.0, 70000.0)),
        "from_pressure": draws.pick((60.0, 70.0, 80.0)),
        "to_pressure": draws.pick((130.0, 140.0)),
        "delivery": draws.whole(100, 200, 20),
    }


def _leak_off(draws: Draws) -> Drawn:
    return {
        "brake_cylinder": draws.whole(30, 64),
        "leakage": draws.pick((0.2, 0.25, 0.3, 0.4)),
        "wait": draws.whole(2, 4),
    }


def _leaks_more(draws: Draws) -> Drawn:
    return {
        "brake_cylinder": draws.whole(40, 64),
        "times": draws.whole(3, 5),
        "leakage": draws.pick((0.2, 0.25, 0.3)),
        "wait": draws.whole(2, 3),
    }


FORMS = (
    Form(
        id="leak-to-flow",
        topic=TOPIC,
        calculator="leakage-and-flow",
        asks="flow_from_leakage",
        until="The same holes, charged",
        words=(
            "{cars} cars of {car_length}. Leakage {leakage}, read with the pipe at {leakage_pressure}. About what does the air "
            "flow indicator show through the same holes, charged to {flow_pressure}?"
        ),
        draw=_leak,
        slips=(
            Slip(
                mistake="limits-are-one",
                step="Air lost while the leakage was read",
                why="5 psi/min and 60 cfm are different limits; how they go together depends on the length of the pipe.",
                gives=lambda s: 12 * s.leakage,
            ),
            Slip(
                mistake="pressure-left-out",
                step="The same holes, charged",
                why="the same holes pass more at the higher pressure of the charged train.",
                gives=lambda s: s.again(flow_pressure=s.leakage_pressure),
            ),
        ),
    ),
    Form(
        id="flow-to-leak",
        topic=TOPIC,
        own=2,
        calculator="leakage-and-flow",
        asks="leakage_from_flow",
        until="The pipe would fall by",
        words=(
            "{cars} cars of {car_length}. The air flow is steady at {air_flow}, charged to {flow_pressure}. About what leakage "
            "would the same holes give, read on the pipe alone at {leakage_pressure}?"
        ),
        draw=_flow,
        slips=(
            Slip(
                mistake="limits-are-one",
                step="The pipe would fall by",
                why="5 psi/min and 60 cfm are different limits; how they go together depends on the length of the pipe.",
                gives=lambda s: s.air_flow / 12,
            ),
            Slip(
                mistake="leak-read-released",
                step="The pipe would fall by",
                why="on released brakes the auxiliaries fall too and hide the leak; the test reads the pipe alone.",
                gives=lambda s: s.again(falling="auxiliaries"),
            ),
        ),
    ),
    Form(
        id="rear-gradient",
        topic=TOPIC,
        calculator="rear-pressure",
        asks="gradient",
        until="Floor",
        words="The head reads {brake_pipe_setting}, its setting; the rear reads {rear}. What is the gradient?",
        draw=_gradient,
        slips=(
            Slip(
                mistake="head-tells-rear",
                step="Gradient",
                why="the head shows the head; the rear's own reading makes the gradient.",
                gives=lambda s: 0.0,
            ),
            Slip(
                mistake="floor-for-gradient",
                step="Floor",
                why="the gradient is counted from the head's pressure, not from the floor.",
                gives=lambda s: abs(s.rear - s.least_rear),
            ),
            Slip(
                mistake="gradient-limit-for-reading",
                step="Within the gradient",
                why="that is what the rule allows, not what this train has.",
                gives=lambda s: 15.0,
            ),
        ),
    ),
    Form(
        id="rear-last-car",
        topic=TOPIC,
        calculator="rear-pressure",
        asks="emergency_at_rear",
        words=(
            "The setting is {brake_pipe_setting}, the rear reads {rear}, and all is charged to that. About what could an "
            "emergency give the last car?"
        ),
        draw=lambda d: _gradient(d) | {"rear": d.whole(70, 80)},
        slips=(
            Slip(
                mistake="head-tells-rear",
                step="Rear car, emergency",
                why="the last car has what stands at the last car, not the head's setting.",
                gives=lambda s: s.emergency_at_setting,
            ),
            Slip(
                mistake="emergency-no-more",
                step="Rear car, full service",
                why="that is its full service; in emergency the second reservoir joins in.",
                gives=lambda s: s.full_service_at_rear,
            ),
        ),
    ),
    Form(
        id="rear-floor",
        topic=TOPIC,
        calculator="rear-pressure",
        kind="within",
        right=lambda s: s.beside(f"rear-floor-{s.test}"),
        words="Before a {test} test the rear reads {rear}, brake pipe setting {brake_pipe_setting}. How does that compare with that test's own floor?",
        draw=_floor,
        slips=(
            Slip(
                mistake="one-floor-for-all",
                step="Floor",
                why="each test names its own floor; this one belongs to the other.",
                gives=lambda s: s.seen(test="class-3" if s.test == "class-1" else "class-1").beside(
                    "rear-floor-class-3" if s.test == "class-1" else "rear-floor-class-1"
                ),
            ),
            Slip(
                mistake="limit-turned-round",
                step="Floor",
                why="a floor is the least that may be there.",
                gives=lambda s: _turned(s.beside(f"rear-floor-{s.test}")),
            ),
        ),
    ),
    Form(
        id="charging-least",
        topic=TOPIC,
        calculator="charging-time",
        asks="time_lower_bound",
        until="Least time",
        words=(
            "{cars} cars stand at {from_pressure} and are charged to {brake_pipe_setting} with {delivery}. What is the least "
            "time that their air takes, if nothing leaks?"
        ),
        draw=_charge,
        slips=(
            Slip(
                mistake="head-gauge-for-train",
                step="One car holds",
                why="that fills the pipe only; each car's reservoirs hold several times as much.",
                gives=_pipe_only,
            ),
            Slip(
                mistake="charged-from-empty",
                step="Free air",
                why="only the rise has to be pumped, not the whole of the pressure.",
                gives=lambda s: s.again(from_pressure=0),
            ),
            Slip(
                mistake="gauge-and-absolute",
                step="Free air",
                why="only the rise counts; the air that is there at atmosphere has not to be pumped.",
                gives=lambda s: (
                    s.time_lower_bound
                    * (s.brake_pipe_setting + ATMOSPHERE)
                    / (s.brake_pipe_setting - s.from_pressure)
                ),
            ),
        ),
    ),
    Form(
        id="exhaust-says",
        topic=TOPIC,
        calculator="exhaust-time",
        kind="tells",
        right=_blow_says,
        options={
            "short": "air came from only part of the train: a cock may be closed",
            "fits": "it is as long as for the whole train, and part of it could blow as long",
            "long": "more air left than these cars should give",
        },
        words="{cars} cars, {reduction} off from {brake_pipe_setting}. The head blew for {heard}, and the head gauge looks as always. What does the blow say?",
        draw=_blow,
        slips=(
            Slip(
                mistake="head-tells-rear",
                step="At least",
                why="behind a closed cock the head looks in order, only quick.",
                gives=lambda s: "fits",
            ),
            Slip(
                mistake="blow-misread-long",
                step="At most",
                why="the blow is not over what these cars could give.",
                gives=lambda s: "long",
            ),
            Slip(
                mistake="blow-misread-short",
                step="At least",
                why="the blow is not under what these cars should give.",
                gives=lambda s: "short",
            ),
        ),
    ),
    Form(
        id="compressor-start",
        topic=TOPIC,
        calculator="main-reservoir",
        asks="compressor_start",
        until="and stops no lower than",
        words="The brake pipe is set at {brake_pipe_setting}. At what main reservoir pressure, at the lowest, must the compressor start?",
        draw=_compressor,
        slips=(
            Slip(
                mistake="compressor-left-alone",
                step="Compressor starts no lower than",
                why="it must start above the setting that is in use, not above 90.",
                gives=lambda s: s.again(brake_pipe_setting=90),
            ),
            Slip(
                mistake="margin-left-out",
                step="Compressor starts no lower than",
                why="it starts 15 psi above the brake pipe at the least, so that air can flow into it.",
                gives=lambda s: s.brake_pipe_setting,
            ),
            Slip(
                mistake="start-for-stop",
                step="and stops no lower than",
                why="that is where it may stop.",
                gives=lambda s: s.compressor_stop,
            ),
        ),
    ),
    Form(
        id="safety-valve",
        topic=TOPIC,
        calculator="main-reservoir",
        asks="safety_valve",
        until="Safety valve keeps it under",
        words="The working pressure of the main reservoir is {working_pressure}. Under what must the safety valve keep it, by the newer rule?",
        draw=_safety,
        slips=(
            Slip(
                mistake="older-safety-valve",
                step="Safety valve keeps it under",
                why="10 psi is the older rule's figure, and it was counted from the governor.",
                gives=lambda s: s.working_pressure + 10,
            ),
            Slip(
                mistake="governor-for-safety-valve",
                step="Governor at the most",
                why="that is the most at which the governor stops the compressor.",
                gives=lambda s: s.governor_high,
            ),
            Slip(
                mistake="margin-left-out",
                step="Safety valve keeps it under",
                why="it must not blow at the working pressure itself.",
                gives=lambda s: s.working_pressure,
            ),
        ),
    ),
    Form(
        id="pump-up",
        topic=TOPIC,
        apart=0.08,
        calculator="main-reservoir",
        asks="time",
        until="Pump-up without leakage",
        words="A main reservoir of {volume} stands at {from_pressure}. The compressor delivers {delivery}. How long to {to_pressure}, without leakage?",
        draw=_pump,
        slips=(
            Slip(
                mistake="charged-from-empty",
                step="Pump-up without leakage",
                why="only the rise has to be pumped.",
                gives=lambda s: s.again(from_pressure=0),
            ),
            Slip(
                mistake="gauge-and-absolute",
                step="Pump-up without leakage",
                why="the air that is there at atmosphere has not to be pumped.",
                gives=lambda s: (
                    s.time * (s.to_pressure + ATMOSPHERE) / (s.to_pressure - s.from_pressure)
                ),
            ),
        ),
    ),
    Form(
        id="pump-delivery",
        topic=TOPIC,
        calculator="main-reservoir",
        asks="time",
        until="Pump-up without leakage",
        words=(
            "The compressor's plate says that its pistons sweep {swept:cfm}; timed, {delivery} arrive. A main reservoir of {volume} "
            "stands at {from_pressure}. How long to {to_pressure}, without leakage?"
        ),
        draw=lambda d: _pump(d) | {"swept": d.whole(240, 300, 10)},
        slips=(
            Slip(
                mistake="displacement-for-delivery",
                step="Pump-up without leakage",
                why="the plate's figure is what the pistons sweep, not what arrives.",
                gives=lambda s: s.again(delivery=s.swept),
            ),
            Slip(
                mistake="charged-from-empty",
                step="Pump-up without leakage",
                why="only the rise has to be pumped.",
                gives=lambda s: s.again(from_pressure=0),
            ),
        ),
    ),
    Form(
        id="blow-light",
        topic=TOPIC,
        calculator="exhaust-time",
        asks="shortest",
        until="At least",
        words="{cars} cars, a light set of {reduction} off {brake_pipe_setting}. How long should the head blow at the least?",
        draw=lambda d: {"cars": d.whole(90, 140, 10), "reduction": d.whole(6, 10)},
        slips=(
            Slip(
                mistake="light-set-for-test",
                step="Friction along the pipe",
                why="that is the figure for 20 psi off; of a light set the cars let more out themselves, and the blow tells less.",
                gives=lambda s: s.again(reduction=20),
            ),
            Slip(
                mistake="most-for-least",
                step="At least",
                why="that is how long it may blow at the most.",
                gives=lambda s: s.longest,
            ),
        ),
    ),
    Form(
        id="cylinder-left",
        topic=TOPIC,
        calculator="cylinder-leak-off",
        asks="brake_cylinder_left",
        words=(
            "A standing car's cylinder holds {brake_cylinder} and has been seen to fall by {leakage}. About what is left after "
            "{wait}, if nothing else happens?"
        ),
        draw=_leak_off,
        slips=(
            Slip(
                mistake="brake-for-securement",
                step="After the wait",
                why="an applied brake leaks off; only hand brakes stay where they were put.",
                gives=lambda s: s.brake_cylinder,
            ),
            Slip(
                mistake="same-rate-on",
                step="It slows as the pressure falls",
                why="the same hole passes less air at less pressure, so it slows; but it does go to nothing.",
                gives=lambda s: max(0.0, s.brake_cylinder - 60 * s.wait * s.leakage),
            ),
        ),
    ),
    Form(
        id="cylinder-cold",
        topic=TOPIC,
        calculator="cylinder-leak-off",
        asks="brake_cylinder_left",
        words="Read in the warm, a standing car's cylinder of {brake_cylinder} leaked slowly. In the night's cold it falls by {leakage}, {times} times as fast. About what is left after {wait} of that, if nothing else happens?",
        draw=_leaks_more,
        slips=(
            Slip(
                mistake="leak-read-warm",
                step="It slows as the pressure falls",
                why="a leak that was read in the warm says nothing of the cold, in which worn cars took several times the air.",
                gives=lambda s: s.again(leakage=s.leakage / s.times),
            ),
            Slip(
                mistake="brake-for-securement",
                step="After the wait",
                why="an applied brake leaks off; only hand brakes stay where they were put.",
                gives=lambda s: s.brake_cylinder,
            ),
        ),
    ),
    Form(
        id="cylinder-worst",
        topic=TOPIC,
        calculator="cylinder-leak-off",
        asks="brake_cylinder_left",
        words="All cylinders of a standing cut hold {brake_cylinder}. The worst car has been seen to fall by {leakage}, {times} times as fast as the car with the gauge. About what is left at the worst after {wait}, if nothing else happens?",
        draw=_leaks_more,
        slips=(
            Slip(
                mistake="gauge-car-for-all",
                step="It slows as the pressure falls",
                why="the cut rolls by its worst cars, not by the one that has the gauge.",
                gives=lambda s: s.again(leakage=s.leakage / s.times),
            ),
            Slip(
                mistake="brake-for-securement",
                step="After the wait",
                why="an applied brake leaks off; only hand brakes stay where they were put.",
                gives=lambda s: s.brake_cylinder,
            ),
        ),
    ),
)


def _turned(beside: str | None) -> str | None:
    """The other side of a limit."""
    standing, _, limit = (beside or "").partition("|")
    return f"{'within' if standing == 'not within' else 'not within'}|{limit}" if limit else None
