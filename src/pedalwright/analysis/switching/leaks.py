"""What capacitors let through at rest: the resistance that decides which voltage stands behind them."""

from collections.abc import Mapping
from dataclasses import dataclass

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.kinds.capacitor import LEAKAGE_SECONDS, dielectric, leakage_ohms

FILM_OHMS, FILM_SECONDS = 30e9, 10_000.0
"""least insulation of a film capacitor up to a third of a microfarad, and resistance times capacitance above
(sheet limits of general-purpose polyester, from memory; a good part is ten times better)"""
CERAMIC_OHMS, CERAMIC_SECONDS = 10e9, 500.0
"""the same of a ceramic capacitor, whichever is less (10 Gohm or 500 ohm farads: sheets of class 2 parts,
from memory)"""
LARGE_FARADS = 1e-6
"""from here up a capacitor of no stated kind is taken for an electrolytic one (common practice, no source)"""


@dataclass(frozen=True, slots=True)
class Leak:
    """The leakage resistance of one capacitor between its two nets, in ohms."""

    ref: str
    a: str
    b: str
    ohms: float


def insulation_ohms(part: Part) -> float:
    """The leakage resistance of a capacitor in ohms, whatever it is made of."""
    written = leakage_ohms(part)
    if written is not None:
        return written
    farads = part.value or 0.0
    if farads <= 0:
        return FILM_OHMS
    kind = dielectric(part)
    if kind == "ceramic":
        return min(CERAMIC_OHMS, CERAMIC_SECONDS / farads)
    if not kind and farads > LARGE_FARADS:
        return LEAKAGE_SECONDS / farads
    return min(FILM_OHMS, FILM_SECONDS / farads)


def unmodelled_leaks(circuit: Circuit) -> tuple[Leak, ...]:
    """The leaks that the parts' own models leave out: those of film, ceramic and unnamed capacitors."""
    return tuple(
        Leak(part.ref, part.nets[0], part.nets[1], insulation_ohms(part))
        for part in circuit.parts
        if part.kind == "capacitor" and leakage_ohms(part) is None
    )


def insulations(circuit: Circuit) -> Mapping[str, float]:
    """The leakage resistance of every capacitor, by designator."""
    return {part.ref: insulation_ohms(part) for part in circuit.parts if part.kind == "capacitor"}
