"""The time pin at switch-on, when capacitors are empty and pass on whatever their far ends are tied to."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import product

import numpy as np

from pedalwright.analysis.knob_track import halves_at, law_of
from pedalwright.review.rules.echo_chip._chips import Chip, limit
from pedalwright.review.survey import Survey
from pedalwright.review.wants import desk_of
from pedalwright.stages.branch import Leaf

HOLDS_S = 0.04
"""a capacitor that takes longer to charge counts as a short at switch-on: a tenth of the chip's 0.4 s mute
(house rule)
"""
SHORT_OHMS = 1e-3
MOST_KNOBS = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Started:
    """The least resistance at a time pin when the supply comes, and where the knobs stand then."""

    ohms: float
    says: str
    capacitors: tuple[str, ...]
    """those that count as shorts"""


def least_start(survey: Survey, chip: Chip) -> Started | None:
    """The worst of all places of knobs and switches; None where the pin draws no current anywhere."""
    settled = [
        Started(ohms=place.ohms, says=place.says, capacitors=())
        for ref, place in desk_of(survey).time_places
        if ref == chip.ref and np.isfinite(place.ohms)
    ]
    return min([*settled, *_with_empty(survey, chip)], key=lambda one: one.ohms, default=None)


def _with_empty(survey: Survey, chip: Chip) -> Iterable[Started]:
    """The pin's network with slow capacitors as shorts; driven nets count as ground before the supply."""
    leaves = _network(survey, chip)
    if not any(leaf.sort == "C" for leaf in leaves):
        return
    knobs = [part for part in survey.circuit.knobs if any(leaf.ref == part.ref for leaf in leaves)][
        :MOST_KNOBS
    ]
    for turns in product((0.0, 1.0), repeat=len(knobs)):
        ohms: dict[str, float] = {}
        for part, turn in zip(knobs, turns, strict=True):
            halves = halves_at(part.value or 0.0, law_of(part), np.array([turn]))
            ohms |= {f"{part.ref}.1-2": float(halves.lower[0]), f"{part.ref}.2-3": float(halves.upper[0])}
        places = {part.ref: 10 * turn for part, turn in zip(knobs, turns, strict=True)}
        slow = [leaf for leaf in leaves if leaf.sort == "C" and _time_s(leaves, leaf, ohms, chip) >= HOLDS_S]
        if slow:
            yield Started(
                ohms=_resistance(leaves, chip.net("6"), "gnd", ohms, {leaf.name for leaf in slow}),
                says=", ".join(f"{ref} at {at:g}" for ref, at in places.items()),
                capacitors=tuple(leaf.ref for leaf in slow),
            )


def _network(survey: Survey, chip: Chip) -> tuple[Leaf, ...]:
    """Resistances and capacitors from the pin to nets that stand still or are driven, all drawn as ground."""
    walls = set(survey.bench.flow.sources) | set(survey.classes.still)
    walls -= {chip.net("6")}
    found: dict[str, Leaf] = {}
    seen, pending = {chip.net("6")}, [chip.net("6")]
    while pending:
        here = pending.pop()
        for leaf in survey.view.on(here):
            if leaf.sort not in ("R", "C", "L") or leaf.name in found:
                continue
            ends = ["gnd" if net in walls else net for net in (leaf.a, leaf.b)]
            found[leaf.name] = Leaf(
                ref=leaf.ref, name=leaf.name, sort=leaf.sort, a=ends[0], b=ends[1], value=leaf.value
            )
            far = leaf.other(here)
            if far not in walls and far not in seen:
                seen.add(far)
                pending.append(far)
    return tuple(leaf for leaf in found.values() if leaf.a != leaf.b)


def _time_s(leaves: tuple[Leaf, ...], one: Leaf, ohms: Mapping[str, float], chip: Chip) -> float:
    """How long a capacitor takes to charge, the others as shorts, the pin's own resistance counted."""
    others = tuple(leaf for leaf in leaves if leaf.name != one.name)
    inside = Leaf(ref="", name="", sort="R", a=chip.net("6"), b="gnd", value=limit("time_pin_ohms"))
    shorted = {leaf.name for leaf in others if leaf.sort == "C"}
    return one.value * _resistance((*others, inside), one.a, one.b, ohms, shorted)


def _resistance(
    leaves: tuple[Leaf, ...], a: str, b: str, ohms: Mapping[str, float], shorted: set[str]
) -> float:
    """The resistance between two nets, capacitors open but for those shorted; infinite where none leads."""
    nets = list(dict.fromkeys([a, b, *(net for leaf in leaves for net in (leaf.a, leaf.b))]))
    row = {net: place for place, net in enumerate(nets)}
    matrix = np.zeros((len(nets), len(nets)))
    for leaf in leaves:
        if leaf.sort == "C" and leaf.name not in shorted:
            continue
        size = ohms.get(leaf.name, leaf.value) if leaf.sort == "R" else SHORT_OHMS
        i, j, siemens = row[leaf.a], row[leaf.b], 1.0 / max(size, SHORT_OHMS)
        matrix[[i, j], [i, j]] += siemens
        matrix[[i, j], [j, i]] -= siemens
    drive = np.zeros(len(nets))
    drive[row[a]], drive[row[b]] = 1.0, -1.0
    volts, *_ = np.linalg.lstsq(matrix, drive, rcond=None)
    if not np.allclose(matrix @ volts, drive, atol=1e-6):
        return float("inf")
    return float(volts[row[a]] - volts[row[b]])
