"""Whether a figure that is told in several places is the same in all of them."""

import re
from collections.abc import Iterable

from pedalwright.circuit.circuit import Circuit
from pedalwright.report.blocks import Block, Facts
from pedalwright.report.pack.assembling import BuildDocument
from pedalwright.report.pack.texts import block_texts, texts

_NUMBER = r"([\d.]+ ?(?:[munµk]?[AsV]|k?Hz|dB))"
SAID = {
    "The delay": (rf"(?:repeat|this document it) comes after {_NUMBER}",),
    "The current from {net}": (
        rf"^{_NUMBER} from {{net}}, typical$",
        rf"{{net}} gives .*?, {_NUMBER} typically",
        rf"^current from {{net}}: {_NUMBER} typical",
    ),
    "The gain at 1 kHz": (
        r"at 1 kHz it is ([\d.]+ dB) (?:louder|softer)",
        r"neither louder nor softer \([+-]?([\d.]+ dB)\)",
        r"^gain at 1 kHz: [+-]?([\d.]+ dB)$",
    ),
    "The bass corner": (rf"; bass below {_NUMBER}", rf"^bass falls by 3 dB at: {_NUMBER}$"),
    "The treble corner": (
        rf"(?:;|and) treble above {_NUMBER} fall",
        rf"^treble falls by 3 dB at: {_NUMBER}$",
    ),
    "The supply": (r"^([\d.]+ V) DC, (?:wall|battery) \({net}\)", r"^([\d.]+ V) DC, centre"),
}
"""how each figure is worded where it is told; with {net} for each supply"""
OF_ONE_CHIP = ("The delay",)
NOT_ASKED = ("changes", "mods", "parts-list", "controls")
"""sections that speak of other values than the circuit's own"""


def figures_that_differ(built: BuildDocument, circuit: Circuit) -> Iterable[str]:
    """A sentence for every figure that is told in two ways."""
    said = _said(built)
    chips = sum(part.kind == "echo-chip" for part in circuit.parts)
    nets = [supply.net for supply in circuit.supplies]
    for name, wordings in SAID.items():
        if name in OF_ONE_CHIP and chips != 1:
            continue
        if len(nets) != 1 and any("{net}" in one for one in wordings):
            continue
        net = nets[0] if nets else ""
        found = sorted(
            {value for one in wordings for value in _found(one.replace("{net}", re.escape(net)), said)}
        )
        if len(found) > 1:
            yield f"{name.replace('{net}', net)} is told as {' and as '.join(found)}."


def _found(wording: str, said: list[str]) -> Iterable[str]:
    pattern = re.compile(wording)
    for text in said:
        yield from pattern.findall(text)


def _said(built: BuildDocument) -> list[str]:
    """Every text of the document, facts also as ``name: what is said``."""
    found = [text for block in built.cover for text in _texts(block)]
    for section in built.document.sections:
        if section.anchor not in NOT_ASKED:
            found += texts(section)
            found += [text for block in section.blocks for text in _texts(block)]
    return found


def _texts(block: Block) -> Iterable[str]:
    yield from block_texts(block)
    if isinstance(block, Facts):
        yield from (f"{name}: {said}" for name, said in block.rows)
