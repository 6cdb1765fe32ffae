"""How one limit is written down in the data modules."""

from __future__ import annotations

from calculators.law.records import HowLimitRead, Limit, Sense

# Parts 229 and 232 were read again, every section named, in this edition of the eCFR (the
# electronic Code of Federal Regulations, which calls itself authoritative but unofficial).
ECFR_2026 = "eCFR, up to date as of 17 June 2026"
# Part 238 was not in reach in a newer edition.
ANNUAL_2015 = "annual edition of 2015"


def entry(
    id: str,
    title: str,
    sense: Sense,
    figure: float,
    unit: str,
    *,
    condition: str,
    section: str,
    upper: float | None = None,
    digits: int = 0,
    edition: str = ECFR_2026,
    how_read: HowLimitRead = "read in the text",
    other_text: str = "",
) -> Limit:
    """One limit as read in the edition of 17 June 2026, unless said otherwise.

    A bare section number is one of Title 49, Code of Federal Regulations.
    """
    return Limit(
        id=id,
        title=title,
        sense=sense,
        figure=figure,
        upper=upper,
        unit=unit,
        digits=digits,
        condition=condition,
        section=f"49 CFR {section}" if section[0].isdigit() else section,
        edition=edition,
        how_read=how_read,
        other_text=other_text,
    )
