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
    **_of(
        "calculators/car-brake/#mistakes-people-make",
        rule_for_light="Trusting the rule of thumb",
        rule_past_equalization="Using the rule of thumb past equalization",
        gauge_and_absolute="Mixing gauge and absolute pressure",
        travel_left_out="Taking all piston travels alike",
        travel_turned_round="Turning the piston travel round",
    ),
    **_of(
        "release-modes/retaining-valves/",
        retainer_holds_all="Believing that a retaining valve holds the set",
        retainer_holds_nothing="Believing that a release lets everything go",
        retainer_mixed="Mixing the retaining valve's positions",
    ),
    **_of(
        "calculators/full-service-figures/#mistakes-people-make",
        one_figure_for_all="Carrying one full-service reduction for all settings",
        emergency_no_more="Believing that emergency gives no more",
    ),
    **_of(
        "calculators/over-reduction/#mistakes-people-make",
        more_helps="Believing that more reduction past full service helps",
        over_reduction_forgotten="Forgetting the over-reduction at the release",
    ),
    **_of(
        "calculators/release/#mistakes-people-make",
        direct_expected="Expecting a direct release",
        rise_does_nothing="Believing that a small rise does nothing",
        head_tells_rear="Believing that the head gauge tells the rear",
    ),
    **_of(
        "calculators/repeated-applications/#mistakes-people-make",
        not_recharged="Counting from the setting though the train is not recharged",
        emergency_as_reserve="Keeping emergency in mind as the reserve",
    ),
    **_of(
        "calculators/leakage-and-flow/#mistakes-people-make",
        limits_are_one="Treating the leakage and the air flow limit as the same",
        pressure_left_out="Leaving the pressure of the reading out",
        cut_in_above_pipe="Cutting in with the equalizing reservoir above the pipe",
        leak_adds_brake="Counting on the leak to brake on",
        leak_read_released="Reading leakage on released brakes",
    ),
    **_of(
        "calculators/rear-pressure/#mistakes-people-make",
        floor_for_gradient="Counting the gradient from the floor",
        gradient_limit_for_reading="Taking the limit for the reading",
        one_floor_for_all="Taking one floor for all tests",
        limit_turned_round="Turning a limit round",
    ),
    **_of(
        "calculators/charging-time/#mistakes-people-make",
        head_gauge_for_train="Taking the head gauge for the train",
        charged_from_empty="Counting from empty",
    ),
    **_of(
        "calculators/exhaust-time/#mistakes-people-make",
        blow_misread_long="Hearing a blow as too long",
        blow_misread_short="Hearing a blow as too short",
    ),
    **_of(
        "calculators/main-reservoir/#mistakes-people-make",
        compressor_left_alone="Raising the setting and leaving the compressor alone",
        margin_left_out="Leaving the margin out",
        start_for_stop="Taking the compressor's stop for its start",
        older_safety_valve="Quoting the older safety valve figure",
        governor_for_safety_valve="Taking the governor's figure for the safety valve's",
    ),
    **_of(
        "calculators/cylinder-leak-off/#mistakes-people-make",
        brake_for_securement="Taking an applied brake for a secured train",
        same_rate_on="Counting on at the same rate",
    ),
    **_of(
        "calculators/brake-force/#mistakes-people-make",
        ratio_at_other_pressure="Comparing ratios at different pressures",
        efficiency_left_out="Leaving the rigging's losses out",
    ),
    **_of(
        "calculators/grade-balance/#mistakes-people-make",
        all_cars_hold="Dividing by all cars",
        cut_out_left_at_home="Leaving the cut-out cars' weight out",
    ),
    **_of(
        "calculators/train-resistance/#mistakes-people-make",
        percent_as_degrees="Reading percent as degrees",
        pounds_a_ton_slipped="Halving the pull of a percent",
        grade_and_curve_mixed="Mixing grade and curve",
        direction_turned_round="Turning the direction round",
    ),
    **_of(
        "calculators/hand-brakes/#mistakes-people-make",
        margin_for_hand_brakes="Leaving the margin for hand brakes out",
    ),
    **_of(
        "calculators/stopping-distance/#mistakes-people-make",
        on_with_the_handle="Believing that the brakes are on when the handle is",
        friction_at_rest="Taking the friction at rest",
    ),
    **_of(
        "calculators/measured-stop/#mistakes-people-make",
        grade_left_in="Comparing stops with the grade left in",
    ),
    **_of(
        "tests/interchange/#mistakes-people-make",
        interchange_hours="Using 24 h for cars added at interchange",
        short_move_as_transfer="Reading the short move as a transfer train",
    ),
    **_of(
        "tests/intervals/#mistakes-people-make",
        four_hours="Quoting four hours off air",
        miles_from_any_test="Counting distance from the last test of any class",
    ),
    **_of(
        "tests/class-2/#mistakes-people-make",
        added_not_train="Forgetting the train over the cars added",
        solid_for_tested="Taking a solid block for a tested one",
        tested_tested_again="Testing again what came tested",
        class_2_is_enough="Forgetting the Class I test ahead",
    ),
    **_of(
        "tests/class-3/#mistakes-people-make",
        class_3_for_class_1="Taking Class III for more than it is",
        flicker_counts="Counting any flicker of the display",
        device_error_for_response="Mixing figures that read alike",
    ),
    **_of(
        "tests/class-1a/#mistakes-people-make",
        class_1a_is_class_1="Taking Class IA for a full Class I",
    ),
    **_of(
        "tests/yard-air/#mistakes-people-make",
        class_3_left_out="Leaving out the Class III test",
        class_1_twice="Making the Class I twice",
    ),
    **_of(
        "calculators/brake-test/#mistakes-people-make",
        cars_for_valves="Counting cars instead of control valves",
        share_over_cars="Laying valves over cars",
        deeper_is_better="Taking more off than the test names",
        two_sources_for_one="Using the figure for two sources of air",
    ),
    **_of(
        "tests/piston-travel/#mistakes-people-make",
        older_travel="Quoting 7 to 9 in for freight",
        travel_limits_mixed="Mixing the two limits of piston travel",
    ),
    **_of(
        "tests/locomotive-daily/#mistakes-people-make",
        first_set_for_second="Reading the first set for the second",
    ),
    **_of(
        "circuits/service-application/",
        read_before_still="Reading before it is still",
        nothing_yet="Waiting for the train before the locomotive",
        rear_falls_at_release="Letting the rear fall at a release",
        rear_only_rises="Letting the rear only rise at a release",
        cylinder_first="Letting the cylinder move first",
        pipe_before_reservoir="Letting the pipe move before the equalizing reservoir",
    ),
    **_of(
        "calculators/car-brake/",
        first_cause_taken="Taking the first cause that comes to mind",
        direction_is_enough="Letting the direction of a reading name the cause",
    ),
    **_of(
        "tests/class-1a/#mistakes-people-make",
        miles_of_the_train="Counting the train's miles instead of the car's",
        class_1_anyway="Making a Class I where less is due",
    ),
    **_of(
        "tests/extended-haul/#mistakes-people-make",
        long_run_is_extended="Treating any long run as extended haul",
        second_pick_up_allowed="Picking up a second time as if the designation held",
        defective_set_out_counts="Counting a defective car's set-out",
        miles_from_class_1a="Counting from a Class IA test",
    ),
    **_of(
        "tests/transfer/#mistakes-people-make",
        next_yard_for_move="Taking the distance to the next yard for the length of the move",
        transfer_test_carried_over="Carrying the transfer test over to a road train",
    ),
    **_of(
        "tests/interchange/#mistakes-people-make",
        class_2_as_tested="Counting a Class II test as previously tested",
    ),
    **_of(
        "tests/leakage/#mistakes-people-make",
        timed_at_once="Timing the leakage at once",
        older_reduction="Taking an older reduction",
        valve_left_cut_in="Leaving the brake valve cut in",
        wait_of_another_test="Taking the wait of another test",
    ),
    **_of(
        "tests/piston-travel/#mistakes-people-make",
        travel_at_other_set="Measuring travel on a lighter or deeper set than the test's",
    ),
    **_of(
        "tests/class-1/#mistakes-people-make",
        failed_car_sent_on="Sending a failed car on in the same train",
        roll_by_for_both_sides="Calling a roll-by an inspection of both sides",
        roll_by_for_the_set="Taking a roll-by for the look at the set",
    ),
    **_of(
        "tests/air-flow/#mistakes-people-make",
        one_indicator_for_train="Reading one unit's indicator for the whole train",
        one_source_for_two="Using the figure for one source of air",
        flow_read_early="Reading the air flow too early",
        flow_falls_to_nothing="Expecting the flow to fall to nothing",
    ),
    **_of(
        "tests/yard-air/#mistakes-people-make",
        device_gauge_for_far_end="Reading the device's own gauge for the far end",
        yard_charged_higher="Charging from the yard higher than the locomotive will",
    ),
    **_of(
        "tests/rear-end-device/#mistakes-people-make",
        gradient_for_agreement="Taking the agreement of two readings for the gradient",
    ),
    **_of(
        "tests/class-3/#mistakes-people-make",
        flow_for_continuity="Proving continuity by air flow falling to nothing",
    ),
    **_of(
        "calculators/hand-brakes/#mistakes-people-make",
        independent_at_the_proof="Proving with the independent still on",
        number_for_proof="Taking the number for proof",
        untried_counted="Counting hand brakes that were not tried",
    ),
    **_of(
        "calculators/train-resistance/#mistakes-people-make",
        resistance_holds="Counting on resistance to hold a standing train",
    ),
    **_of(
        "calculators/brake-force/#mistakes-people-make",
        shoe_force_for_holding="Taking shoe force for holding force",
    ),
    **_of(
        "calculators/grade-balance/#mistakes-people-make",
        weighed_by_cars="Weighing by the number of cars",
        dynamic_counted_on="Counting on the dynamic brake",
    ),
    **_of(
        "calculators/measured-stop/#mistakes-people-make",
        scaled_by_the_square="Scaling a distance by the square of the speed, far",
        scaled_by_the_speed="Scaling a distance by the speed",
    ),
    **_of(
        "calculators/charging-time/#mistakes-people-make",
        rear_gauge_for_cars="Taking the rear gauge for the cars",
    ),
    **_of(
        "calculators/train-run/#mistakes-people-make",
        released_before_the_rear="Releasing before the set has reached the rear",
        cock_closed_while_it_blows="Closing an angle cock while the exhaust still blows",
        shut_in_air_applies="Believing that air shut in applies the brakes",
    ),
    **_of(
        "calculators/main-reservoir/#mistakes-people-make",
        displacement_for_delivery="Reading displacement as delivery",
    ),
    **_of(
        "calculators/exhaust-time/#mistakes-people-make",
        light_set_for_test="Taking a light set for the test",
        most_for_least="Taking the longest blow for the shortest",
    ),
    **_of(
        "calculators/cylinder-leak-off/#mistakes-people-make",
        leak_read_warm="Reading the leak in the warm",
        gauge_car_for_all="Trusting the car with the gauge",
    ),
    **_of(
        "calculators/daily-brake-test/#mistakes-people-make",
        one_gauge_trusted="Trusting one gauge",
        gauges_for_everything="Misjudging what the gauges account for",
    ),
    **_of(
        "tests/helpers-and-distributed-power/#mistakes-people-make",
        two_valves_cut_in="Overlooking a second brake valve that is cut in",
    ),
}
