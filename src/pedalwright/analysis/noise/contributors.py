"""Whose noise it is: the sources of a picture gathered part by part."""

from collections.abc import Iterable, Sequence

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise.picture import Picture
from pedalwright.analysis.noise.records import Contributor
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.ports import INPUT, OUTPUT_LOAD
from pedalwright.solve.arrays import FloatArray
from pedalwright.stages.wording import value_of

CONVERSION = "conversion noise"
"""what an echo chip's coding and decoding add"""
CHIP_LABEL = "echo chip, its conversion"
OUTSIDE = {
    "pickup": "the pickup with its volume knob",
    "buffered": "the other pedal",
    "line": "the line output",
}
INSIDE_CHIP = "echo chip, its amplifiers and resistors"


def contributors(analysis: Analysis, found: Picture) -> tuple[Contributor, ...]:
    """Every part that hisses at the net, the loudest first by A-weighted power; none where the loop runs
    away.
    """
    if found.shares is None:
        return ()
    weighted, flat = (found.powers(found.shares, weighted=way) for way in (True, False))
    groups: dict[tuple[str, str], list[int]] = {}
    for place, (owner, cause) in enumerate(_named(found)):
        groups.setdefault((owner, CONVERSION if cause == CONVERSION else ""), []).append(place)
    causes = [cause for _, cause in _named(found)]
    gathered = (_one(analysis, key, places, causes, weighted, flat) for key, places in groups.items())
    heard = (one for one in gathered if one.unweighted_v > 0)
    return tuple(sorted(heard, key=lambda one: (-one.weighted_v, one.ref, one.label)))


def _named(found: Picture) -> Iterable[tuple[str, str]]:
    """Owner and cause of every row of a picture."""
    for source in found.sources:
        yield source.owner, source.cause.value
    for chip in found.chips:
        yield chip.ref, CONVERSION


def _one(
    analysis: Analysis,
    key: tuple[str, str],
    places: Sequence[int],
    causes: Sequence[str],
    weighted: FloatArray,
    flat: FloatArray,
) -> Contributor:
    own_weighted, own_flat = float(weighted[places].sum()), float(flat[places].sum())
    by_cause: dict[str, float] = {}
    for place in places:
        by_cause[causes[place]] = by_cause.get(causes[place], 0.0) + float(weighted[place])
    ref, label = _label(analysis, *key)
    return Contributor(
        ref=ref,
        label=label,
        weighted_v=float(np.sqrt(own_weighted)),
        weighted_share=_share(own_weighted, float(weighted.sum())),
        unweighted_v=float(np.sqrt(own_flat)),
        unweighted_share=_share(own_flat, float(flat.sum())),
        causes=tuple(
            (cause, _share(part, own_weighted))
            for cause, part in sorted(by_cause.items(), key=lambda pair: -pair[1])
        ),
    )


def _share(part: float, whole: float) -> float:
    return part / whole if whole > 0 else 0.0


def _label(analysis: Analysis, owner: str, conversion: str) -> tuple[str, str]:
    """Designator and what it is; no designator for what is no part of the pedal."""
    circuit = analysis.circuit
    if owner == INPUT:
        source = circuit.input.source if circuit.input is not None else ""
        return "", OUTSIDE.get(source, "the stated source")
    if owner == OUTPUT_LOAD:
        return "", "what follows the pedal"
    part = circuit.by_ref.get(owner)
    if part is None:
        package = package_of(circuit, owner)
        return (owner, value_of(analysis.bench, package)) if package else ("", owner)
    if part.kind == "echo-chip":
        return owner, CHIP_LABEL if conversion else INSIDE_CHIP
    return owner, value_of(analysis.bench, owner)


def package_of(circuit: Circuit, ref: str) -> str:
    """The part a section (``U1a``) is of, or an empty string."""
    return ref[:-1] if ref[-1:].isalpha() and ref[:-1] in circuit.by_ref else ""
