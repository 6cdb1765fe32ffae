from __future__ import annotations

import re

import pytest

from calculators.base.errors import UnknownNameError
from calculators.law.source_list import FORMER_IDS, SOURCES, find_source
from calculators.law.texts import books, manuals, regulations, reports

GROUPS = (regulations, manuals, reports, books)

# The short names under which the project's collection of check values cites its texts.
CITED = (
    *("ARMY-203", "ARMY-223", "ARMY-224", "ARMY-224-12", "ARMY-655", "ARMY-656", "ARMY-TC"),
    *("NAVY", "ARRC-96", "RAILROAD-31", "MUS-26", "AAR-S-400", "AAR-S-401", "NTSB-90", "NTSB-96C"),
    *("NTSB96", "TSB-95M", "TSB-17Q", "TSB-18E", "RAIB-09", "HOWARD", "TEA", "EB11", "PROUT"),
    *("MCB-06", "WEBB", "DIS96", "PAT27", "AB13", "HAN79", "ADAMS", "AJHR10", "AJHR13", "FRA83"),
    *("FRA81", "WHITE46", "SINC", "SRR", "RLE", "CFR-232-205", "CFR-229-49", "CFR-230-71"),
)


def test_no_id_stands_twice():
    assert len(SOURCES) == sum(len(group.SOURCES) for group in GROUPS)


def test_every_text_the_collection_cites_is_listed():
    assert [name for name in CITED if name not in SOURCES] == []


@pytest.mark.parametrize("source", SOURCES.values(), ids=SOURCES.keys())
def test_source_says_what_it_is(source):
    assert re.fullmatch(r"[A-Z][A-Z0-9-]+", source.id)
    assert all((source.issuer, source.title, source.edition))


def test_sections_carry_their_number():
    for name, source in SOURCES.items():
        if match := re.fullmatch(r"CFR-(2[0-9]{2})-([0-9]+)", name):
            assert source.title.startswith(f"49 CFR {match[1]}.{match[2]}, ")


def test_find_source_names_an_unknown_one():
    assert find_source("HOWARD").edition == "1913"
    with pytest.raises(UnknownNameError, match="no source has the id 'HOWARD-2'"):
        find_source("HOWARD-2")


@pytest.mark.parametrize("former", FORMER_IDS)
def test_a_text_is_still_found_by_the_id_it_had_before(former):
    assert former not in SOURCES
    assert find_source(former) is SOURCES[FORMER_IDS[former]]


def test_no_id_names_a_railroad_that_its_entry_withholds():
    """A withheld issuer is "a railroad"; its id says the kind of text and the year, no name."""
    withheld = {source.id for source in SOURCES.values() if source.issuer == "a railroad"}
    # AB13 stands for air brakes and the year.
    assert withheld == {"AB13", "RAILROAD-31"}
