"""Which standard law, or which resistor beside the track, would spread a knob's effect most evenly."""

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.analysis.knob_evenness import TENTHS, Scale, evenness, perceived, tenth_shares
from pedalwright.analysis.knob_track import LAWS, Halves, Wiring, halves_at, joined
from pedalwright.devices.kinds._knob import END_OHMS
from pedalwright.solve.arrays import FloatArray
from pedalwright.units.preferred import Series, members_between

PADDING_FROM, PADDING_TO = 0.05, 3.0
"""resistors beside the track are looked for between these parts of its resistance"""
KEPT = 0.8
"""a resistor that takes more than a fifth of the whole change away is no cure"""
WORTH = 0.05
"""a law or a resistor is worth fitting when it raises the evenness by as much (house rule)"""
CURVE_POINTS = 48
MOST_COUNTED = 1e6
Figure = Callable[[Halves], FloatArray]
TURNS = np.arange(TENTHS + 1) / TENTHS


@dataclass(frozen=True, slots=True, kw_only=True)
class LawTried:
    """How evenly another law would spread the change; None where something is not known."""

    law: str
    evenness: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Padding:
    """A resistor from the wiper to lug `end` of a track of `law`: the evenness with it, and what the figure
    is at both ends of the dial then.
    """

    ohms: float
    end: str
    law: str
    evenness: float
    at_0: float
    at_10: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Advice:
    """What was tried, and what is worth it. `law` and `padding` are None when nothing is better by enough."""

    laws: tuple[LawTried, ...]
    law: str | None
    padding: Padding | None


def advise(
    track_ohms: float,
    present: str,
    wiring: Wiring,
    figure: Figure,
    scale: Scale,
    *,
    present_evenness: float,
    points: int = CURVE_POINTS,
) -> Advice:
    """Advice for one heard figure. `figure` gives it for any halves of the track.

    For a variable resistor the figure follows one resistance only: it is measured along it once and read off
    in between; for a divider every case is measured.
    """
    read = figure if wiring is Wiring.DIVIDER else _along(track_ohms, wiring, figure, points)
    laws = _laws(track_ohms, read, scale)
    best = max(laws, key=lambda one: -1.0 if one.evenness is None else one.evenness)
    pads = _paddings(track_ohms, present, wiring, read, scale)
    padding = max(pads, key=lambda one: one.evenness, default=None)
    better = best.evenness is not None and best.law != present
    return Advice(
        laws=laws,
        law=best.law if better and (best.evenness or 0.0) >= present_evenness + WORTH else None,
        padding=padding if padding and padding.evenness >= present_evenness + WORTH else None,
    )


def better_law(
    track_ohms: float, present: str, figure: Figure, scale: Scale, present_evenness: float
) -> Advice:
    """Which standard law would spread the change most evenly, every case measured; no resistor is tried."""
    laws = _laws(track_ohms, figure, scale)
    best = max(laws, key=lambda one: -1.0 if one.evenness is None else one.evenness)
    better = best.law != present and (best.evenness or 0.0) >= present_evenness + WORTH
    return Advice(laws=laws, law=best.law if better else None, padding=None)


def confirmed(advice: Advice, track_ohms: float, figure: Figure, scale: Scale) -> Advice:
    """The advice with its law and its resistor measured again by `figure`, which gives certified figures
    only; what could not be certified is taken back.
    """
    law, padding = advice.law, advice.padding
    if law and _evenness(figure(halves_at(track_ohms, law, TURNS)), scale) is None:
        law = None
    if padding is not None:
        values = figure(halves_at(track_ohms, padding.law, TURNS).beside(padding.ohms, padding.end))
        score = _evenness(values, scale)
        padding = (
            None
            if score is None
            else replace(padding, evenness=score, at_0=float(values[0]), at_10=float(values[-1]))
        )
    return replace(advice, law=law, padding=padding)


def _laws(track_ohms: float, read: Figure, scale: Scale) -> tuple[LawTried, ...]:
    cases = [halves_at(track_ohms, law, TURNS) for law in LAWS]
    values = read(joined(cases)).reshape(len(cases), TENTHS + 1)
    return tuple(
        LawTried(law=law, evenness=_evenness(row, scale)) for law, row in zip(LAWS, values, strict=True)
    )


def _evenness(values: FloatArray, scale: Scale) -> float | None:
    shares = tenth_shares(perceived(values, scale)) if not np.isnan(values).any() else None
    return None if shares is None else evenness(shares)


def padding_values(track_ohms: float) -> tuple[float, ...]:
    """The resistors tried beside a track [ohm]: E12, a twentieth to three times its resistance."""
    return members_between(PADDING_FROM * track_ohms, PADDING_TO * track_ohms, Series.E12)


def _paddings(track_ohms: float, present: str, wiring: Wiring, read: Figure, scale: Scale) -> list[Padding]:
    plain = halves_at(track_ohms, present, TURNS)
    ends = {Wiring.DIVIDER: ("1", "3"), Wiring.LOWER: ("1",), Wiring.UPPER: ("3",)}[wiring]
    tried = [(ohms, end) for end in ends for ohms in padding_values(track_ohms)]
    values = read(joined([plain, *(plain.beside(ohms, end) for ohms, end in tried)]))
    rows = values.reshape(len(tried) + 1, TENTHS + 1)
    whole = _whole(rows[0], scale)
    found = []
    for (ohms, end), row in zip(tried, rows[1:], strict=True):
        score = _evenness(row, scale)
        if score is not None and _whole(row, scale) >= KEPT * whole:
            found.append(
                Padding(
                    ohms=ohms,
                    end=end,
                    law=present,
                    evenness=score,
                    at_0=float(row[0]),
                    at_10=float(row[-1]),
                )
            )
    return found


def _whole(values: FloatArray, scale: Scale) -> float:
    return float(np.abs(np.diff(perceived(values, scale))).sum())


def _along(track_ohms: float, wiring: Wiring, figure: Figure, points: int) -> Figure:
    """The figure as a function of the one resistance that counts, smooth between measured points."""
    from scipy.interpolate import PchipInterpolator

    low, high = END_OHMS, track_ohms - END_OHMS
    spread = np.unique(np.concatenate([np.geomspace(low, high, points), np.linspace(low, high, points)]))
    other = track_ohms - spread
    is_lower = wiring is Wiring.LOWER
    halves = Halves(lower=spread if is_lower else other, upper=other if is_lower else spread)
    # Repeats without end are as many as nobody counts.
    values = np.minimum(figure(halves), MOST_COUNTED)
    if np.isnan(values).any():
        return lambda given: np.full(given.count, np.nan)
    curve = PchipInterpolator(np.log(spread), values)

    def read(given: Halves) -> FloatArray:
        ohms = np.clip(given.lower if is_lower else given.upper, low, high)
        return np.asarray(curve(np.log(ohms)))

    return read
