"""A stage's response in the full circuit beside its closed form, and the figures read off both in the same
way.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import zip_longest

import numpy as np

from pedalwright.analysis.levels import REFERENCE_HZ
from pedalwright.analysis.measured import at_hz
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.records import Curve
from pedalwright.solve.band import Band, ComplexArray
from pedalwright.solve.corners import HEARD_HZ, Corners, find_corners
from pedalwright.solve.gains import stage_gains
from pedalwright.solve.grid import decibels
from pedalwright.solve.second_order import second_order
from pedalwright.stages.stage import Number, Stage, Transfer
from pedalwright.units.values import print_value

PLOT_HZ = (10.0, 40_000.0)
"""what a reader is shown: a little more than can be heard"""
FIELD = "the closed form and the full circuit, read off in the same way"


@dataclass(frozen=True)
class StageCurve:
    """Gain from one input of a stage to its output: complex, over the band's frequencies; None where not
    known.
    """

    input: str
    closed: ComplexArray | None
    full: ComplexArray | None


def stage_curves(stage: Stage, transfer: Transfer | None, band: Band | None) -> tuple[StageCurve, ...]:
    """One curve per input; the closed form is that of the stage by itself, the full one has everything
    attached.
    """
    inputs = transfer.inputs if transfer is not None else stage.inputs
    if not inputs or not stage.output:
        return ()
    closed: Sequence[ComplexArray | None] = [None] * len(inputs)
    full: Sequence[ComplexArray | None] = [None] * len(inputs)
    s = band.s if band is not None else None
    if transfer is not None and s is not None:
        closed = transfer.gains(s)
    if band is not None and band.ok and band.knows(*inputs, stage.output):
        found = stage_gains(band, inputs, stage.output)
        full = [gain if np.all(np.isfinite(gain)) else None for gain in found]
    return tuple(StageCurve(net, one, two) for net, one, two in zip(inputs, closed, full, strict=True))


def plotted(stage: Stage, curves: Sequence[StageCurve], band: Band | None) -> tuple[Curve, ...]:
    """The curves as level in decibels over the plotted range."""
    if band is None:
        return ()
    inside = (band.frequency_hz >= PLOT_HZ[0]) & (band.frequency_hz <= PLOT_HZ[1])
    return tuple(
        Curve(
            title=f"{spoken(curve.input)} to {spoken(stage.output)}",
            frequency_hz=band.frequency_hz[inside],
            full_db=decibels(curve.full[inside]) if curve.full is not None else None,
            closed_db=decibels(curve.closed[inside]) if curve.closed is not None else None,
        )
        for curve in curves
    )


def read_off(
    curves: Sequence[StageCurve], band: Band | None, transfer: Transfer | None
) -> tuple[Number, ...]:
    """Gain at the reference frequency and the corners, per input, from both curves."""
    if band is None:
        return ()
    loaded = transfer is not None and transfer.output_ohms is not None
    note = "closed form unloaded; full circuit with what follows attached" if loaded else ""
    found: list[Number] = []
    for curve in curves:
        tail = f" from {spoken(curve.input)}" if len(curves) > 1 else ""
        found.extend(_of_curve(curve, band, tail, note))
    return tuple(found)


def _of_curve(curve: StageCurve, band: Band, tail: str, note: str) -> Iterable[Number]:
    closed, full = _levels(curve.closed), _levels(curve.full)
    if closed is None and full is None:
        return
    yield Number(
        name=f"gain at 1 kHz{tail}",
        unit="dB",
        closed=_finite(at_hz(band.frequency_hz, closed, REFERENCE_HZ)) if closed is not None else None,
        full=_finite(at_hz(band.frequency_hz, full, REFERENCE_HZ)) if full is not None else None,
        source=FIELD,
        note=note,
    )
    first = find_corners(band.frequency_hz, curve.closed, REFERENCE_HZ) if curve.closed is not None else None
    second = find_corners(band.frequency_hz, curve.full, REFERENCE_HZ) if curve.full is not None else None
    for name, side in (("bass corner", "low_hz"), ("treble corner", "high_hz")):
        one, two = _side(first, side), _side(second, side)
        if one is not None or two is not None:
            yield Number(name=f"{name}{tail}", unit="Hz", closed=one, full=two, source=FIELD, note=note)
    yield from _dips(first, second, tail, note)


def _dips(closed: Corners | None, full: Corners | None, tail: str, note: str) -> Iterable[Number]:
    """Every dip with its depth; those of the closed form beside those of the full circuit where there are as
    many.
    """
    ones, twos = (side.dips if side is not None else () for side in (closed, full))
    if len(ones) != len(twos):
        ones, twos = ((), twos) if twos else (ones, ())
    for order, (one, two) in zip(("", "second ", "third ", "fourth "), zip_longest(ones, twos), strict=False):
        for name, unit, field in (("dip", "Hz", "frequency_hz"), ("depth of the dip", "dB", "depth_db")):
            yield Number(
                name=f"{name.replace('dip', f'{order}dip')}{tail}",
                unit=unit,
                closed=getattr(one, field) if one is not None else None,
                full=getattr(two, field) if two is not None else None,
                source=FIELD,
                note=note,
            )


def _levels(gain: ComplexArray | None) -> np.ndarray | None:
    return decibels(gain) if gain is not None else None


def _side(corners: Corners | None, side: str) -> float | None:
    return getattr(corners, side) if corners is not None else None


NOTHING_DB = -200.0
"""a level below this is what rounding left of nothing"""


def _finite(level_db: float) -> float | None:
    return level_db if np.isfinite(level_db) and level_db > NOTHING_DB else None


def completed(
    stage: Stage, numbers: Sequence[Number], curves: Sequence[StageCurve], band: Band | None
) -> tuple[Number, ...]:
    """The kind's own figures with what the full circuit says beside them: pass-band gains, natural
    frequency and Q.
    """
    known = dict(_full_figures(stage, curves, band)) if band is not None else {}
    return tuple(
        replace(number, full=known[number.name]) if number.full is None and number.name in known else number
        for number in numbers
    )


SPOT_HZ = (100.0, 1e3, 5e3, 10e3)
"""where tone controls tell their gain"""
PASS_BAND_NAMES = ("gain from {}", "pass-band gain from {}", "gain at the peak from {}")
"""how kinds call the gain of one of their inputs"""


def _full_figures(stage: Stage, curves: Sequence[StageCurve], band: Band) -> Iterable[tuple[str, float]]:
    for curve in curves:
        if curve.full is None:
            continue
        gain = _pass_band(stage.kind, band, curve.full)
        for net in (curve.input, spoken(curve.input)):
            yield from ((name.format(net), gain) for name in PASS_BAND_NAMES)
        if len(curves) == 1:
            yield "mid-band gain", gain
            level_db = decibels(curve.full)
            for hz in SPOT_HZ:
                yield f"gain at {print_value(hz, 'Hz')}", at_hz(band.frequency_hz, level_db, hz)
            yield from _full_corners(stage.kind, band, curve.full)
    if curves and curves[0].full is not None:
        shape = second_order(stage.kind, band.frequency_hz, curves[0].full)
        if shape is not None:
            yield "natural frequency", shape.natural_hz
            yield "Q", shape.q


SETTLING_KINDS = ("non-inverting-amplifier", "clipping-amplifier")
"""below its bass corner such a gain settles at one instead of falling on: its -3 dB point lies elsewhere"""


def _full_corners(kind: str, band: Band, gain: ComplexArray) -> Iterable[tuple[str, float]]:
    """Where the full circuit's gain has fallen 3 dB, under the names kinds give their corners."""
    corners = find_corners(band.frequency_hz, gain, REFERENCE_HZ)
    if corners is None or kind in SETTLING_KINDS:
        return
    if corners.low_hz is not None:
        yield "bass corner", corners.low_hz
    if corners.high_hz is not None:
        yield "treble corner", corners.high_hz
        yield "-3 dB corner", corners.high_hz


def _pass_band(kind: str, band: Band, gain: ComplexArray) -> float:
    """Gain with its sign where the level changes least within hearing; a band-pass has it at its peak."""
    heard = np.flatnonzero((band.frequency_hz >= HEARD_HZ[0]) & (band.frequency_hz <= HEARD_HZ[1]))
    level = np.log(np.abs(gain) + 1e-300)
    if kind.endswith("band-pass"):
        place = int(heard[np.argmax(level[heard])])
    else:
        place = int(heard[np.argmin(np.abs(np.gradient(level))[heard])])
    return float(np.abs(gain[place]) * np.sign(gain[place].real))
