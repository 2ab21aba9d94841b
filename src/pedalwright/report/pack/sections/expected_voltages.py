"""Section 8: what a meter reads on every pin, with room to write beside it."""

import re
from dataclasses import replace

from pedalwright.report.blocks import Block, Paragraph, Points, Section, Table, Tone
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter, without_empty
from pedalwright.report.voltages_document import voltages_document

_TYPED = re.compile(r"\(--measured [^)]*\)")
"""what is typed at a terminal says little on paper"""
ELSEWHERE = ("glance", "wrong")
"""told on the cover and under troubleshooting"""


def build(dossier: Dossier) -> Chapter:
    """The tables of the voltages verb; refusals in their place where nothing could be certified."""
    if not dossier.circuit.supplies:
        return chapter()
    table = dossier.voltages
    if table.refusals:
        return chapter([Paragraph(said, Tone.DOUBT) for said in table.refusals])
    sections = voltages_document(table, to_write_in=True).sections
    return chapter(
        [
            Paragraph(
                "Black probe on ground, red probe on the place, no signal. Read the supply first: when it "
                "is not in its band, no other reading means anything yet. A probe that slips between two "
                "pins can destroy a chip: use a thin tip and a steady hand."
            )
        ],
        [_own(section) for section in sections if section.anchor not in ELSEWHERE],
    )


def _own(section: Section) -> Section:
    """The section under an anchor of its own, without captions that repeat its heading."""
    blocks = tuple(_shown(block, section.heading) for block in section.blocks)
    return replace(section, anchor=f"volts-{section.anchor}", blocks=blocks)


def _shown(block: Block, heading: str) -> Block:
    if isinstance(block, Points):
        return Points(tuple(_TYPED.sub("(with the verb voltages)", item) for item in block.items))
    if isinstance(block, Table) and block.caption == heading:
        return without_empty(replace(block, caption=""))
    return block


SECTION = PackSection(name="expected-voltages", place=8, heading="Expected voltages", build=build)
