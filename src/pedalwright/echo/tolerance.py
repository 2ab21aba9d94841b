"""How far parts may be from what is written on them, for builds of the same circuit."""

import re
from collections.abc import Mapping, Sequence

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import Capacitance, Primitive, Resistance

USUAL = {"resistor": 0.01, "film": 0.10, "ceramic": 0.10, "electrolytic": 0.20, "knob": 0.20, "trim": 0.20}
"""Share either way where the text gives none: common practice, no source. A part's own note (``5%``)
counts.
"""
CAPACITOR = 0.10


def tolerance_of(part: Part) -> float | None:
    """The share either way of a resistor, capacitor, knob or trim; None for other parts."""
    for note in part.notes:
        written = re.fullmatch(r"(?:\+-|±)?\s*(\d+(?:\.\d+)?)\s*%", note.strip())
        if written:
            return float(written[1]) / 100
    if part.kind == "capacitor":
        return next((USUAL[note] for note in part.notes if note in USUAL), CAPACITOR)
    return USUAL.get(part.kind)


def tolerances(
    parts: Sequence[Part], primitives: Sequence[Primitive], known: Sequence[str], without: str
) -> Mapping[str, float]:
    """Share by name of value, for resistors and capacitors among `known`; of knobs only the one named
    `without` is there, under its designator: its track is drawn as a whole.
    """
    shares = {part.ref: tolerance_of(part) for part in parts}
    found: dict[str, float] = {}
    names = set(known)
    for one in primitives:
        share = shares.get(one.owner)
        plain = isinstance(one, Resistance | Capacitance) and one.name == one.owner
        if plain and share is not None and one.name in names:
            found[one.name] = share
    own = shares.get(without)
    return {**found, **({without: own} if own is not None else {})}
