"""What an echo chip's time pin sees with the knobs in every place that matters: the ends of the delay."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np

from pedalwright.analysis.knob_track import change_names, halves_at, law_of
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.echo.chip import time_pin
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.rest import operating_points

TRIED = (0.0, 0.25, 0.5, 0.75, 1.0)
"""turns of a knob on its own"""
MOST_TOGETHER = 5
"""knobs turned to their ends together: 32 places"""
MOVES = 1e-3
"""share of its current by which a knob must move the pin to count"""
Turns = Mapping[str, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class TimePlace:
    """The time pin with some knobs moved: `ohms` is the resistance that would draw its current, not a number
    where it draws none; `delay_s` that of a typical chip. `says` names the knobs moved (empty: as they
    stand).
    """

    says: str
    turns: tuple[tuple[str, float], ...]
    ohms: float
    delay_s: float
    amperes: float

    def also(self, says: str) -> "TimePlace":
        """The same with more said about the conditions."""
        return replace(self, says=", ".join(one for one in (self.says, says) if one)) if says else self


def time_places(analysis: Analysis, chip: Part) -> tuple[TimePlace, ...]:
    """The pin as the knobs stand, with each knob that moves it at five places of its dial, and with all that
    move it at their ends together. Only certified places. Raises NotCertified for the circuit itself.
    """
    alone: list[Turns] = [{}, *({part.ref: turn} for part in analysis.circuit.knobs for turn in TRIED)]
    found = _solved(analysis, chip, alone)
    here = found[0].amperes
    moving = [
        part.ref
        for part in analysis.circuit.knobs
        if any(
            part.ref in dict(one.turns) and abs(one.amperes - here) > MOVES * (abs(here) + 1e-9)
            for one in found
        )
    ][:MOST_TOGETHER]
    kept = [one for one in found if not one.turns or one.turns[0][0] in moving]
    if len(moving) > 1:
        ends = [dict(zip(moving, turns, strict=True)) for turns in product((0.0, 1.0), repeat=len(moving))]
        kept += _solved(analysis, chip, ends)
    return tuple(kept)


def _solved(analysis: Analysis, chip: Part, places: Sequence[Turns]) -> list[TimePlace]:
    changes = dict(_changes(analysis, places))
    rests = operating_points(analysis.system, changes, nominal=analysis.rest.checked()) if changes else None
    seen = time_pin(chip, rests if rests is not None else analysis.rest)
    known = rests.ok if rests is not None else np.ones(1, dtype=bool)
    return [
        TimePlace(
            says=", ".join(f"{ref} at {10 * turn:g}" for ref, turn in place.items()),
            turns=tuple(place.items()),
            ohms=float(seen.ohms[row]),
            delay_s=float(seen.delay_s[row]),
            amperes=float(seen.amperes[row]),
        )
        for row, place in enumerate(places[: len(known)])
        if known[row]
    ]


def _changes(analysis: Analysis, places: Sequence[Turns]) -> Iterable[tuple[str, FloatArray]]:
    """Both halves of every knob over the places."""
    known = set(analysis.system.names)
    for part in analysis.circuit.knobs:
        now = (5.0 if part.setting is None else float(part.setting)) / 10
        turns = np.array([place.get(part.ref, now) for place in places])
        halves = halves_at(part.value or 0.0, law_of(part), turns)
        for name, ohms in zip(change_names(part), (halves.lower, halves.upper), strict=True):
            if name in known:
                yield name, ohms
