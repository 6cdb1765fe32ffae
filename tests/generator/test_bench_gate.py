"""The table of where the tests' time went."""

from __future__ import annotations

from pathlib import Path

import pytest

from generator.bench import gate
from generator.setup.steps import SetupError

RECORD = """<testsuites><testsuite name="pytest" tests="3" time="90.0" timestamp="2026-11-29T12:00:00.1">
<testcase classname="tests.offline.test_store" name="test_one" time="30.0"/>
<testcase classname="tests.offline.test_store" name="test_two" time="10.0"/>
<testcase classname="tests.test_cli" name="test_three[a]" time="0.4"/>
</testsuite></testsuites>"""


def test_time_is_told_by_folder_and_by_test():
    told = [(row.what, row.measured) for row in gate.rows(RECORD)]
    assert told == [
        ("the tests, start to end", "1.5 min"),
        ("tests/offline", "40 s"),
        ("offline.test_store: test_one", "30 s"),
        ("offline.test_store: test_two", "10 s"),
        ("test_cli: test_three[a]", "0 s"),
    ]


def test_without_a_run_it_says_what_to_do(tmp_path: Path):
    with pytest.raises(SetupError, match="python3 build test"):
        list(gate.measure(tmp_path))
