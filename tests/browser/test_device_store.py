"""What the device keeps: never lost without a word, and the same rules for everything kept."""

from __future__ import annotations

import pytest

from tests.browser.conftest import Tab
from tests.support.waiting import wait_for

pytestmark = pytest.mark.browser


def in_store(phone: Tab, work: str) -> object:
    """What a piece of script gives that works with the store's module as ``store``."""
    phone.page.goto(phone.root)
    return phone.page.evaluate(
        f"""async () => {{
            const from = [...document.scripts].find(s => s.src.endsWith('/start.js')).src;
            const store = await import(new URL('device-store.js', from).href);
            {work}
        }}"""
    )


PLAIN = "const record = new store.KeptRecord('trial', raw => raw.startsWith('good') ? raw : null);"


def test_a_record_that_cannot_be_read_is_set_aside_below_the_earlier_one(phone: Tab):
    told = in_store(
        phone,
        PLAIN
        + """
        const said = [];
        for (const broken of ['first', 'second']) {
            localStorage.setItem('trial', broken);
            said.push(record.read().state, record.write('good ' + broken), record.read().value);
        }
        return [...said, record.aside()];
        """,
    )
    assert told == ["broken", "", "good first", "broken", "", "good second", "first\n\nsecond"]


def test_a_full_store_is_told_and_the_record_stays(phone: Tab):
    told = in_store(
        phone,
        PLAIN
        + """
        record.write('good one');
        const trouble = record.write('good ' + 'x'.repeat(20_000_000));
        return [trouble, record.read().value];
        """,
    )
    assert told == ["full", "good one"]


def test_a_store_that_is_refused_counts_as_none(phone: Tab):
    told = in_store(
        phone,
        PLAIN
        + """
        const refuse = () => { throw new DOMException('no', 'SecurityError'); };
        Storage.prototype.getItem = refuse;
        Storage.prototype.setItem = refuse;
        return [record.read().state, record.write('good'), store.keptValue('trial') ?? 'nothing'];
        """,
    )
    assert told == ["refused", "refused", "nothing"]


def test_another_tab_is_heard(phone: Tab):
    other = phone.page.context.new_page()
    other.goto(phone.root)
    in_store(
        phone, "window.heard = 0; store.fromOtherTabs(['trial'], () => { window.heard += 1; });"
    )
    other.evaluate("localStorage.setItem('another', '1'); localStorage.setItem('trial', '2')")
    assert wait_for(lambda: phone.page.evaluate("window.heard") > 0)
    assert phone.page.evaluate("window.heard") == 1
