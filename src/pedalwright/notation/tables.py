"""A circuit as two plain tables (comma-separated values), out and in, for circuits drawn elsewhere.

The parts table has a row for each part (``ref,kind,value,type,law,setting,options,notes,section``) and
for the pedal, supplies, input and output; the connections table a row for each pin on a net
(``ref,pin,net``). What only the documents and the review need (about, wants,
acceptances, points, sections without parts) stays behind.
"""

import csv
import io
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.device import is_unused
from pedalwright.notation.circuit_writing import (
    net_word,
    pins_of,
    pole_count,
    switch_positions,
    value_word,
)
from pedalwright.notation.joining import UNTITLED
from pedalwright.units.values import Quantity, write_value

PARTS_COLUMNS = ("ref", "kind", "value", "type", "law", "setting", "options", "notes", "section")
NEEDED_PARTS_COLUMNS = ("ref", "kind", "value")
CONNECTIONS_COLUMNS = ("ref", "pin", "net")
BETWEEN_NOTES = ";"


class Tables(NamedTuple):
    """The text of the two tables."""

    parts: str
    connections: str


def write_tables(circuit: Circuit) -> Tables:
    """The circuit as two tables; a nameless net is called after its first pin (``R5.2``)."""
    rows = [*_port_rows(circuit), *(_part_row(part) for part in circuit.parts)]
    pins = [
        (part.ref, pin.name, net_word(circuit, part.net(pin.name)))
        for part in circuit.parts
        for pin in pins_of(part)
        if pin.default or not is_unused(part, pin.name)
    ]
    parts = _csv(PARTS_COLUMNS, ([row.get(column, "") for column in PARTS_COLUMNS] for row in rows))
    return Tables(parts=parts, connections=_csv(CONNECTIONS_COLUMNS, pins))


def _csv(header: Iterable[str], rows: Iterable[Iterable[str]]) -> str:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return out.getvalue()


def _port_rows(circuit: Circuit) -> list[Mapping[str, str]]:
    rows: list[Mapping[str, str]] = []
    if circuit.title != UNTITLED:
        rows.append({"kind": "pedal", "notes": circuit.title})
    for supply in circuit.supplies:
        low, high = _volts(supply.low_v), _volts(supply.high_v)
        notes = "" if supply.low_v == supply.high_v == supply.volts else f"{low}..{high}"
        row = {"ref": supply.net, "kind": "supply", "value": _volts(supply.volts), "type": supply.source}
        rows.append({**row, "notes": notes})
    if circuit.input is not None:
        port = circuit.input
        own = {"value": _ohms(port.ohms), "notes": _volts(port.level_v)}
        given = own if port.source == "custom" else {"type": port.source}
        rows.append({"ref": port.net, "kind": "input", **given})
    if circuit.output is not None:
        rows.append({"ref": circuit.output.net, "kind": "output", "value": _ohms(circuit.output.ohms)})
    return rows


def _part_row(part: Part) -> Mapping[str, str]:
    setting = f"{part.setting:g}" if isinstance(part.setting, float) else part.setting or ""
    poles = [("poles", str(pole_count(part)))] if part.kind == "switch" and pole_count(part) > 1 else []
    return {
        "ref": part.ref,
        "kind": part.kind,
        "value": value_word(part),
        "type": part.type,
        "law": part.law,
        "setting": setting,
        "options": BETWEEN_NOTES.join(f"{key}={value}" for key, value in (*part.options, *poles)),
        "notes": BETWEEN_NOTES.join(switch_positions(part) if part.kind == "switch" else part.notes),
        "section": part.section,
    }


def _volts(volts: float) -> str:
    return write_value(volts, Quantity.VOLTAGE)


def _ohms(ohms: float) -> str:
    return write_value(ohms, Quantity.RESISTANCE)
