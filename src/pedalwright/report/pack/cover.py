"""The cover: what the pedal is, what building it asks for, and the cautions."""

from collections.abc import Iterable

from pedalwright.report.blocks import Block, Box, Facts
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.safety import SAFETY

FEW_JOINTS, MANY_JOINTS = 80, 220
"""up to here a first project, from here on one for a patient builder (house rule)"""


def cover_blocks(dossier: Dossier) -> tuple[Block, ...]:
    """The facts of the cover and the safety box."""
    return (Facts(tuple(_facts(dossier))), Box(SAFETY))


def _facts(dossier: Dossier) -> Iterable[tuple[str, str]]:
    circuit = dossier.circuit
    supplies = ", ".join(f"{one.volts:g} V DC, {one.source} ({one.net})" for one in circuit.supplies)
    yield "supply", supplies or "none: a passive circuit"
    yield "controls", ", ".join(part.ref for part in (*circuit.knobs, *circuit.switches)) or "none"
    yield "size", f"{len(circuit.parts)} parts, {joints(dossier)} solder joints"
    yield "difficulty", _difficulty(joints(dossier))
    yield "revision", dossier.revision


def joints(dossier: Dossier) -> int:
    """How many pins there are to solder; pins that the text leaves open are not counted."""
    return sum(1 for part in dossier.circuit.parts for net in part.nets if "/" not in net)


def _difficulty(count: int) -> str:
    if count <= FEW_JOINTS:
        return "a first project: an afternoon with a meter and an iron"
    if count <= MANY_JOINTS:
        return "for someone who has built a pedal before, or has help beside the bench"
    return "for a patient builder: build and test it in stages"
