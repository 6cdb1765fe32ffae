"""Accident investigations and reports of governments."""

from __future__ import annotations

from calculators.law.records import Source

NTSB = "United States, National Transportation Safety Board"
TSB = "Transportation Safety Board of Canada"
FRA = "United States, Federal Railroad Administration"
NRC = "National Research Council Canada"

SOURCES: tuple[Source, ...] = (
    Source(
        id="NTSB-90",
        issuer=NTSB,
        title="NTSB/RAR-90/02, derailment at San Bernardino on 12 May 1989",
        edition="adopted 19 June 1990",
        how_read="read in part",
    ),
    Source(
        id="NTSB-96C",
        issuer=NTSB,
        title="DCA96MR002, Cajon Junction, 1 February 1996, probable cause",
        edition="1996",
        how_read="read in part",
    ),
    Source(
        id="NTSB96",
        issuer=NTSB,
        title="RAR-96-03, subway collision on a New York bridge, June 1995",
        edition="1996",
        how_read="second-hand",
    ),
    Source(
        id="NTSB-18",
        issuer=NTSB,
        title="Granite Canyon, 4 October 2018, preliminary report",
        edition="2018",
        how_read="read in the text",
    ),
    Source(
        id="TSB-95M",
        issuer=TSB,
        title="R95M0072",
        edition="occurrence of 1995",
        how_read="read in part",
    ),
    Source(
        id="TSB-04V",
        issuer=TSB,
        title="R04V0100",
        edition="occurrence of 2004",
        how_read="read in part",
    ),
    Source(
        id="TSB-13L",
        issuer=TSB,
        title="LP187/2013",
        edition="occurrence of 2013",
        how_read="read in part",
    ),
    Source(
        id="TSB-17Q",
        issuer=TSB,
        title="R17Q0061",
        edition="occurrence of 2017",
        how_read="read in part",
    ),
    Source(
        id="TSB-18E",
        issuer=TSB,
        title="R18E0007",
        edition="occurrence of 2018",
        how_read="read in part",
    ),
    Source(
        id="TSB-19C",
        issuer=TSB,
        title="R19C0015 and safety letter 617-04/19",
        edition="occurrence of 2019",
        how_read="read in part",
    ),
    Source(
        id="TC-2019",
        issuer="Transport Canada",
        title="Bulletin on brakes in cold weather",
        edition="January 2019",
        how_read="read in part",
    ),
    Source(
        id="RAIB-09",
        issuer="United Kingdom, Rail Accident Investigation Branch",
        title="Bulletin 03/2009",
        edition="2009",
        how_read="second-hand",
    ),
    Source(
        id="FRA-2022-02",
        issuer=FRA,
        title="Safety Advisory 2022-02",
        edition="2022",
        how_read="read in part",
    ),
    Source(
        id="FRA-RACK",
        issuer=FRA,
        title="Air brake rack tests of very long trains, summary",
        edition="2021",
        how_read="read as an abstract",
    ),
    Source(
        id="FRA81",
        issuer=FRA,
        title="FRA/ORD-81/08, brake shoe forces",
        edition="1981",
        how_read="read as an abstract",
    ),
    Source(
        id="FRA83",
        issuer="United States Government",
        title="Freight train brake system safety study",
        edition="1983",
        how_read="read as an abstract",
    ),
    Source(
        id="NRC-24",
        issuer=NRC,
        title="Air demand of service-worn cars in the cold, to the Transportation Research Board",
        edition="2024",
        how_read="read as an abstract",
    ),
    Source(
        id="NRC-25",
        issuer=NRC,
        title="Brake force of service-worn cars in the cold, to a heavy-haul conference",
        edition="2025",
        how_read="read as an abstract",
    ),
    Source(
        id="HAN79",
        issuer="United Kingdom, House of Lords",
        title="Debate of 6 March 1879, volume 244, column 266, quoting a Royal Commission",
        edition="1879",
        how_read="read in part",
    ),
    Source(
        id="AJHR10",
        issuer="New Zealand, Parliament",
        title="Paper H.-24, tram brake commission, p. 9",
        edition="1910",
        how_read="read in part",
    ),
    Source(
        id="AJHR13",
        issuer="New Zealand, Parliament",
        title="Paper I.-6A, collision inquiry, p. 86",
        edition="1913",
        how_read="read in part",
    ),
)
