"""Every mistake that a drill asks after: its name and the page that sets it right."""

from __future__ import annotations

from calculators.study.model import Mistake

_LOCOMOTIVE = "calculators/locomotive-brake/#mistakes-people-make"


def _of(page: str, **names: str) -> dict[str, Mistake]:
    return {id.replace("_", "-"): Mistake(name=name, page=page) for id, name in names.items()}


MISTAKES: dict[str, Mistake] = {
    **_of(
        _LOCOMOTIVE,
        pipe_multiplied="Multiplying the brake pipe pressure instead of the reduction",
        limit_forgotten="Forgetting the limiting valve",
        pipes_added="Adding pipes 16 and 20",
        independent_forgotten="Leaving the independent brake out",
        automatic_forgotten="Taking the independent for the whole brake",
        gauge_is_train="Believing the train got what the locomotive's gauge shows",
        independent_for_train="Believing that the independent brakes the cars",
        ratio_forgotten="Forgetting the relay valve's ratio",
        off_for_left="Taking what came off for what is left",
        service_limit_in_emergency="Taking the service limit for the emergency limit",
        interlock_forgotten="Forgetting the dynamic brake interlock",
        cylinder_with_pipe="Thinking that a cylinder falls with the pipe",
    ),
    **_of(
        "circuits/bail-off/",
        bail_off_forgotten="Forgetting a bail-off",
        bail_off_lasts="Believing that a bail-off lasts",
        bail_off_releases_train="Believing that a bail-off releases the train",
    ),
    **_of(
        "circuits/cut-out/",
        reservoir_for_pipe="Reading the equalizing reservoir as if it were the brake pipe",
    ),
    **_of(
        "release-modes/direct-and-graduated/",
        graduated_expected="Expecting a graduated release",
        back_is_release="Taking half-way back for release",
    ),
    **_of(
        "calculators/full-service-figures/#mistakes-people-make",
        locomotive_emergency_for_cars="Mixing the locomotive's emergency figure with the cars'",
        emergency_twice="Counting emergency as twice the brake",
    ),
}
