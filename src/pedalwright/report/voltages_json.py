"""Voltages as JSON: the schema ``pedalwright.voltages/1``, told in docs/json-schemas.md."""

from typing import Any

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.voltages import Compared, Comparison, Expected, VoltageTable
from pedalwright.report.plain_data import json_text, number, numbers
from pedalwright.report.walk_json import certified_data

SCHEMA = "pedalwright.voltages/1"


def voltages_json(table: VoltageTable, comparison: Comparison | None = None) -> str:
    """The JSON text of a table, and of a pasted list held against it."""
    return json_text(voltages_data(table, comparison))


def voltages_data(table: VoltageTable, comparison: Comparison | None = None) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "schema": SCHEMA,
        "title": table.title,
        "text_sha256": table.text_sha256,
        "settings": dict(table.settings),
        "sound": table.is_sound,
        "supplies": [
            {
                "net": one.net,
                "volts": number(one.volts),
                "source": one.source,
                "low_v": number(one.low_v),
                "high_v": number(one.high_v),
                "measured_v": number(one.measured_v),
            }
            for one in table.supplies
        ],
        "measured": [{"net": spoken(net), "volts": number(at)} for net, at in table.measured.items()],
        "meter_ohms": number(table.meter_ohms),
        "builds_asked": table.asked,
        "builds": table.builds,
        "seed": table.seed,
        "oscillates": table.oscillates,
        "rate_hz": number(table.rate_hz),
        "places": [
            {
                "place": row.place.key,
                "group": row.place.group,
                "part": row.place.ref or None,
                "pin_number": row.place.number or None,
                "pin": row.place.name,
                "net": spoken(row.place.net),
                "says": row.place.says,
                "expected": _expected(row.expected),
            }
            for row in table.rows
        ],
        "nets": [{"net": spoken(net), "expected": _expected(one)} for net, one in table.nets.items()],
        "readings": [_compared(one) for one in comparison.readings] if comparison else None,
        "not_understood": _refused(comparison),
        "agree": list(comparison.agree) if comparison else [],
        "notes": list(comparison.notes) if comparison else [],
        "conditions": list(table.conditions),
        "refusals": list(table.refusals),
        "certificate": certified_data(table.certified) if table.certified else None,
    }


def _expected(one: Expected) -> dict[str, Any]:
    return {
        "state": one.state.value,
        "low_v": number(one.low_v),
        "typical_v": number(one.typical_v),
        "high_v": number(one.high_v),
        "deviation_v": number(one.deviation_v),
        "meter_v": number(one.meter_v),
        "swing_v": numbers(one.swing_v),
        "source": one.source or None,
        "facts": list(one.facts),
        "knobs": [
            {
                "knob": move.knob,
                "low_v": number(move.low_v),
                "high_v": number(move.high_v),
                "ends": list(move.ends),
                "ends_v": numbers(move.ends_v),
            }
            for move in one.knobs
        ],
        "wrong": [
            {"volts": number(suspect.volts), "faults": list(suspect.faults)} for suspect in one.suspects
        ],
    }


def _compared(one: Compared) -> dict[str, Any]:
    return {
        "text": one.text,
        "place": one.key,
        "net": spoken(one.net),
        "volts": number(one.volts),
        "other_v": number(one.other_v),
        "verdict": one.verdict.value,
        "off_v": number(one.off_v),
        "deviations": number(one.z),
        "sentence": one.sentence,
        "fits": list(one.fits),
    }


def _refused(comparison: Comparison | None) -> list[dict[str, str]]:
    if comparison is None:
        return []
    return [{"text": one.text, "reason": one.reason} for one in comparison.not_understood]
