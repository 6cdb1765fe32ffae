"""The command line: listing, answers, JSON, and bad input in the page's words."""

from __future__ import annotations

import importlib
import json
import runpy
import sys

import pytest

from calculators.catalog import every_calculator
from calculators.cli import BAD_INPUT, main

CALCULATORS = every_calculator()

EXAMPLE = ["brake_pipe_setting=85", "reduction=12", "service_limit=58", "independent=20"]


def test_lists_what_can_be_asked(capsys: pytest.CaptureFixture[str]):
    assert main([]) == 0
    listed = capsys.readouterr().out
    assert "locomotive-brake" in listed
    assert "units" in listed


def test_answers_as_text(capsys: pytest.CaptureFixture[str]):
    assert main(["locomotive-brake", *EXAMPLE]) == 0
    shown = capsys.readouterr().out
    for words in (
        "Brake pipe 73 psi, locomotive cylinder 30 psi",
        "2.5 × (85 psi − 73 psi) → 30 psi",
        "this decided",
        "at least 15 psi: within",
        "Check the current text",
        "qualified person decide",
        "Sources",
    ):
        assert words in " ".join(shown.split())


def test_answers_as_json(capsys: pytest.CaptureFixture[str]):
    assert main(["locomotive-brake", "--json", *EXAMPLE]) == 0
    found = json.loads(capsys.readouterr().out)
    assert list(found) == [
        "calculator",
        "inputs",
        "results",
        "bands",
        "working",
        "limits",
        "notes",
        "series",
        "grids",
        "compared",
    ]
    assert found["inputs"]["reduction"] == 12
    assert found["results"]["brake_cylinder"] == 30
    assert found["limits"][0]["standing"] == "within"
    assert found["series"][0]["x"]["unit"] == "psi"


def test_json_is_in_trade_units_whatever_is_typed(capsys: pytest.CaptureFixture[str]):
    main(["locomotive-brake", "--json", "brake_pipe_setting=620.528156385 kPa", "reduction=10"])
    found = json.loads(capsys.readouterr().out)
    assert found["results"]["brake_pipe"] == pytest.approx(80, abs=1e-6)


def test_warnings_and_limits_in_other_units(capsys: pytest.CaptureFixture[str]):
    main(["locomotive-brake", "main_reservoir=100", "pressure_unit=kPa", "reduction=3"])
    shown = " ".join(capsys.readouterr().out.split())
    assert "Warning: Main reservoir 689 kPa is less than 103 kPa above the setting" in shown
    assert "at least 103 kPa: not within" in shown


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (
            ["locomotive-brake", "service_limit=585"],
            "Service limiting valve set at is 585 psi; it must be between 0 and 150 psi.",
        ),
        (
            ["locomotive-brake", "reduktion=5"],
            'locomotive-brake has no input "reduktion"; did you mean reduction or',
        ),
        (["locomotive-brake", "zzzz=5"], "see --fields for its inputs"),
        (
            ["locomotive-brake", "reduction"],
            '"reduction" is no input; write field=value, for example brake_pipe_setting=85',
        ),
        (["locomotive"], "did you mean locomotive-brake?"),
    ],
)
def test_bad_input_exits_2_in_words(
    arguments: list[str], words: str, capsys: pytest.CaptureFixture[str]
):
    assert main(arguments) == BAD_INPUT
    streams = capsys.readouterr()
    assert words in streams.err
    assert streams.out == ""


def test_bad_input_as_json(capsys: pytest.CaptureFixture[str]):
    assert main(["locomotive-brake", "--json", "service_limit=585"]) == BAD_INPUT
    assert json.loads(capsys.readouterr().out)["errors"].keys() == {"service_limit"}


def test_fields_are_listed(capsys: pytest.CaptureFixture[str]):
    assert main(["locomotive-brake", "--fields"]) == 0
    listed = capsys.readouterr().out
    assert (
        "brake_pipe_setting [90]: Brake pipe setting; it must be between 40 and 130 psi" in listed
    )
    assert "handle [service]: Automatic brake handle; release, minimum-reduction" in listed
    assert "control_reservoir: Control reservoir charged to" in listed


@pytest.mark.parametrize("name", CALCULATORS)
def test_every_field_is_listed(name: str, capsys: pytest.CaptureFixture[str]):
    assert main([name, "--fields"]) == 0
    question, *fields = capsys.readouterr().out.splitlines()
    assert question == CALCULATORS[name].question
    for field, (given, description) in zip(fields, CALCULATORS[name].inputs().items(), strict=True):
        assert field.startswith(f"  {given}")
        assert f": {description.term}; " in field


def test_runs_as_a_module(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]):
    monkeypatch.delitem(sys.modules, "calculators.__main__", raising=False)
    monkeypatch.setattr(
        "sys.argv", ["calculators", "units", "value=1", "from_unit=bar", "to_unit=psi"]
    )
    with pytest.raises(SystemExit) as ended:
        runpy.run_module("calculators", run_name="__main__")
    assert ended.value.code == 0
    assert "1 bar is 14.50377 psi" in capsys.readouterr().out


def test_importing_the_module_that_runs_asks_nothing(capsys: pytest.CaptureFixture[str]):
    importlib.reload(importlib.import_module("calculators.__main__"))
    assert capsys.readouterr() == ("", "")
