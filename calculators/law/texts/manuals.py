"""Manuals, rule books and standards."""

from __future__ import annotations

from calculators.law.records import Source

ARMY = "United States Army"
STANDARDS = "Association of American Railroads"

SOURCES: tuple[Source, ...] = (
    Source(
        id="ARMY-203",
        issuer=ARMY,
        title="TM 55-203, maintenance of railway cars, chapter 8",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="ARMY-223",
        issuer=ARMY,
        title="TM 55-2210-223-34, 60-ton diesel-electric locomotive",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="ARMY-224",
        issuer=ARMY,
        title="TM 55-2210-224-34, 80-ton diesel-electric locomotive",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="ARMY-224-12",
        issuer=ARMY,
        title="TM 55-2210-224-12, 80-ton diesel-electric locomotive, operator's manual",
        edition="18 May 1987",
        how_read="read in part",
    ),
    Source(
        id="ARMY-655",
        issuer=ARMY,
        title="Transportation subcourse 655, rail cars, section 6",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="ARMY-656",
        issuer=ARMY,
        title="Transportation subcourse 656, the diesel-electric locomotive",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="ARMY-TC",
        issuer=ARMY,
        title="TC 55-88-1, air brake and train handling",
        edition="March 2008",
        how_read="read in part",
    ),
    Source(
        id="NAVY",
        issuer="United States Navy",
        title="Railway operating handbook P-301",
        edition="undated copy",
        how_read="read in part",
    ),
    Source(
        id="ARRC-96",
        issuer="Alaska Railroad",
        title="Air brake and train handling manual",
        edition="1 June 1996",
        how_read="read in part",
    ),
    Source(
        id="RAILROAD-31",
        issuer="a railroad",
        title="Air brake book, Form 5573, rules 594-596",
        edition="November 1931",
        how_read="read in part",
    ),
    Source(
        id="MUS-26",
        issuer="San Diego Railroad Museum",
        title="The Number 26-L Brake Stand, a public page (weak: gives no origin of its figures)",
        edition="undated",
        how_read="read in the text",
    ),
    Source(
        id="AAR-S-400",
        issuer=STANDARDS,
        title="Standard S-400, freight car brake equipment",
        edition="2018",
        how_read="read in part",
    ),
    Source(
        id="AAR-S-401",
        issuer=STANDARDS,
        title="Standard S-401, brake design requirements",
        edition="2018",
        how_read="read in part",
    ),
    Source(
        id="PAT27",
        issuer="United States Patent Office",
        title="Patent 1,653,136",
        edition="20 December 1927",
        how_read="read in part",
    ),
    Source(
        id="YARD-POUND-1959",
        issuer="National standards laboratories of six countries",
        title="Agreement on the international yard and pound",
        edition="1 July 1959",
        how_read="second-hand",
    ),
    Source(
        id="CGPM-3",
        issuer="General Conference on Weights and Measures",
        title="Third conference, declaration on weight: standard acceleration of gravity",
        edition="1901",
        how_read="second-hand",
    ),
    Source(
        id="ISO-2533",
        issuer="International Organization for Standardization",
        title="ISO 2533, Standard Atmosphere",
        edition="1975",
        how_read="second-hand",
    ),
    Source(
        id="ISO-6358-1",
        issuer="International Organization for Standardization",
        title="ISO 6358-1, flow rate characteristics of pneumatic components",
        edition="2013",
        how_read="second-hand",
    ),
)
