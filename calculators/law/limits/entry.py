"""How one limit is written down in the data modules."""

from __future__ import annotations

from calculators.law.records import HowLimitRead, Limit, Sense

ANNUAL_2015 = "annual edition of 2015"


def entry(
    id: str,
    row: str,
    title: str,
    sense: Sense,
    figure: float,
    unit: str,
    *,
    condition: str,
    section: str,
    upper: float | None = None,
    digits: int = 0,
    edition: str = ANNUAL_2015,
    how_read: HowLimitRead = "read in the text",
) -> Limit:
    """One limit as read in the annual edition of 2015, unless said otherwise.

    A bare section number is one of Title 49, Code of Federal Regulations.
    """
    return Limit(
        id=id,
        row=row,
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
    )
