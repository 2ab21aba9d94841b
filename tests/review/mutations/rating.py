"""Which parts a circuit at rest strains beyond what they are made for."""

from collections.abc import Iterable

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.primitives import Junction, Resistance

BACKWARDS_V = 1.0
"""an aluminium electrolytic stands about this much backwards (from memory: sheets say 1 V to 1.5 V)"""
RESISTOR_W = 0.25
"""the usual size for pedals (common practice, no source)"""
DIODE_A, LAMP_A = 0.2, 0.03
"""small-signal diodes 200 mA, lamps 30 mA at most (usual data sheets, from memory)"""
AMPLIFIER_V = 36.0
"""most between an op-amp's supply pins (usual data sheets: TL07x +-18 V)"""
CHIP_V = 6.0
"""most an echo chip stands (from memory: the maker's absolute maximum is 6 V)"""


def strains(analysis: Analysis) -> frozenset[str]:
    """What is over its rating, in words; nothing for a circuit whose rest is not certified."""
    if not analysis.rest.certificate.ok:
        return frozenset()
    return frozenset((*_capacitors(analysis), *_heated(analysis), *_chips(analysis)))


def _capacitors(analysis: Analysis) -> Iterable[str]:
    rest = analysis.rest
    for part in analysis.circuit.parts:
        if part.kind != "capacitor" or any("/" in net for net in part.nets):
            continue
        across_v = rest.volts(part.net("1")) - rest.volts(part.net("2"))
        if {"electrolytic", "tantalum"} & set(part.notes) and across_v < -BACKWARDS_V:
            yield f"{part.ref} backwards"
        rated = [
            float(note[:-1])
            for note in part.notes
            if note[:-1].replace(".", "").isdigit() and note[-1] == "V"
        ]
        if rated and abs(across_v) > rated[0]:
            yield f"{part.ref} above its voltage"


def _heated(analysis: Analysis) -> Iterable[str]:
    rest, kinds = analysis.rest, {part.ref: part.kind for part in analysis.circuit.parts}
    for one in analysis.primitives:
        kind = kinds.get(one.owner, "")
        if isinstance(one, Resistance) and kind in ("resistor", "knob", "trim") and one.ohms > 0:
            drop_v = rest.volts(one.a) - rest.volts(one.b)
            if drop_v**2 / one.ohms > RESISTOR_W:
                yield f"{one.owner} too hot"
        if isinstance(one, Junction) and kind.endswith(("diode", "led")):
            most_a = LAMP_A if kind == "led" else DIODE_A
            if abs(rest.amperes(one.name)) > most_a:
                yield f"{one.owner} burnt"


def _chips(analysis: Analysis) -> Iterable[str]:
    rest = analysis.rest
    for part in analysis.circuit.parts:
        if part.kind.endswith("opamp"):
            fed_v = rest.volts(part.net("v+")) - rest.volts(part.net("v-"))
            if fed_v < -0.5 or fed_v > AMPLIFIER_V:
                yield f"{part.ref} fed wrongly"
        if part.kind == "echo-chip":
            fed_v = rest.volts(part.net("1")) - rest.volts(part.net("3"))
            if fed_v < -0.5 or fed_v > CHIP_V:
                yield f"{part.ref} fed wrongly"
