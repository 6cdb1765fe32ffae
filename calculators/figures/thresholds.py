"""Thresholds: a warning, or another answer, stands on one side of each and not on the other."""

from __future__ import annotations

from calculators.figures.records import Figure
from calculators.law.records import Citation

EMERGENCY_NEEDS = Figure(
    id="emergency-needs",
    title="Brake pipe below which an emergency is not counted on",
    value=45.0,
    unit="psi",
    mark="M",
    decides="below it every answer says that emergency is not assured",
    from_where="from memory; no text read gives it",
    setting="emergency_needs",
)

PLAUSIBLE_CYLINDER = Figure(
    id="plausible-cylinder",
    title="Locomotive cylinder worth a second look",
    value=75.0,
    unit="psi",
    mark="P",
    decides="above it the answer asks to check the limits and ratios entered",
    from_where="common practice on this equipment",
)

CYLINDER_IN_DYNAMIC = Figure(
    id="cylinder-in-dynamic",
    title="Locomotive cylinder while in dynamic, one railroad",
    value=18.0,
    unit="psi",
    mark="S",
    decides="above it, with the dynamic brake on, the answer says so",
    sources=(Citation("ARRC-96", "64-34"),),
)

RELEASE_FROM = Figure(
    id="release-from",
    title="Least set before a release, one railroad",
    value=10.0,
    unit="psi",
    mark="S",
    decides="a release from a lighter set is warned of",
    sources=(Citation("ARRC-96", "64-3"),),
)

PLAN_ENDS = Figure(
    id="plan-ends",
    title="Deepest set before the plan is changed, one railroad",
    value=15.0,
    unit="psi",
    mark="S",
    decides="a deeper set is warned of",
    sources=(Citation("ARRC-96", "64"),),
)

PLAN_ENDS_MOUNTAIN = Figure(
    id="plan-ends-mountain",
    title="The same in mountain territory",
    value=18.0,
    unit="psi",
    mark="S",
    decides="printed beside the other",
    sources=(Citation("ARRC-96", "64"),),
)

DEEPER_BY = Figure(
    id="deeper-by",
    title="How far a set after a release goes below the one before it, one railroad",
    value=5.0,
    unit="psi",
    mark="S",
    decides="a set that goes less far is warned of",
    sources=(Citation("ARRC-96", "64-2"),),
)

SHORT_BY = Figure(
    id="short-by",
    title="How much less than it reads a set is worth before that is said",
    value=1.0,
    unit="psi",
    mark="own",
    decides="above it the answer warns that the last set is worth less than it reads",
    from_where="less is not read on a gauge",
)

LEAST_OVER = Figure(
    id="least-over",
    title="How far past full service a set goes before that is said",
    value=0.5,
    unit="psi",
    digits=1,
    mark="own",
    decides="above it the answer says that the set is past full service",
    from_where="less is not seen on a gauge",
)

PARTED = Figure(
    id="rule-parted",
    title="How far the rule of thumb and the volumes part before that is said",
    value=3.0,
    unit="psi",
    mark="own",
    decides="above it the answer says where the two part",
    from_where="less says the same on a gauge",
)

REDUCTION_READ = Figure(
    id="reduction-read",
    title="How closely a reduction is read on a cab gauge",
    value=1.0,
    unit="psi",
    mark="P",
    decides="widens the band inside which a reading agrees with the prediction",
    from_where="common practice: whole psi",
)

EMERGENCY_SECONDS = Figure(
    id="emergency-seconds",
    title="Equalizing reservoir empty in emergency",
    value=3.0,
    upper=5.0,
    unit="s",
    mark="S*",
    decides="a time outside is warned of",
    sources=(Citation("ARMY-223", "p. 2-7"),),
)

HEAVY_TONS = Figure(
    id="heavy-tons",
    title="Weight on each operative brake above which one railroad ran slower",
    value=80.0,
    unit="tons",
    mark="S",
    decides="a heavier train is warned of",
    sources=(Citation("NTSB-90", "special instructions, as printed in the report"),),
)

HIGHEST_LIGHT_RATIO = Figure(
    id="highest-light-ratio",
    title="Shoe force at full service, of the light weight: an old rule",
    value=70.0,
    unit="%",
    mark="S",
    decides="gives the lightest weight that the force belongs to",
    sources=(Citation("LUDY", "p. 101"),),
)

WIDEST_TRIED_GAP = Figure(
    id="widest-tried-gap",
    title="Pipe between working brakes that a service application crossed in every trial",
    value=240.0,
    unit="ft",
    mark="own",
    decides="a wider gap is warned of",
    from_where="trials of the train model: 40, 55, 70 and 90 ft cars at 70, 90 and 110 psi; 280 to "
    "360 ft was crossed sometimes, more hardly ever",
)

RELEASING_RISE = Figure(
    id="releasing-rise",
    title="Rise of the brake pipe that lets a direct-release valve go",
    value=1.5,
    unit="psi",
    digits=1,
    mark="M",
    decides="above it the locomotive's brake is counted as released",
    from_where="from memory, 1.5 to 3; the smaller end, so that a release that may happen is not "
    "hidden",
)

RAIL_LOWEST = Figure(
    id="rail-lowest",
    title="Friction of a sliding wheel on the rail, lowest reading",
    value=0.12,
    unit="",
    digits=2,
    mark="S",
    decides="a brake that asks for more is warned of: wheels may slide",
    sources=(Citation("AB13", "p. 154"),),
)

RAIL_USUAL = Figure(
    id="rail-usual",
    title="Friction of a sliding wheel on the rail, most readings",
    value=0.22,
    upper=0.30,
    unit="",
    digits=2,
    mark="S",
    decides="printed in that warning",
    sources=(Citation("AB13", "p. 154"),),
)

RAIL_HIGHEST = Figure(
    id="rail-highest",
    title="Friction of a sliding wheel on the rail, highest reading",
    value=0.35,
    unit="",
    digits=2,
    mark="S",
    decides="printed in that warning",
    sources=(Citation("AB13", "p. 154"),),
)

USUAL_EMERGENCY_SPEED = Figure(
    id="usual-emergency-speed",
    title="Speed of an emergency along the train, as the trade says it",
    value=900.0,
    upper=950.0,
    unit="ft/s",
    mark="M",
    decides="a run of the train model says whether its speed lies inside; not verified",
    from_where="from memory",
)

USUAL_SERVICE_SPEED = Figure(
    id="usual-service-speed",
    title="Speed of a service application along the train, as the trade says it",
    value=500.0,
    upper=600.0,
    unit="ft/s",
    mark="M",
    decides="a run of the train model says whether its speed lies inside; not verified",
    from_where="from memory; others say 400 to 600",
)

THRESHOLDS = (
    EMERGENCY_NEEDS,
    PLAUSIBLE_CYLINDER,
    CYLINDER_IN_DYNAMIC,
    RELEASE_FROM,
    PLAN_ENDS,
    PLAN_ENDS_MOUNTAIN,
    DEEPER_BY,
    SHORT_BY,
    LEAST_OVER,
    PARTED,
    REDUCTION_READ,
    EMERGENCY_SECONDS,
    HEAVY_TONS,
    HIGHEST_LIGHT_RATIO,
    WIDEST_TRIED_GAP,
    RELEASING_RISE,
    RAIL_LOWEST,
    RAIL_USUAL,
    RAIL_HIGHEST,
    USUAL_EMERGENCY_SPEED,
    USUAL_SERVICE_SPEED,
)
