"""Figures that a model is made of: nominal equipment, rules of thumb, what a report counted."""

from __future__ import annotations

from calculators.figures.records import Figure
from calculators.law.records import Citation

_USUAL_TABLE = (
    "the table that crews usually carry, from memory; shown beside the model, no check of it"
)

AUXILIARY_VOLUME = Figure(
    id="auxiliary-volume",
    title="Auxiliary reservoir of a car",
    value=2500.0,
    unit="cu in",
    mark="M",
    decides="how much air a set has; an input everywhere",
    from_where="from memory",
    setting="auxiliary_volume",
)

EMERGENCY_VOLUME = Figure(
    id="emergency-volume",
    title="Emergency reservoir of a car",
    value=3500.0,
    unit="cu in",
    mark="M",
    decides="how much air an emergency has; an input everywhere",
    from_where="from memory",
    setting="emergency_volume",
)

CYLINDER_BORE = Figure(
    id="cylinder-bore",
    title="Brake cylinder of a car, bore; the other is 8 1/2 in",
    value=10.0,
    unit="in",
    digits=1,
    mark="S",
    decides="the cylinder's volume and force",
    sources=(Citation("AAR-S-400", "table 2.1"),),
    setting="cylinder_bore",
)

CHECKED_TRAVEL = Figure(
    id="checked-travel",
    title="Piston travel at which the usual figures are worked",
    value=8.0,
    unit="in",
    digits=1,
    mark="P",
    decides="the cylinder's volume; the space not swept is fitted at it",
    from_where="common practice for worked figures; 7 1/2 is nominal in service",
    setting="piston_travel",
)

QUICK_SERVICE_LIMIT = Figure(
    id="quick-service-limit",
    title="Pressure up to which quick service fills a car's cylinder",
    value=10.0,
    unit="psi",
    mark="M",
    decides="the least cylinder pressure of a light set",
    from_where="from memory, 8 to 12",
    setting="quick_service_limit",
)

MOVING_REDUCTION = Figure(
    id="moving-reduction",
    title="Reduction that moves a car's control valve",
    value=2.5,
    unit="psi",
    digits=1,
    mark="M",
    decides="a lighter set applies nothing",
    from_where="from memory",
    setting="moving_reduction",
)

FIT_CHARGED = Figure(
    id="fit-charged",
    title="Pressure at which the space not swept is fitted",
    value=90.0,
    unit="psi",
    mark="M",
    decides="with the next: the space in a car's cylinder that holds air already",
    from_where=_USUAL_TABLE,
)

FIT_FULL_SERVICE = Figure(
    id="fit-full-service",
    title="Full service that the fit comes to",
    value=64.0,
    unit="psi",
    mark="M",
    decides="the same",
    from_where=_USUAL_TABLE,
)

RULE_FACTOR = Figure(
    id="rule-factor",
    title="Rule of thumb: cylinder for each psi of reduction",
    value=2.5,
    unit="",
    digits=1,
    mark="S",
    decides="the rule's figure beside the volumes",
    sources=(Citation("HOWARD"),),
)

RULE_EMERGENCY = Figure(
    id="rule-emergency",
    title="Rule of thumb: emergency, as a share of full service",
    value=1.2,
    unit="",
    digits=1,
    mark="S",
    decides="the rule's figure beside the volumes",
    sources=(Citation("ARMY-203"), Citation("ARRC-96", "67-10")),
)

EMPTY_SHARE = Figure(
    id="empty-share",
    title="Empty/load device, empty: share of the loaded force",
    value=35.0,
    upper=60.0,
    unit="%",
    mark="S",
    decides="the band of an empty car's force",
    sources=(Citation("ARRC-96", "p. 67"),),
    setting="empty_share",
)

RETAINED_HIGH = Figure(
    id="retained-high",
    title="Retaining valve, high pressure: what stays in the cylinder",
    value=20.0,
    unit="psi",
    mark="S",
    decides="the cylinder after a release",
    sources=(Citation("ARRC-96", "p. 67-12"),),
)

RETAINED_LOW = Figure(
    id="retained-low",
    title="Retaining valve, low pressure: what stays in the cylinder",
    value=10.0,
    unit="psi",
    mark="S",
    decides="the cylinder after a release",
    sources=(Citation("ARRC-96", "p. 67-12"),),
)

BLOW_DOWN_SECONDS = Figure(
    id="blow-down",
    title="Slow-direct position of a retaining valve",
    value=86.0,
    unit="s",
    mark="S",
    decides="the curve of the cylinder after a release",
    sources=(Citation("ARRC-96", "p. 67-12"),),
)

PRESSED_SECONDS = Figure(
    id="pressed-seconds",
    title="Independent handle pressed in the standing test",
    value=7.0,
    unit="s",
    mark="S*",
    decides="printed in the steps",
    sources=(Citation("ARMY-223", "p. 2-7"), Citation("ARMY-224", "p. 2-8")),
)

CUT_OFF_OPENS = Figure(
    id="cut-off-opens",
    title="Pressure behind the cut-off valve at which it feeds the brake pipe",
    value=25.0,
    unit="psi",
    mark="S*",
    decides="below it a rise of the equalizing reservoir brings no brake pipe with it",
    sources=(Citation("ARMY-224"),),
)

CHARGING_MINUTES = Figure(
    id="charging-minutes",
    title="Rule for charging: time for each ten cars",
    value=5.0,
    unit="min",
    mark="S",
    decides="the rule's time; how slowly air is counted to come back",
    sources=(Citation("NAVY"),),
    setting="minutes_per_ten_cars",
)

CHARGING_RESERVOIR = Figure(
    id="charging-reservoir",
    title="Main reservoir that the rule is given for",
    value=100.0,
    unit="psi",
    mark="S",
    decides="printed beside the rule's time",
    sources=(Citation("NAVY"),),
)

RULE_CAR_LENGTH = Figure(
    id="rule-car-length",
    title="Car length that the rule for charging is read for",
    value=55.0,
    unit="ft",
    mark="own",
    decides="longer cars are counted to take longer in proportion",
    from_where="the length of the examples; the text names none",
)

CHOKE_REACHES = Figure(
    id="choke-reaches",
    title="Auxiliary after one minute from a pipe held at 90",
    value=70.0,
    unit="psi",
    mark="S",
    decides="how far an auxiliary lags behind its pipe",
    sources=(Citation("MCB-06", "test 2: 45 to 60 s"),),
)

PIPE_BORE = Figure(
    id="pipe-bore",
    title="Brake pipe, bore of extra-heavy 1 1/4-in pipe",
    value=1.278,
    unit="in",
    digits=3,
    mark="M",
    decides="the volume of the pipe; the user may choose another",
    from_where="from memory of pipe tables",
    setting="pipe_bore",
)

PIPE_FRICTION = Figure(
    id="pipe-friction",
    title="Friction factor of the pipe with its hoses and cocks",
    value=0.032,
    unit="",
    digits=3,
    mark="M",
    decides="how long the head exhausts",
    from_where="from memory: 0.028, and 15 % for hoses and cocks",
)

SERVICE_SECONDS = Figure(
    id="service-seconds",
    title="Equalizing reservoir from 110 to 90 at service rate",
    value=5.5,
    upper=6.0,
    unit="s",
    digits=1,
    mark="S",
    decides="the rate at which a set is made",
    sources=(Citation("RLE"),),
)

SHORT_SHARE = Figure(
    id="exhaust-short-share",
    title="Least share of the pipe's own time that the head exhausts",
    value=0.25,
    unit="",
    digits=2,
    mark="own",
    decides="the short end of the exhaust's band: quick service lets out the rest on the cars",
    from_where="wide enough for every run of the train model",
)

LONG_SHARE = Figure(
    id="exhaust-long-share",
    title="Most share of the pipe's own time that the head exhausts",
    value=1.0,
    unit="",
    digits=1,
    mark="own",
    decides="the long end: as if no car let anything out",
    from_where="no car gives air back",
)

SHOE_SCATTER = Figure(
    id="shoe-scatter",
    title="How far shoes alone change a stop",
    value=1.2,
    unit="",
    digits=1,
    mark="S",
    decides="the band of a stopping distance",
    sources=(Citation("RLE", "on the tests of 1913"),),
)

FILL_SCATTER = Figure(
    id="fill-scatter",
    title="How much sooner or later than nominal cylinders may fill",
    value=2.0,
    unit="",
    digits=1,
    mark="own",
    decides="the band of a stopping distance",
    from_where="a guess, a wide one",
)

EMERGENCY_TRAVEL = Figure(
    id="emergency-travel",
    title="Speed at which an emergency starts along the train",
    value=930.0,
    unit="ft/s",
    mark="M",
    decides="the build-up of a stop",
    from_where="from memory, 900 to 950",
    setting="travel_speed",
)

SERVICE_TRAVEL = Figure(
    id="service-travel",
    title="Speed at which a service application starts along the train",
    value=500.0,
    unit="ft/s",
    mark="M",
    decides="the build-up of a stop",
    from_where="from memory, 400 to 600",
    setting="travel_speed",
)

EMERGENCY_FILL = Figure(
    id="emergency-fill",
    title="A car's cylinder fills in emergency",
    value=11.0,
    unit="s",
    mark="M",
    decides="the build-up of a stop",
    from_where="from memory; near the mean of the train model",
    setting="fill_time",
)

SERVICE_FILL = Figure(
    id="service-fill",
    title="A car's cylinder fills in service, on the shortest train",
    value=10.0,
    unit="s",
    mark="M",
    decides="the build-up of a stop",
    from_where="from memory; near the mean of the train model",
    setting="fill_time",
)

SERVICE_FILL_PER_CAR = Figure(
    id="service-fill-per-car",
    title="The same, more for each car: it waits for the pipe",
    value=0.5,
    unit="s",
    digits=1,
    mark="M",
    decides="the build-up of a stop",
    from_where="from memory; near the mean of the train model",
)

CURVE_PER_DEGREE = Figure(
    id="curve-per-degree",
    title="Resistance of a curve, for each degree",
    value=0.8,
    unit="lb/ton",
    digits=1,
    mark="S",
    decides="what a curve holds back",
    sources=(Citation("LECTURE"),),
)

AXLES_PER_CAR = Figure(
    id="axles-per-car",
    title="Axles of a freight car",
    value=4.0,
    unit="",
    mark="P",
    decides="the resistance of a train known by its weight and cars alone",
    from_where="common practice",
)

COLD_TIMES = Figure(
    id="cold-times",
    title="Air that worn cars took in great cold, times that of new ones",
    value=5.0,
    unit="",
    mark="S",
    decides="printed beside a leaking cylinder",
    sources=(Citation("NRC-24"),),
)

HEARD_FROM = Figure(
    id="heard-from",
    title="Flow of free air that is heard at an exhaust or a leak",
    value=0.3,
    unit="cfm",
    digits=1,
    mark="M",
    decides="whether a fault is counted as heard",
    from_where="from memory",
)

PISTON_SEEN_OUT = Figure(
    id="piston-seen-out",
    title="Cylinder pressure at which a piston is seen to be out",
    value=8.0,
    unit="psi",
    mark="M",
    decides="whether a fault is counted as seen at the trucks",
    from_where="from memory",
)

UNDER_PIPE = Figure(
    id="under-pipe",
    title="How far the equalizing reservoir reads under the pipe before the valve is cut in",
    value=2.0,
    unit="psi",
    mark="S*",
    decides="how the brake is cut in again while a fault is looked for",
    sources=(Citation("ARMY-224-12", "p. 2-32"),),
)

MOST_UNDER_PIPE = Figure(
    id="most-under-pipe",
    title="How far under at the most, on a locomotive alone",
    value=5.2,
    unit="psi",
    digits=1,
    mark="M",
    decides="further under, cutting in could make an emergency",
    from_where="nominal; in the model it does from 8",
)

LEFT_SET = Figure(
    id="left-set",
    title="Set of a train that was left and let go",
    value=12.0,
    unit="psi",
    mark="S",
    decides="printed beside a leaking cylinder",
    sources=(Citation("FRA-2022-02", "about 12 psi"),),
)

LEFT_HOURS = Figure(
    id="left-hours",
    title="After how long it let go",
    value=3.0,
    unit="h",
    mark="S",
    decides="printed beside a leaking cylinder",
    sources=(Citation("FRA-2022-02", "about three hours"), Citation("TSB-19C", "about 3 hours")),
)

USUAL_FULL_SERVICE = {
    float(charged): Figure(
        id=f"usual-full-service-{charged}",
        title=f"Full service from {charged} in the usual table",
        value=value,
        unit="psi",
        mark="M",
        decides="a dot beside the model's curve",
        from_where=_USUAL_TABLE,
    )
    for charged, value in ((70, 50.0), (80, 57.0), (90, 64.0), (110, 78.0))
}

USUAL_EMERGENCY = {
    float(charged): Figure(
        id=f"usual-emergency-{charged}",
        title=f"Emergency from {charged} in the usual table",
        value=value,
        unit="psi",
        digits=1,
        mark="M",
        decides="a dot beside the model's curve",
        from_where=_USUAL_TABLE,
    )
    for charged, value in ((70, 60.0), (80, 68.5), (90, 77.0), (110, 94.0))
}

NOMINAL = (
    AUXILIARY_VOLUME,
    EMERGENCY_VOLUME,
    CYLINDER_BORE,
    CHECKED_TRAVEL,
    QUICK_SERVICE_LIMIT,
    MOVING_REDUCTION,
    FIT_CHARGED,
    FIT_FULL_SERVICE,
    RULE_FACTOR,
    RULE_EMERGENCY,
    EMPTY_SHARE,
    RETAINED_HIGH,
    RETAINED_LOW,
    BLOW_DOWN_SECONDS,
    PRESSED_SECONDS,
    CUT_OFF_OPENS,
    CHARGING_MINUTES,
    CHARGING_RESERVOIR,
    RULE_CAR_LENGTH,
    CHOKE_REACHES,
    PIPE_BORE,
    PIPE_FRICTION,
    SERVICE_SECONDS,
    SHORT_SHARE,
    LONG_SHARE,
    SHOE_SCATTER,
    FILL_SCATTER,
    EMERGENCY_TRAVEL,
    SERVICE_TRAVEL,
    EMERGENCY_FILL,
    SERVICE_FILL,
    SERVICE_FILL_PER_CAR,
    CURVE_PER_DEGREE,
    AXLES_PER_CAR,
    COLD_TIMES,
    HEARD_FROM,
    PISTON_SEEN_OUT,
    UNDER_PIPE,
    MOST_UNDER_PIPE,
    LEFT_SET,
    LEFT_HOURS,
    *USUAL_FULL_SERVICE.values(),
    *USUAL_EMERGENCY.values(),
)
