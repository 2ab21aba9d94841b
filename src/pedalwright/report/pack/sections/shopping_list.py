"""Section 5: what to buy, like parts on one line, with spares and a box to tick."""

from collections.abc import Iterable
from math import ceil

from pedalwright.devices.catalogue import device
from pedalwright.report.blocks import Paragraph, Section, Table, Tone
from pedalwright.report.pack.buying import (
    CAPACITORS,
    CHIPS,
    DIODES,
    GROUPS,
    RESISTORS,
    TRANSISTORS,
    Bought,
    bought,
)
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter, without_empty
from pedalwright.report.walk_document import reading_order

BOX = "☐"
SPARE_SHARE = {RESISTORS: 0.2, CAPACITORS: 0.2, DIODES: 0.5, TRANSISTORS: 0.5, CHIPS: 0.3}
"""spares for what is cheap, easily lost, or dies of heat at the iron (house rule)"""
PINS_OF_PACKAGE = {"opamp": 8, "dual-opamp": 8, "quad-opamp": 14, "echo-chip": 16}


def build(dossier: Dossier) -> Chapter:
    """A table a group, then the hardware that no circuit names."""
    parts = bought(dossier)
    return chapter(
        [Paragraph("Like parts stand on one line. The spares are a proposal, in whole parts.")],
        [
            *(_group(group, lines) for group in GROUPS if (lines := _lines(parts, group))),
            _hardware(dossier),
        ],
    )


def _lines(parts: tuple[Bought, ...], group: str) -> list[list[Bought]]:
    """The parts of a group, like ones together, smallest value first."""
    alike: dict[tuple[str, ...], list[Bought]] = {}
    for one in parts:
        if one.group == group:
            alike.setdefault(one.likeness, []).append(one)
    return sorted(alike.values(), key=lambda line: (line[0].part.value or 0.0, line[0].value, line[0].sort))


def _group(group: str, lines: list[list[Bought]]) -> Section:
    table = without_empty(
        Table(
            caption="",
            columns=("have", "how many", "spare", "value", "sort", "rating", "for"),
            rows=tuple(_row(group, line) for line in lines),
            figures=(1, 2),
        )
    )
    return Section(anchor=f"shopping-{group.split(maxsplit=1)[0].lower()}", heading=group, blocks=(table,))


def _row(group: str, line: list[Bought]) -> tuple[str, ...]:
    first, count = line[0], len(line)
    refs = sorted((one.part.ref for one in line), key=reading_order)
    return (
        BOX,
        str(count),
        str(ceil(count * SPARE_SHARE.get(group, 0.0))),
        first.value,
        first.sort,
        first.rating or "-",
        ", ".join(refs),
    )


def _hardware(dossier: Dossier) -> Section:
    table = Table(
        caption="",
        columns=("have", "how many", "what"),
        rows=tuple((BOX, str(count), what) for count, what in _things(dossier) if count),
        figures=(1,),
    )
    note = Paragraph(
        "The text names no case, jacks or wire; this is what such a pedal usually takes (common practice, no "
        "source).",
        Tone.QUIET,
    )
    return Section(anchor="shopping-hardware", heading="Hardware", blocks=(table, note))


def _things(dossier: Dossier) -> Iterable[tuple[int, str]]:
    circuit = dossier.circuit
    jacks = sum(1 for part in circuit.parts if device(part.kind).family == "jack")
    yield 0 if jacks else (circuit.input is not None) + (circuit.output is not None), "6.35 mm jack socket"
    yield sum(1 for one in circuit.supplies if one.source == "wall"), "supply socket for the adaptor's plug"
    yield sum(1 for one in circuit.supplies if one.source == "battery"), "battery clip"
    for pins in sorted(set(PINS_OF_PACKAGE.values())):
        count = sum(1 for part in circuit.parts if PINS_OF_PACKAGE.get(part.kind) == pins)
        yield count, f"{pins}-pin chip socket"
    yield sum(1 for part in circuit.parts if part.kind == "knob"), "knob cap"
    yield sum(1 for part in circuit.parts if part.kind == "led"), "holder for the LED"
    yield 1, "foot switch, if the pedal is to be bypassed by foot"
    yield 1, "metal case, board, hook-up wire, screws, feet"


SECTION = PackSection(name="shopping-list", place=5, heading="Shopping list", build=build)
