"""The walk-through as JSON: the schema ``pedalwright.walk/1``, told in docs/json-schemas.md."""

from typing import Any

from pedalwright.analysis.records import Certified, Curve, Effect, Level, Overall, Walk, WalkPart, WalkStage
from pedalwright.circuit.remark import Remark
from pedalwright.report.plain_data import json_text, number, numbers
from pedalwright.report.walk_echo_json import walk_echo_data
from pedalwright.report.walk_sentences import is_sound

SCHEMA = "pedalwright.walk/1"


def walk_json(walk: Walk) -> str:
    """The JSON text of a walk-through."""
    return json_text(walk_data(walk))


def walk_data(walk: Walk) -> dict[str, Any]:
    """The walk-through as plain data."""
    return {
        "schema": SCHEMA,
        "title": walk.title,
        "about": list(walk.about),
        "text_sha256": walk.text_sha256,
        "settings": dict(walk.settings),
        "confirmed": is_sound(walk),
        "source": _source(walk),
        "load": None if walk.load is None else {"net": walk.load.net, "ohms": number(walk.load.ohms)},
        "supplies": [
            {"net": supply.net, "volts": number(supply.volts), "source": supply.source}
            for supply in walk.supplies
        ],
        "overall": _overall(walk.overall),
        "echo": None if walk.echo is None else walk_echo_data(walk.echo),
        "stages": [_stage(stage) for stage in walk.stages],
        "parts": [_part(part, stage) for stage in walk.stages for part in stage.parts] + _unstaged(walk),
        "loops": [list(loop) for loop in walk.loops],
        "rest": [{"net": net, "volts": number(volts)} for net, volts in walk.rest_volts],
        "certificates": [certified_data(certified) for certified in walk.certificates],
        "cautions": [remark_data(remark) for remark in walk.cautions],
        "refusals": list(walk.refusals),
    }


def _source(walk: Walk) -> dict[str, Any] | None:
    source = walk.source
    if source is None:
        return None
    return {
        "net": source.net,
        "source": source.source,
        "ohms": number(source.ohms),
        "level_v": number(source.level_v),
    }


def _overall(overall: Overall) -> dict[str, Any]:
    return {
        "reference_hz": number(overall.reference_hz),
        "gain_db": number(overall.gain_db),
        "low_corner_hz": number(overall.low_corner_hz),
        "high_corner_hz": number(overall.high_corner_hz),
        "dips": [
            {"frequency_hz": number(dip.frequency_hz), "depth_db": number(dip.depth_db)}
            for dip in overall.dips
        ],
        "repeats": [{"chip": ref, "level_db": number(level)} for ref, level in overall.repeats_db],
        "input_ohms": number(overall.input_ohms),
        "output_ohms": number(overall.output_ohms),
        "supply": [{"net": net, "current_a": number(amperes)} for net, amperes in overall.supply_a],
        "curve": None if overall.curve is None else _curve(overall.curve),
        "notes": list(overall.notes),
    }


def _stage(stage: WalkStage) -> dict[str, Any]:
    return {
        "name": stage.name,
        "kind": stage.kind,
        "title": stage.title,
        "heading": stage.heading,
        "section": stage.section,
        "says": stage.says,
        "purpose": stage.purpose,
        "beside": list(stage.beside),
        "inputs": list(stage.inputs),
        "output": stage.output,
        "parts": [part.ref for part in stage.parts],
        "numbers": [
            {
                "name": figure.name,
                "unit": figure.unit,
                "closed": number(figure.closed),
                "full": number(figure.full),
                "source": figure.source,
                "note": figure.note,
            }
            for figure in stage.numbers
        ],
        "formula": stage.formula,
        "formula_source": stage.formula_source,
        "curves": [_curve(curve) for curve in stage.curves],
        "levels": [_level(level) for level in stage.levels],
        "input_ohms": number(stage.input_ohms),
        "output_ohms": number(stage.output_ohms),
        "proof": _proof(stage),
    }


def _proof(stage: WalkStage) -> dict[str, Any]:
    proof = stage.proof
    return {
        "confirmed": proof.confirmed,
        "verdict": proof.verdict,
        "residual": number(proof.v1),
        "residual_bound": number(proof.v1_bound),
        "missing": list(proof.missing),
        "idle": list(proof.idle),
        "bias_shift": number(proof.bias_shift),
        "amplifier_shift": number(proof.amplifier_shift),
    }


def _curve(curve: Curve) -> dict[str, Any]:
    return {
        "title": curve.title,
        "frequency_hz": numbers(curve.frequency_hz),
        "full_db": numbers(curve.full_db),
        "closed_db": numbers(curve.closed_db),
    }


def _level(level: Level) -> dict[str, Any]:
    return {
        "net": level.net,
        "frequency_hz": number(level.frequency_hz),
        "level_v": number(level.level_v),
        "limit_v": number(level.limit_v),
        "headroom_db": number(level.headroom_db),
        "limited_by": level.limited_by,
        "clipped_at": level.clipped_at,
    }


def _part(part: WalkPart, stage: WalkStage) -> dict[str, Any]:
    return {
        "ref": part.ref,
        "label": part.label,
        "kind": stage.kind,
        "role": part.role,
        "stage": stage.name,
        "line": part.line,
        "says": part.says,
        "also": [{"kind": kind, "role": role} for kind, role in part.also],
        "larger": _effect(part.larger),
        "smaller": _effect(part.smaller),
    }


def _unstaged(walk: Walk) -> list[dict[str, Any]]:
    nothing: dict[str, Any] = {"line": None, "says": "", "also": [], "larger": None, "smaller": None}
    return [
        {"ref": ref, "label": label, "kind": None, "role": role, "stage": None, **nothing}
        for ref, label, role in walk.unstaged
    ]


def _effect(effect: Effect | None) -> dict[str, Any] | None:
    if effect is None:
        return None
    return {"value": effect.value_text, "changes": list(effect.changes), "below": effect.below}


def certified_data(certified: Certified) -> dict[str, Any]:
    """How far a group of numbers can be trusted."""
    return {
        "what": certified.what,
        "ok": certified.ok,
        "residual": number(certified.residual),
        "bound": number(certified.bound),
        "condition": number(certified.condition),
        "method": certified.method,
    }


def remark_data(remark: Remark) -> dict[str, Any]:
    """A remark on the text, with its place (None for the text as a whole)."""
    span = remark.span
    return {
        "code": remark.code,
        "severity": remark.severity.value,
        "line": span.line if span else None,
        "column": span.column if span else None,
        "end_column": span.end_column if span else None,
        "what": remark.what,
        "why": remark.why,
        "cure": remark.cure,
    }
