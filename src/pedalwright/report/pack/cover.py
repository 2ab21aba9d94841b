"""The cover: what the pedal is, what will be heard, what building it asks for, and the cautions."""

import re
from collections.abc import Iterable

from pedalwright.report.blocks import Block, Box, Facts, Paragraph, Points, Tone
from pedalwright.report.check_sentences import verdict
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.hearing import heard_in_words
from pedalwright.report.plain_text import plain
from pedalwright.report.power_sentences import current
from pedalwright.report.safety import SAFETY

FEW_JOINTS, MANY_JOINTS = 80, 220
"""up to here a first project, from here on one for a patient builder (house rule)"""
_LICENCE = re.compile(r"\s*licen[cs]e\s*:?\s*(.+)", re.IGNORECASE | re.DOTALL)


def cover_blocks(dossier: Dossier) -> tuple[Block, ...]:
    """The facts of the cover, what will be heard, and the safety box."""
    heard = heard_in_words(dossier)
    telling: tuple[Block, ...] = (Paragraph("What you will hear", Tone.LEAD), Points(heard)) if heard else ()
    return (Facts(tuple(_facts(dossier))), *telling, Box(SAFETY))


def lead_lines(dossier: Dossier) -> tuple[str, ...]:
    """What the text says about itself, without its licence, which stands among the facts."""
    return tuple(line for line in dossier.circuit.about if _LICENCE.fullmatch(line) is None)


def _facts(dossier: Dossier) -> Iterable[tuple[str, str]]:
    circuit = dossier.circuit
    supplies = ", ".join(f"{one.volts:g} V DC, {one.source} ({one.net})" for one in circuit.supplies)
    yield "supply", supplies or "none: a passive circuit"
    drawn = [f"{current(amps.typical)} from {net}" for net, amps in dossier.budget.supply_a]
    if drawn:
        yield "current", f"{', '.join(drawn)}, typical"
    yield "controls", ", ".join(part.ref for part in (*circuit.knobs, *circuit.switches)) or "none"
    if dossier.moved:
        yield "set to", f"{', '.join(dossier.moved)}; the text has them elsewhere"
    yield "size", f"{len(circuit.parts)} parts, {joints(dossier)} solder joints"
    yield "difficulty", _difficulty(joints(dossier))
    yield "review", verdict(dossier.review)
    licence = next((found[1] for line in circuit.about if (found := _LICENCE.fullmatch(line))), "")
    if licence:
        yield "licence", plain(licence)
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
