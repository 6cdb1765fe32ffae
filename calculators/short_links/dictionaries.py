"""The dictionaries of short links, by number and subject, kept for ever.

A short link can only be read with the very text that it was made with, so one letter changed here
makes every printed code of that subject unreadable: `tests/short_links` refuses it. A subject that
is new gets a line in the newest dictionary; another text for an old one gets it in a new number, the
old one kept beside it. Links are made with the newest that has the subject; all are read.
"""

from __future__ import annotations

from collections.abc import Mapping

DICTIONARIES: Mapping[int, Mapping[str, str]] = {
    1: {
        "brake-force": (
            "v=1&brake_cylinder=64&cylinders=1&cylinder_bore=10&lever_ratio=8&efficiency=65&shoes=8&w"
            "eight=130&highest_ratio=70&cylinder_lever=&upper_arm=&lower_arm=&beams=4&pressure_unit=p"
            "si"
        ),
        "brake-test": (
            "v=1&event=made-up&train_kind=road&brake_pipe_setting=90&air=locomotive&air_sources=one&a"
            "dded_cars=kept-together&hours_off_air=&own_off_air_hours=&miles_since_test=&miles_since_"
            "class_1=&miles_ahead=&rear=&leakage=&wait=&air_flow=&reduction=&rear_fall=&rear_rise=&pi"
            "ston_travels=&operative=&control_valves=&pressure_unit=psi"
        ),
        "car-brake": (
            "v=1&brake_pipe_setting=90&reduction=10&application=service&retaining_valve=direct&charge"
            "d=&piston_travel=8&cylinder_bore=10&auxiliary_volume=2500&emergency_volume=3500&unswept_"
            "volume=&quick_service_limit=10&moving_reduction=2.5&load_device=none&empty_share=&atmosp"
            "here=14.7&pressure_unit=psi"
        ),
        "charging-time": (
            "v=1&cars=118&car_length=55&from_pressure=0&brake_pipe_setting=90&delivery=60&leakage_flo"
            "w=0&pipe_bore=1.278&auxiliary_volume=2500&emergency_volume=3500&pressure_unit=psi"
        ),
        "circuit": (
            "v=1&circuit=service-application&stage=1&handle=as-shown&reduction=&independent=&bail_off"
            "=as-shown&cut_off=as-shown&event=as-shown&moment=&brake_pipe_setting=90&cars=118&car_len"
            "gth=55&leakage=&service_limit=60&emergency_limit=70&multiplier=2.5&relay_ratio_automatic"
            "=1&relay_ratio_independent=1&main_reservoir=130&minimum_reduction=6&suppression_reductio"
            "n=26&emergency_threshold=20&pipe_16_volume=90&dead_engine_setting=25&release_type=direct"
            "&cylinders=8&cylinder_volume=300&compressor_delivery=100&from_handle=as-shown&from_reduc"
            "tion=&from_independent=&from_bail_off=as-shown&from_cut_off=as-shown&from_event=as-shown"
            "&earlier_reduction=&reduction_at_bail_off=&penalty_source=pedal&suppression_covers=pedal"
            "-and-overspeed&pressure_unit=psi"
        ),
        "cylinder-leak-off": (
            "v=1&brake_cylinder=24&leakage=0.1&wait=3&pressure_needed=&atmosphere=14.7&pressure_unit="
            "psi"
        ),
        "daily-brake-test": (
            "v=1&brake_pipe_setting=90&first_reduction=10&second_reduction=15&full_reduction=26&indep"
            "endent=45&service_limit=60&emergency_limit=70&multiplier=2.5&relay_ratio_automatic=1&rel"
            "ay_ratio_independent=1&main_reservoir=130&track_speed=40&first_cylinder_read=&equalizing"
            "_fall_read=&brake_pipe_fall_read=&bailed_off_cylinder_read=&second_cylinder_read=&equali"
            "zing_rise_read=&full_service_cylinder_read=&hold_read=&independent_cylinder_read=&emerge"
            "ncy_cylinder_read=&emergency_seconds_read=&emergency_held_cylinder_read=&main_reservoir_"
            "leakage_read=&alerter_read=&pressure_unit=psi"
        ),
        "exhaust-time": (
            "v=1&brake_pipe_setting=90&reduction=10&cars=118&car_length=55&heard=&air_flow=&pipe_bore"
            "=1.278&atmosphere=14.7&pressure_unit=psi"
        ),
        "fault-shown": (
            "v=1&fault=pipe-16-leaking&size=50&car=10&cars=26&brake_pipe_setting=90&independent=45"
            "&service_limit=60&multiplier=2.5&minimum_reduction=6&main_reservoir=130&pressure_unit"
            "=psi"
        ),
        "find-fault": (
            "v=1&observations=charged+blows+relay-exhaust%3B+independent+cylinder+45%3B+released+c"
            "ylinder+0%3B+ten-off+piston+other-truck+in%3B+ten-off-60+reservoir+80%3B+ten-off+pipe"
            "+80%3B+thirty-off+usual%3B+rest+usual%3B+thirty-off+cylinder+60%3B+ten-off+cylinder+3"
            "0&secured=no&device=railroads&cars=26&brake_pipe_setting=90&independent=45&service_li"
            "mit=60&multiplier=2.5&minimum_reduction=6&main_reservoir=130&pressure_unit=psi"
        ),
        "full-service-figures": (
            "v=1&brake_pipe_setting=90&piston_travel=8&cylinder_bore=10&auxiliary_volume=2500&emergen"
            "cy_volume=3500&unswept_volume=&atmosphere=14.7&pressure_unit=psi"
        ),
        "grade-balance": (
            "v=1&weight=14600&grade=1&speed=20&curve=0&cars=118&operative_brakes=118&brake_pipe_setti"
            "ng=90&braking_ratio=10&ratio_pressure=64&friction=0.3&friction_law=falling&half_friction"
            "_speed=150&dynamic_axles=0&dynamic_axle_force=&resistance_formula=left-out&frontal_area="
            "90&drag=0.07&pressure_unit=psi"
        ),
        "hand-brakes": (
            "v=1&weight=2500&grade=0.8&cars=26&holding_force=4600&margin=50&pressure_unit=psi"
        ),
        "leakage-and-flow": (
            "v=1&cars=118&car_length=55&leakage=&leakage_pressure=70&air_flow=&flow_pressure=90&air_s"
            "ources=one&falling=pipe&pipe_bore=1.278&auxiliary_volume=2500&emergency_volume=3500&pres"
            "sure_unit=psi"
        ),
        "locomotive-brake": (
            "v=1&brake_pipe_setting=90&handle=service&reduction=10&independent=0&bail_off=none&servic"
            "e_limit=60&emergency_limit=70&multiplier=2.5&relay_ratio_automatic=1&relay_ratio_indepen"
            "dent=1&main_reservoir=130&minimum_reduction=6&suppression_reduction=26&emergency_thresho"
            "ld=20&auxiliary_volume=&pipe_16_volume=90&dead_engine_setting=25&emergency_drops_dynamic"
            "=yes&cut_off=freight&release_type=direct&unit=lead&dynamic_brake=off&earlier_reduction=0"
            "&reduction_at_bail_off=&control_reservoir=&pressure_unit=psi"
        ),
        "main-reservoir": (
            "v=1&volume=60000&from_pressure=0&to_pressure=140&delivery=150&leakage=&working_pressure="
            "140&brake_pipe_setting=90&start_read=&stop_read=&safety_valve_read=&time_read=&orifice=&"
            "orifice_pressure=60&discharge_coefficient=0.9&temperature=68&pressure_unit=psi"
        ),
        "measured-stop": (
            "v=1&speed=40&end_speed=0&distance=1800&time=&grade=0&direction=down&braking_ratio=&rotat"
            "ing_mass=0&pressure_unit=psi"
        ),
        "over-reduction": (
            "v=1&brake_pipe_setting=90&reduction=32&cars=118&car_length=55&delivery=60&pipe_bore=1.27"
            "8&charged=&piston_travel=8&cylinder_bore=10&auxiliary_volume=2500&unswept_volume=&atmosp"
            "here=14.7&pressure_unit=psi"
        ),
        "rear-pressure": (
            "v=1&brake_pipe_setting=90&rear=&test=class-1&head=&second_reading=&air_flow=&cars=118&ca"
            "r_length=55&piston_travel=8&emergency_needs=45&pressure_unit=psi"
        ),
        "release": (
            "v=1&brake_pipe_setting=90&reduction=12&rise=4&release_type=direct&charged=&release_margi"
            "n_low=1.5&release_margin_high=3&piston_travel=8&cylinder_bore=10&auxiliary_volume=2500&u"
            "nswept_volume=&quick_service_limit=10&moving_reduction=2.5&atmosphere=14.7&multiplier=2."
            "5&service_limit=60&pressure_unit=psi"
        ),
        "repeated-applications": (
            "v=1&brake_pipe_setting=90&cars=118&car_length=55&reductions=10%2C+14%2C+18&waits=2%2C+3&"
            "last_set=on&rear=&minutes_per_ten_cars=5&emergency_needs=45&pipe_bore=1.278&piston_trave"
            "l=9&cylinder_bore=10&auxiliary_volume=2500&emergency_volume=3500&unswept_volume=&moving_"
            "reduction=2.5&atmosphere=14.7&pressure_unit=psi"
        ),
        "stopping-distance": (
            "v=1&speed=40&command=emergency&reduction=26&grade=0&direction=down&curve=0&weight=14600&"
            "cars=118&car_length=55&brake_pipe_setting=90&braking_ratio=10&ratio_pressure=64&friction"
            "=0.3&friction_law=falling&half_friction_speed=150&reaction_time=2&travel_speed=&fill_tim"
            "e=&rotating_mass=5&resistance_formula=left-out&frontal_area=90&drag=0.07&pressure_unit=p"
            "si"
        ),
        "train-resistance": (
            "v=1&weight_per_axle=30&axles=4&speed=40&grade=0&direction=up&curve=0&weight=14600&formul"
            "a=davis&frontal_area=90&drag=0.07&pressure_unit=psi"
        ),
        "train-run": (
            "v=1&cars=118&car_length=55&brake_pipe_setting=90&command=service&reduction=10&seconds=&l"
            "eakage=0&rear_device=two-way&held=60&emergency_from=head&emergency_car=&rear_delay=1&mov"
            "es=&locomotives=2&car_lengths=&cut_out_cars=&retaining_valve=direct&retained_cars=&pisto"
            "n_travel=8&leak_car=&cock_car=&cock_opening=0&remote_after=&remote_locomotives=1&link_de"
            "lay=2&radio_link=works&from_pressure=&main_reservoir=140&delivery=100&reservoir_volume=5"
            "0000&temperature=68&atmosphere=14.7&show_cars=&pressure_unit=psi"
        ),
        "units": ("v=1&value=90&from_unit=psi&to_unit=kPa&pressure_unit=psi"),
        "worksheet": (
            "v=1&topics=locomotive+car+train&number=10&seed=1&units=psi&paper=letter&drawn=1&version=0.2.0"
        ),
        "plan": (
            "plan=version%3A+0.2.0%0Acalculators%2F%3Fv%3D1%26circuits%2F%3Fz%3D1.teach%2Fworksheet%2F%3Fv%3D1%26"
            "topics%3Dlocomotive%26number%3D%26seed%3Dhttps%3A%2F%2Freduction%3D+What+does+the+gauge+show%3F%0A"
        ),
        "settings": (
            "pressure_unit=&device=&device_allowed=&brake_pipe_setting=&cars=&car_length=&delivery=&p"
            "ipe_bore=&air_sources=&weight=&release_type=&service_limit=&emergency_limit=&multiplier="
            "&relay_ratio_automatic=&relay_ratio_independent=&main_reservoir=&minimum_reduction=&supp"
            "ression_reduction=&emergency_threshold=&locomotive-brake.auxiliary_volume=&pipe_16_volum"
            "e=&dead_engine_setting=&emergency_drops_dynamic=&volume=&main-reservoir.delivery=&workin"
            "g_pressure=&piston_travel=&cylinder_bore=&auxiliary_volume=&emergency_volume=&unswept_vo"
            "lume=&quick_service_limit=&moving_reduction=&load_device=&empty_share=&atmosphere=&relea"
            "se_margin_low=&release_margin_high=&minutes_per_ten_cars=&emergency_needs=&braking_ratio"
            "=&ratio_pressure=&friction=&friction_law=&half_friction_speed=&reaction_time=&travel_spe"
            "ed=&fill_time=&rotating_mass=&resistance_formula=&frontal_area=&drag=&cylinders=&lever_r"
            "atio=&efficiency=&shoes=&highest_ratio=&holding_force=&margin=&limit.brake-pipe-leakage="
            "&limit.air-flow=&limit.air-flow-two-sources=&limit.air-flow-two-sources-own-words=&limit"
            ".air-flow-two-sources-by-reference=&limit.rear-gradient=&limit.rear-floor-class-1=&limit"
            ".en-route-gradient=&limit.leakage-test-reduction=&limit.flow-indicator-calibration=&limi"
            "t.flow-indicator-error=&limit.flow-indicator-temperature=&limit.application-reduction=&l"
            "imit.retest-pressure=&limit.retest-hold=&limit.piston-travel-effective=&limit.roll-by-sp"
            "eed=&limit.operative-brakes-class-1=&limit.operative-brakes-moving=&limit.inoperative-to"
            "gether=&limit.defect-record-kept=&limit.telemetry-fall=&limit.telemetry-rise=&limit.rear"
            "-floor-class-3=&limit.class-3-reduction=&limit.rear-floor-transfer=&limit.transfer-reduc"
            "tion=&limit.rear-floor-yard-air=&limit.yard-air-gradient=&limit.yard-air-retest=&limit.y"
            "ard-device-error=&limit.yard-device-mechanical=&limit.yard-device-electronic=&limit.yard"
            "-plant-inspections=&limit.yard-plant-spacing=&limit.helper-reduction=&limit.helper-link-"
            "alarm=&limit.helper-link-calibration=&limit.training-refresher=&limit.mechanical-inspect"
            "or-share=&limit.off-air-hours=&limit.previously-tested-hours=&limit.class-1a-spacing=&li"
            "mit.extended-haul-distance=&limit.extended-haul-next-leg=&limit.extended-haul-pick-ups=&"
            "limit.extended-haul-set-outs=&limit.unit-train-distance=&limit.transfer-distance=&limit."
            "interchange-short-move=&limit.single-car-test-months=&limit.single-car-test-months-autom"
            "ated=&limit.single-car-test-months-four-pressure=&limit.single-car-test-years=&limit.sin"
            "gle-car-test-years-new=&limit.test-device-mechanical=&limit.test-device-electronic=&limi"
            "t.single-car-device-test=&limit.single-car-device-out=&limit.single-car-device-cleaning="
            "&limit.dynamic-brake-repair=&limit.dynamic-brake-records=&limit.hand-brakes-unattended=&"
            "limit.cars-left-brake-pipe=&limit.cab-lock-repair=&limit.electronic-brakes-origin=&limit"
            ".electronic-brakes-moving=&limit.electronic-brakes-distance=&limit.end-of-train-error=&l"
            "imit.end-of-train-repeat=&limit.end-of-train-report-change=&limit.end-of-train-report-in"
            "terval=&limit.end-of-train-battery=&limit.end-of-train-backup=&limit.end-of-train-displa"
            "y-step=&limit.two-way-action=&limit.two-way-open=&limit.two-way-opening=&limit.two-way-h"
            "ose=&limit.two-way-link-check=&limit.two-way-link-start=&limit.two-way-link-loss=&limit."
            "two-way-failure-speed=&limit.head-rear-agreement=&limit.end-of-train-sensor-test=&limit."
            "daily-report-kept=&limit.periodic-inspection=&limit.periodic-inspection-monitored=&limit"
            ".mechanical-inspector-interval=&limit.annual-tests=&limit.out-of-use-credit=&limit.elect"
            "ronic-indicator-error=&limit.electronic-indicator-error-share=&limit.brake-work-one=&lim"
            "it.brake-work-two-unlisted=&limit.brake-work-three-unlisted=&limit.brake-work-26-l=&limi"
            "t.brake-work-26-l-dryer=&limit.brake-work-electronic=&limit.main-reservoir-test-factor=&"
            "limit.main-reservoir-test=&limit.aluminum-reservoir-factor=&limit.aluminum-reservoir-tes"
            "t=&limit.aluminum-reservoir-days=&limit.safety-valve-over-working=&limit.governor-error="
            "&limit.compressor-start-over-brake-pipe=&limit.compressor-run=&limit.main-reservoir-over"
            "-brake-pipe=&limit.brake-pipe-setting-road=&limit.brake-pipe-setting-switching=&limit.el"
            "ectro-pneumatic-full=&limit.high-speed-reducing-valve=&limit.equalizing-reservoir-leakag"
            "e=&limit.hand-brake-inspection=&limit.control-air-cycles=&limit.cab-gauge-error=&limit.c"
            "ab-gauge-error-share=&limit.locomotive-travel-left=&limit.locomotive-cylinder-can-reach="
            "&limit.foundation-gear-wear=&limit.main-reservoir-leakage=&limit.locomotive-brake-pipe-l"
            "eakage=&limit.locomotive-cylinder-hold=&limit.control-air-leakage=&limit.sanders-lead=&l"
            "imit.sanders-switching=&limit.alerter-error=&limit.alerter-resets=&limit.alerter-light="
        ),
    },
    2: {
        "grade-balance": (
            "v=1&weight=14600&grade=1&speed=20&curve=0&cars=118&operative_brakes=118&brake_pipe_setti"
            "ng=90&braking_ratio=10&ratio_pressure=64&friction=0.3&friction_law=falling&half_friction"
            "_speed=150&dynamic_axles=0&dynamic_axle_force=&resistance_formula=left-out&frontal_area="
            "90&drag=0.07&control_valves=&piston_travel=8&cylinder_bore=10&auxiliary_volume=2500&emer"
            "gency_volume=3500&unswept_volume=&atmosphere=14.7&pressure_unit=psi"
        ),
        "locomotive-brake": (
            "v=1&brake_pipe_setting=90&handle=service&reduction=10&independent=0&bail_off=none&servic"
            "e_limit=60&emergency_limit=70&multiplier=2.5&relay_ratio_automatic=1&relay_ratio_indepen"
            "dent=1&main_reservoir=130&minimum_reduction=6&suppression_reduction=26&emergency_thresho"
            "ld=20&auxiliary_volume=&pipe_16_volume=90&dead_engine_setting=25&emergency_drops_dynamic"
            "=yes&cut_off=freight&release_type=direct&unit=lead&dynamic_brake=off&earlier_reduction=0"
            "&reduction_at_bail_off=&control_reservoir=&emergency_needs=45&piston_travel=8&cylinder_b"
            "ore=10&emergency_volume=3500&unswept_volume=&quick_service_limit=10&moving_reduction=2.5"
            "&atmosphere=14.7&car_auxiliary_volume=2500&pressure_unit=psi"
        ),
    },
}


def newest_of(subject: str) -> int:
    """The number of the dictionary that links of a subject are made with.

    Raises
    ------
    KeyError
        If no dictionary has the subject.

    >>> newest_of("units"), newest_of("grade-balance")
    (1, 2)
    """
    numbers = [number for number, texts in DICTIONARIES.items() if subject in texts]
    if not numbers:
        raise KeyError(subject)
    return max(numbers)
