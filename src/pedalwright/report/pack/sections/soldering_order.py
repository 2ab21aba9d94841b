"""Section 6: which parts go in first: the low ones, so that the board lies flat while they are soldered."""

from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.kinds.capacitor import dielectric, is_polarised
from pedalwright.report.blocks import Paragraph, Steps, Table
from pedalwright.report.pack.buying import GROUP_OF_FAMILY, OTHER, value_of
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.walk_document import reading_order

LINKS, FLAT, DIODES, SOCKETS, CERAMICS = (
    "wire links",
    "resistors",
    "diodes",
    "chip sockets",
    "ceramic capacitors",
)
TRANSISTORS, FILMS, CANS, TRIMS = (
    "transistors and regulators",
    "film capacitors",
    "electrolytic capacitors",
    "trimmers",
)
OFF_BOARD, LAST = "off the board: knobs, switches, lamps, jacks", "chips into their sockets"
HEIGHT_MM = {
    LINKS: 1.0,
    FLAT: 2.5,
    DIODES: 2.5,
    SOCKETS: 4.5,
    CERAMICS: 5.0,
    TRANSISTORS: 7.0,
    FILMS: 8.0,
    TRIMS: 9.0,
    CANS: 12.0,
}
"""usual heights above the board (from memory; measure yours)"""
WHY = {
    DIODES: "The ring marks the cathode; check it against the schematic.",
    SOCKETS: "The notch shows the end of pin 1. The chips stay out until the supply has been measured.",
    TRANSISTORS: "Legs differ between makers: see the sheet of the very part. Let joints cool in between.",
    CANS: "The stripe marks the minus leg, the longer leg is plus. Reversed, they can burst.",
    OFF_BOARD: "Wires as short as the case allows; twist the two of each jack.",
    LAST: "Only after the supply has been measured at the empty sockets, and with the power off.",
}


def build(dossier: Dossier) -> Chapter:
    """The batches in order, each with its parts and what to mind."""
    batches = [(name, sorted(refs, key=reading_order)) for name, refs in _batches(dossier).items() if refs]
    rows = tuple(
        (str(place), name, _height(name), ", ".join(refs)) for place, (name, refs) in enumerate(batches, 1)
    )
    table = Table(
        caption="Lowest first",
        columns=("step", "what", "height", "parts"),
        rows=rows,
        figures=(0,),
    )
    minded = tuple(f"{name.capitalize()}: {WHY[name]}" for name, _ in batches if name in WHY)
    before = Paragraph(
        "Low parts first: turned over, the board then presses each batch against the bench. Look at every "
        "joint with a lens before the next batch."
    )
    return chapter([before, table, Steps(minded)])


def _height(name: str) -> str:
    return f"{HEIGHT_MM[name]:g} mm" if name in HEIGHT_MM else "-"


def _batches(dossier: Dossier) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {
        name: []
        for name in (FLAT, DIODES, SOCKETS, CERAMICS, TRANSISTORS, FILMS, TRIMS, CANS, OFF_BOARD, LAST)
    }
    for part in dossier.circuit.parts:
        batch = _batch(part)
        label = part.ref if batch in (OFF_BOARD, SOCKETS) else f"{part.ref} {_value(part)}"
        found[batch].append(label)
        if batch is SOCKETS:
            found[LAST].append(f"{part.ref} {_value(part)}")
    return found


def _value(part: Part) -> str:
    return value_of(part, GROUP_OF_FAMILY.get(device(part.kind).family, OTHER))


def _batch(part: Part) -> str:
    family = device(part.kind).family
    if family == "capacitor":
        if is_polarised(part):
            return CANS
        return CERAMICS if dielectric(part) == "ceramic" or (part.value or 0.0) < 1e-9 else FILMS
    if part.kind == "led":
        return OFF_BOARD
    if part.kind == "trim":
        return TRIMS
    batches = {
        "resistor": FLAT,
        "inductor": FILMS,
        "diode": DIODES,
        "bipolar": TRANSISTORS,
        "fet": TRANSISTORS,
        "regulator": TRANSISTORS,
        "optocoupler": TRANSISTORS,
        "opamp": SOCKETS,
        "echo-chip": SOCKETS,
    }
    return batches.get(family, OFF_BOARD)


SECTION = PackSection(name="soldering-order", place=6, heading="Soldering order", build=build)
