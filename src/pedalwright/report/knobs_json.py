"""The answers about knobs as JSON, schema ``pedalwright.knobs/1``."""

from math import isinf
from typing import Any

from pedalwright.analysis.knob_advice import Advice, Padding
from pedalwright.analysis.knob_evenness import Spreading
from pedalwright.analysis.knob_records import Heard, KnobAnswer, Tolerance
from pedalwright.report.plain_data import json_text, number, numbers

SCHEMA = "pedalwright.knobs/1"


def knobs_json(
    title: str, answers: tuple[KnobAnswer, ...], text_sha256: str, settings: dict[str, str]
) -> str:
    """The JSON text."""
    return json_text(
        {
            "schema": SCHEMA,
            "title": title,
            "text_sha256": text_sha256,
            "settings": settings,
            "knobs": [_knob_data(answer) for answer in answers],
        }
    )


def _knob_data(answer: KnobAnswer) -> dict[str, Any]:
    return {
        "ref": answer.ref,
        "kind": answer.kind,
        "ohms": number(answer.ohms),
        "law": answer.law,
        "wiring": answer.wiring,
        "role": answer.role,
        "stage": answer.stage_title,
        "setting": number(answer.setting),
        "line": answer.line,
        "positions": numbers(answer.dial),
        "certified": [bool(one) for one in answer.certified],
        "residual": number(answer.residual),
        "bound": number(answer.bound),
        "heard": [_heard_data(heard) for heard in answer.heard],
        "refusals": list(answer.refusals),
    }


def _heard_data(heard: Heard) -> dict[str, Any]:
    return {
        "name": heard.name,
        "unit": heard.unit,
        "sort": heard.sort,
        "scale": heard.scale,
        "note": heard.note,
        "values": numbers(heard.values),
        "without_end": [isinf(value) for value in heard.values],
        "at_0": number(heard.at_0),
        "at_5": number(heard.at_noon),
        "at_10": number(heard.at_10),
        "weight": number(heard.weight),
        "spreading": _spreading_data(heard.spreading),
        "tolerance": _tolerance_data(heard.tolerance),
        "advice": _advice_data(heard.advice),
    }


def _spreading_data(spread: Spreading | None) -> dict[str, Any] | None:
    if spread is None:
        return None
    return {
        "whole": number(spread.whole),
        "tenths": numbers(spread.shares),
        "evenness": number(spread.evenness),
        "half_from": number(spread.half_from),
        "half_to": number(spread.half_to),
        "dead": [numbers(stretch) for stretch in spread.dead],
        "turns_round": spread.turns_round,
    }


def _tolerance_data(found: Tolerance | None) -> dict[str, Any] | None:
    if found is None:
        return None
    return {"track_80_percent": numbers(found.smaller), "track_120_percent": numbers(found.larger)}


def _advice_data(advice: Advice | None) -> dict[str, Any] | None:
    if advice is None:
        return None
    return {
        "laws": [{"law": one.law, "evenness": number(one.evenness)} for one in advice.laws],
        "law": advice.law,
        "padding": _padding_data(advice.padding),
    }


def _padding_data(padding: Padding | None) -> dict[str, Any] | None:
    if padding is None:
        return None
    return {
        "ohms": number(padding.ohms),
        "from_wiper_to_lug": padding.end,
        "law": padding.law,
        "evenness": number(padding.evenness),
        "at_0": number(padding.at_0),
        "at_10": number(padding.at_10),
    }
