"""Sections of the United States' rail regulations and the notices that changed them.

Parts 229 and 232 of Title 49, Code of Federal Regulations (49 CFR), were read in the edition of the
eCFR of 17 June 2026, most sections also in the annual edition of 2015; part 238 and the others in
the annual edition of 2015. Part 220 was read in copies only.
"""

from __future__ import annotations

from calculators.law.records import HowSourceRead, Source

AGENCY = "United States, Federal Railroad Administration"
ANNUAL_2015 = "annual edition of 2015"
ECFR_2026 = "eCFR, up to date as of 17 June 2026"
COPIES = "copies of January 2025 and of 20 June 2026"


def _section(number: str, title: str) -> Source:
    read_again = number.startswith(("229.", "232."))
    return Source(
        id="CFR-" + number.replace(".", "-"),
        issuer=AGENCY,
        title=f"49 CFR {number}, {title}",
        edition=ECFR_2026 if read_again else ANNUAL_2015,
        how_read="read in the text",
    )


def _notice(place: str, title: str, date: str, how_read: HowSourceRead) -> Source:
    return Source(
        id="FR-" + place.replace(" FR ", "-"),
        issuer=AGENCY,
        title=f"{title} ({place})",
        edition=date,
        how_read=how_read,
    )


SOURCES: tuple[Source, ...] = (
    Source(
        id="CFR-218-B",
        issuer=AGENCY,
        title="49 CFR part 218, subpart B: blue signal protection of workers",
        edition="copies of 2004, 2007 and 2024; 218.21, 218.22, 218.27 and 218.29 in part",
        how_read="read in part",
    ),
    _section("229.5", "locomotives: definitions"),
    _section("229.21", "daily inspection"),
    _section("229.23", "periodic inspection"),
    _section("229.25", "tests at every periodic inspection"),
    _section("229.27", "annual tests"),
    _section("229.29", "air brake system calibration, maintenance and testing"),
    _section("229.31", "main reservoir tests"),
    _section("229.33", "out-of-use credit"),
    _section("229.46", "brakes: general"),
    _section("229.47", "emergency brake valve"),
    _section("229.49", "main reservoir system"),
    _section("229.53", "brake gauges"),
    _section("229.55", "piston travel"),
    _section("229.57", "foundation brake gear"),
    _section("229.59", "leakage"),
    _section("229.131", "sanders"),
    _section("229.140", "alerters"),
    _section("230.71", "steam locomotives: orifice testing of compressors"),
    _section("230.76", "steam locomotives: piston travel"),
    _section("232.5", "freight brakes: definitions"),
    _section("232.15", "movement of defective equipment"),
    _section("232.103", "general requirements for all train brake systems"),
    _section("232.105", "general requirements for locomotives"),
    _section("232.107", "air sources and cold weather"),
    _section("232.109", "dynamic brakes"),
    _section("232.111", "train handling information"),
    _section("232.203", "training requirements"),
    _section("232.205", "Class I brake test: initial terminal inspection"),
    _section("232.207", "Class IA brake test: 1,000-mile inspection"),
    _section("232.209", "Class II brake test: intermediate inspection"),
    _section("232.211", "Class III brake test: trainline continuity"),
    _section("232.213", "extended haul trains"),
    _section("232.215", "transfer train brake tests"),
    _section("232.217", "train brake tests using yard air"),
    _section("232.219", "double heading and helper service"),
    _section("232.303", "periodic maintenance: general requirements"),
    _section("232.305", "single car air brake tests"),
    _section("232.309", "equipment and devices for single car tests"),
    _section("232.403", "end-of-train devices: one-way"),
    _section("232.405", "end-of-train devices: two-way, design"),
    _section("232.407", "end-of-train devices: two-way, operation"),
    _section("232.409", "end-of-train devices: inspection and testing"),
    _section("232.603", "electronically controlled brakes: design"),
    _section("232.607", "electronically controlled brakes: inspection and testing"),
    _section("232.609", "electronically controlled brakes: defective equipment"),
    _section("236.554", "rate of pressure reduction by train control"),
    _section("236.701", "signal definitions: full service application"),
    _section("236.712", "signal definitions: brake pipe"),
    _section("236.729", "signal definitions: double-heading cock"),
    _section("236.741", "signal definitions: stopping distance"),
    _section("236.792", "signal definitions: equalizing reservoir"),
    _section("238.5", "passenger equipment: definitions"),
    _section("238.231", "passenger equipment: brake system"),
    _section("238.309", "passenger equipment: periodic brake maintenance"),
    _section("238.313", "passenger equipment: Class I brake test"),
    _section("238.315", "passenger equipment: Class IA brake test"),
    Source(
        id="CFR-232-H",
        issuer=AGENCY,
        title="49 CFR part 232, subpart H (232.700 to 232.719): the rules as they stood on 31 May 2001, "
        "kept for tourist, scenic, historic and excursion operations",
        edition=ECFR_2026,
        how_read="read in the text",
    ),
    Source(
        id="CFR-220-C",
        issuer=AGENCY,
        title="49 CFR part 220, subpart C (220.301 to 220.315): electronic devices",
        edition=COPIES,
        how_read="read in part",
    ),
    Source(
        id="ICC-1945",
        issuer="United States, Interstate Commerce Commission",
        title="Order on power brakes for freight cars",
        edition="30 May 1945",
        how_read="read in part",
    ),
    _notice(
        "66 FR 4193", "Brake system safety standards, final rule", "17 January 2001", "read in part"
    ),
    _notice(
        "73 FR 61553", "Amendment of the Class I brake test", "16 October 2008", "read in the text"
    ),
    _notice(
        "80 FR 47386",
        "Securement of unattended equipment",
        "in force 5 October 2015",
        "read in part",
    ),
    _notice("81 FR 68101", "Flow indicator calibration relief", "2016", "read in part"),
    _notice(
        "83 FR 62657", "Air flow with distributed power, waiver notice", "2018", "read in the text"
    ),
    _notice(
        "84 FR 68008", "Air flow with distributed power, waiver notice", "2019", "read in the text"
    ),
    _notice(
        "85 FR 80544",
        "Brake system safety standards: amendments and codified waivers",
        "11 December 2020, docket FRA-2018-0093",
        "read as an abstract",
    ),
    _notice(
        "86 FR 3957",
        "Electronic records of car brake tests, proposed rule",
        "15 January 2021",
        "read as an abstract",
    ),
    _notice("90 FR 12445", "Flow indicator calibration relief", "2025", "read in part"),
    _notice(
        "90 FR 28172",
        "Changes of the places of Class IA and extended haul tests",
        "1 July 2025",
        "second-hand",
    ),
    _notice(
        "90 FR 28660",
        "Waivers on brake maintenance put into the rules, proposed rule",
        "1 July 2025",
        "read as an abstract",
    ),
    Source(
        id="FRA-2012-0091",
        issuer=AGENCY,
        title="Waiver docket on air flow with distributed power",
        edition="pilot 26 March 2013, full 3 May 2017",
        how_read="read in part",
    ),
    Source(
        id="FRA-2017-0130",
        issuer=AGENCY,
        title="Notice of a petition on the hours off air",
        edition="January 2018",
        how_read="read in the text",
    ),
    Source(
        id="CANADA-TBR",
        issuer="Transport Canada",
        title="Train Brake Rules",
        edition="texts of 2017 and of 2022-23",
        how_read="read in part",
    ),
)
