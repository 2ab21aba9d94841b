"""Mistakes with parts: turned round, forgotten, of another value."""

from collections.abc import Iterable
from dataclasses import replace

from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.part import Part

from .mutant import Mutant, bridged, parts_of, rails, revalued, swapped, with_part, without_part

DECADE = 10.0
DIODES = ("silicon-diode", "schottky-diode", "germanium-diode", "zener-diode", "led")


def electrolytic_reversed(circuit: Circuit) -> Iterable[Mutant]:
    """Plus where minus belongs."""
    for part in parts_of(circuit, "capacitor"):
        if {"electrolytic", "tantalum"} & set(part.notes):
            yield _turned(circuit, part)


def diode_reversed(circuit: Circuit) -> Iterable[Mutant]:
    """A diode in the signal, or a lamp, the wrong way round."""
    for part in parts_of(circuit, *DIODES):
        if not set(part.nets) & rails(circuit) - {GROUND}:
            yield _turned(circuit, part)


def supply_diode_reversed(circuit: Circuit) -> Iterable[Mutant]:
    """A diode at a supply the wrong way round."""
    for part in parts_of(circuit, *DIODES):
        if set(part.nets) & rails(circuit) - {GROUND}:
            yield _turned(circuit, part)


def _turned(circuit: Circuit, part: Part) -> Mutant:
    changed = with_part(circuit, swapped(part, "1", "2"))
    return _mutant(part, f"{part.ref} turned round", changed)


def coupling_missing(circuit: Circuit) -> Iterable[Mutant]:
    """A capacitor between two signals forgotten."""
    for part in parts_of(circuit, "capacitor"):
        if not set(part.nets) & rails(circuit):
            yield _mutant(part, f"{part.ref} left out", without_part(circuit, part.ref))


def bypass_missing(circuit: Circuit) -> Iterable[Mutant]:
    """A capacitor to ground forgotten."""
    for part in parts_of(circuit, "capacitor"):
        if GROUND in part.nets:
            yield _mutant(part, f"{part.ref} left out", without_part(circuit, part.ref))


def coupling_bridged(circuit: Circuit) -> Iterable[Mutant]:
    """A wire in the place of a capacitor between two signals."""
    for part in parts_of(circuit, "capacitor"):
        if not set(part.nets) & rails(circuit):
            yield _mutant(part, f"a wire in place of {part.ref}", bridged(circuit, part.ref))


def resistor_missing(circuit: Circuit) -> Iterable[Mutant]:
    """A resistor between two signals forgotten."""
    for part in parts_of(circuit, "resistor"):
        if not set(part.nets) & rails(circuit):
            yield _mutant(part, f"{part.ref} left out", without_part(circuit, part.ref))


def resistor_to_ground_missing(circuit: Circuit) -> Iterable[Mutant]:
    """A resistor to ground forgotten: pull-downs, lower legs of dividers, emitter resistors."""
    for part in parts_of(circuit, "resistor"):
        if GROUND in part.nets:
            yield _mutant(part, f"{part.ref} left out", without_part(circuit, part.ref))


def resistor_from_supply_missing(circuit: Circuit) -> Iterable[Mutant]:
    """A resistor at a supply forgotten: upper legs of dividers, collector resistors, supply filters."""
    for part in parts_of(circuit, "resistor"):
        if set(part.nets) & rails(circuit) - {GROUND}:
            yield _mutant(part, f"{part.ref} left out", without_part(circuit, part.ref))


def feedback_missing(circuit: Circuit) -> Iterable[Mutant]:
    """A resistor from an op-amp's output to its inverting input forgotten."""
    for part in parts_of(circuit, "resistor"):
        if set(part.nets) in _feedback_places(circuit):
            yield _mutant(part, f"{part.ref} left out", without_part(circuit, part.ref))


def _feedback_places(circuit: Circuit) -> list[set[str]]:
    chips = [part for part in circuit.parts if part.kind.endswith("opamp")]
    outs = [(part, pin.removesuffix("out")) for part in chips for pin, _ in part.pins if pin.endswith("out")]
    return [{part.net(f"{section}out"), part.net(f"{section}inv")} for part, section in outs]


def resistor_bridged(circuit: Circuit) -> Iterable[Mutant]:
    """A wire, or a blob of solder, in the place of a resistor."""
    for part in parts_of(circuit, "resistor"):
        if not set(part.nets) <= rails(circuit):
            yield _mutant(part, f"a wire in place of {part.ref}", bridged(circuit, part.ref))


def resistor_decade_up(circuit: Circuit) -> Iterable[Mutant]:
    """One zero too many."""
    yield from _slips(circuit, "resistor", DECADE)


def resistor_decade_down(circuit: Circuit) -> Iterable[Mutant]:
    """One zero too few."""
    yield from _slips(circuit, "resistor", 1 / DECADE)


def capacitor_decade_up(circuit: Circuit) -> Iterable[Mutant]:
    """Ten times the capacitance."""
    yield from _slips(circuit, "capacitor", DECADE)


def capacitor_decade_down(circuit: Circuit) -> Iterable[Mutant]:
    """A tenth of the capacitance."""
    yield from _slips(circuit, "capacitor", 1 / DECADE)


def _slips(circuit: Circuit, kind: str, factor: float) -> Iterable[Mutant]:
    words = "ten times too large" if factor > 1 else "ten times too small"
    for part in parts_of(circuit, kind):
        yield _mutant(part, f"{part.ref} {words}", with_part(circuit, revalued(part, factor)))


def knob_decade_up(circuit: Circuit) -> Iterable[Mutant]:
    """A knob of ten times the resistance."""
    for part in circuit.knobs:
        yield _mutant(part, f"{part.ref} ten times too large", with_part(circuit, revalued(part, DECADE)))


def knob_decade_down(circuit: Circuit) -> Iterable[Mutant]:
    """A knob of a tenth of the resistance."""
    for part in circuit.knobs:
        yield _mutant(part, f"{part.ref} ten times too small", with_part(circuit, revalued(part, 1 / DECADE)))


def wrong_taper(circuit: Circuit) -> Iterable[Mutant]:
    """An audio knob where a linear one belongs, and the other way round."""
    for part in circuit.knobs:
        law = "audio" if part.law == "linear" else "linear"
        changed = with_part(circuit, replace(part, law=law))
        yield _mutant(part, f"{part.ref} {law} in place of {part.law}", changed)


def time_resistor_small(circuit: Circuit) -> Iterable[Mutant]:
    """The resistor before an echo chip's time knob a tenth of what it should be, or a wire."""
    for chip in parts_of(circuit, "echo-chip"):
        for part in parts_of(circuit, "resistor"):
            if chip.net("6") in part.nets and GROUND not in part.nets:
                small = with_part(circuit, revalued(part, 1 / DECADE))
                yield _mutant(part, f"{part.ref} ten times too small", small)
                yield _mutant(part, f"a wire in place of {part.ref}", bridged(circuit, part.ref))


def _mutant(part: Part, told: str, changed: Circuit) -> Mutant:
    return Mutant(place=told, told=told, culprits=(part.ref,), circuit=changed)
