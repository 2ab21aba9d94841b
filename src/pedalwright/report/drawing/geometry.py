"""A sheet as plain data: every symbol, wire and flag with its place, for programs that draw or click."""

from typing import Any

from pedalwright.analysis.memo import Analysis
from pedalwright.report.drawing.proof import DrawingProof, circuit_pins
from pedalwright.report.drawing.sheet import Box, Label, Placed, Point, Sheet
from pedalwright.report.drawing.svg_bits import STEP
from pedalwright.report.plain_data import json_text, number

SCHEMA = "pedalwright.drawing/1"


def drawing_json(analysis: Analysis, sheet: Sheet, proof: DrawingProof) -> str:
    """The text of the JSON object `pedalwright.drawing/1`; places are in steps of the grid."""
    nets = circuit_pins(analysis.circuit)
    return json_text(
        {
            "schema": SCHEMA,
            "title": sheet.title,
            "stage": sheet.stage or None,
            "symbols": sheet.symbols_style,
            "step_px": STEP,
            "box": _box(sheet.box),
            "proof": {"holds": proof.holds, "pins": proof.pins, "nets": proof.nets},
            "safe_layout": sheet.safe,
            "plain_stages": list(sheet.plain_stages),
            "stages": [
                {"stage": one.stage, "kind": one.kind, "title": one.title, "box": _box(one.box)}
                for one in sheet.frames
            ],
            "parts": [_part(one, nets) for one in sheet.placed],
            "wires": [
                {"net": one.net.lstrip("~"), "start": list(one.start), "end": list(one.end)}
                for one in sheet.wires
            ],
            "dots": [{"net": one.net.lstrip("~"), "at": list(one.at)} for one in sheet.dots],
            "flags": [
                {
                    "net": one.net.lstrip("~"),
                    "name": one.name,
                    "style": one.style,
                    "at": list(one.at),
                    "box": _box(one.box),
                }
                for one in sheet.flags
            ],
            "labels": [_label(one) for one in sheet.labels],
        },
        indent=None,
    )


def _part(one: Placed, nets: dict[tuple[str, str], str]) -> dict[str, Any]:
    return {
        "unit": one.unit,
        "part": one.part,
        "symbol": one.symbol,
        "box": _box(one.body),
        "pins": [_pin(one, pin, at, nets) for pin, at in one.pins],
    }


def _pin(one: Placed, pin: str, at: Point, nets: dict[tuple[str, str], str]) -> dict[str, Any]:
    net = nets.get((one.part, pin))
    return {"pin": pin, "net": None if net is None else net.lstrip("~"), "at": list(at)}


def _label(one: Label) -> dict[str, Any]:
    return {
        "text": one.text,
        "kind": one.kind,
        "owner": one.owner.lstrip("~"),
        "x": number(one.x),
        "y": number(one.y),
        "anchor": one.anchor,
        "size": one.size,
        "box": _box(one.box),
    }


def _box(box: Box) -> list[float | None]:
    return [number(side) for side in (box.left, box.top, box.right, box.bottom)]
