"""The verb `marking`: what it prints, its JSON, and its refusals."""

import json

import pytest
from click.testing import CliRunner

from pedalwright.cli.marking import command


def run(*arguments: str) -> tuple[int, str]:
    result = CliRunner().invoke(command, arguments)
    return result.exit_code, result.output


def test_colours_to_value() -> None:
    code, printed = run("yellow", "violet", "red", "gold")
    assert code == 0
    assert "4.7 kΩ" in printed and "±5 %" in printed and "4K7" in printed


def test_ambiguous_code_lists_every_reading() -> None:
    code, printed = run("473K")
    assert code == 0
    assert "can mean 3 things" in printed
    for value in ("47 nF", "47 kΩ", "473 kΩ"):
        assert value in printed


def test_json_is_one_object_with_units_in_its_names() -> None:
    code, printed = run("2A473J", "--json")
    data = json.loads(printed)
    assert code == 0
    assert data["schema"] == "pedalwright.marking/1"
    first = data["readings"][0]
    assert (first["quantity"], first["value"], first["unit"]) == ("capacitance", 4.7e-08, "F")
    assert (first["tolerance_low_percent"], first["rated_v"]) == (-5.0, 100.0)
    assert data["markings"][0]["tenfold"]["forms"]["3-digit code"] == "474"


@pytest.mark.parametrize(("text", "hint"), [("4,7k", "4.7k"), ("[red]", "colours"), ("-5k", "minus")])
def test_what_cannot_be_read_is_answered(text: str, hint: str) -> None:
    code, printed = run(text)
    assert code == 2
    assert hint in printed and "Traceback" not in printed
