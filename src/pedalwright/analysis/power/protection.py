"""Which parts keep a wrong supply from the rest, read from the solved circuit."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.trials import Tried
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.kinds.regulator import set_volts
from pedalwright.units.values import print_value

BLOCKED_V = 1.0
"""a diode that holds back more than this, and passes next to nothing, blocks (house rule)"""
BLOCKED_A = 2e-3
CARRIED_A = 5e-3
"""a diode that carries more than this to ground takes the fault upon itself (house rule)"""
HELD_SHARE = 0.05
"""a regulator within this of its voltage still holds"""


def protections(analysis: Analysis, tried: Tried, places: list[int]) -> tuple[str, ...]:
    """Sentences on what each protecting part does in the trials at `places`."""
    return tuple(dict.fromkeys(_all(analysis, tried, places)))


def _all(analysis: Analysis, tried: Tried, places: list[int]) -> Iterable[str]:
    feeding = {ref for ref, _, _ in analysis.bench.classes.feeds}
    for part in analysis.circuit.parts:
        family = analysis.view.family[part.ref]
        if family == "diode" and part.kind != "led":
            yield from _diode(part, tried, places, feeds=part.ref in feeding)
        if family == "regulator":
            yield from _regulator(part, tried, places)


def _diode(part: Part, tried: Tried, places: list[int], *, feeds: bool) -> Iterable[str]:
    anode, cathode = part.nets[:2]
    reverse = (tried.volts(cathode) - tried.volts(anode))[places]
    flowing = tried.named(part.ref)[places]
    if feeds and (reverse.max() > BLOCKED_V) and abs(flowing[int(np.argmax(reverse))]) < BLOCKED_A:
        yield f"{part.ref} blocks, with {print_value(float(reverse.max()), 'V')} across it"
    if feeds or GROUND not in (anode, cathode):
        return
    if np.abs(flowing).max() > CARRIED_A:
        carried = print_value(float(np.abs(flowing).max()), "A")
        way = "conducts" if flowing[int(np.argmax(np.abs(flowing)))] > 0 else "breaks down and carries"
        yield f"{part.ref} {way} {carried} to ground"


def _regulator(part: Part, tried: Tried, places: list[int]) -> Iterable[str]:
    output = tried.volts(part.net("out"))[places] - tried.volts(part.net("gnd"))[places]
    wanted = set_volts(part)
    if part.type != "LM317" and abs(output.max() - wanted) < HELD_SHARE * wanted:
        yield f"{part.ref} still holds {print_value(wanted, 'V')}"
