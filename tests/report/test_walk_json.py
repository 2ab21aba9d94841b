"""The walk-through as JSON: RFC 8259 (no NaN), the documented schema, stable order."""

import json
from pathlib import Path

import pytest

from pedalwright.analysis.records import Walk
from pedalwright.report.plain_data import json_text, number
from pedalwright.report.walk_json import walk_data, walk_json

from .made_by_hand import WALK, doubtful, saying, uncertified
from .schemas import documented_keys, keys_of

ROOT = Path(__file__).resolve().parents[2]


def refused(word: str) -> None:
    raise AssertionError(f"{word} is no JSON")


@pytest.mark.parametrize("walk", [WALK, doubtful(), uncertified(), saying('\ud7ff"\\<')], ids=str)
def test_it_is_json_without_nan(walk: Walk) -> None:
    data = json.loads(walk_json(walk), parse_constant=refused)
    assert data["schema"] == "pedalwright.walk/1"


def test_every_key_is_documented_and_every_documented_key_is_there() -> None:
    data = json.loads(walk_json(WALK))
    assert keys_of(data) == documented_keys(ROOT, "pedalwright.walk/1")


def test_parts_say_what_they_are_for_and_where() -> None:
    parts = {part["ref"]: part for part in walk_data(WALK)["parts"]}
    assert (parts["R1"]["kind"], parts["R1"]["role"], parts["R1"]["stage"]) == (
        "rc-low-pass",
        "series resistor",
        "rc-low-pass 1",
    )
    assert parts["R1"]["larger"] == {
        "value": "1k2",
        "changes": ["the corner moves from 3.39 kHz to 2.82 kHz"],
        "below": "0.1 dB",
    }
    assert parts["U1"]["stage"] is None and parts["U1"]["kind"] is None


def test_what_is_not_known_is_null() -> None:
    data = walk_data(uncertified())
    assert data["overall"]["gain_db"] is None
    assert data["stages"][0]["output_ohms"] is None
    assert data["certificates"][0]["residual"] is None
    assert data["confirmed"] is False


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf"), None])
def test_only_finite_numbers_are_numbers(value: float | None) -> None:
    assert number(value) is None


def test_a_slipped_in_nan_is_refused_rather_than_written() -> None:
    with pytest.raises(ValueError, match="JSON compliant"):
        json_text({"x": float("nan")})


def test_the_same_walk_gives_the_same_bytes() -> None:
    assert walk_json(WALK) == walk_json(WALK)
    assert list(walk_data(WALK)) == list(walk_data(doubtful()))
