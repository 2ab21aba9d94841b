"""The headroom ladder: how high the signal stands at every stage for soft and hard playing, and where it is
cut first.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.levels import arriving
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.rooms import Room, rooms_at
from pedalwright.devices.ports import INPUT
from pedalwright.solve.band import Band, ComplexArray, band_hz
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.stage import Stage

PICKUP_PEAKS_V = (0.3, 1.0, 2.0)
"""peaks a guitar gives: picked softly, picked hard, and a hot pickup hit hard (common practice, no source)"""
LOWEST_HZ, HIGHEST_HZ = 80.0, 1300.0
"""where the fundamentals of a guitar lie: from the low E string, 82.4 Hz, to the highest fret (equal
temperament)"""
MEANT_KINDS = ("clipping-amplifier", "diode-clipper", "comparator", "schmitt-trigger")
"""stages whose purpose is to cut the wave"""
SPILLED = 1e-3
"""60 dB below the source: what moves a net less than this came through a supply or a stray path"""
BESIDE = 0.1
"""share of a net's signal that may come past a clipping stage, and still that stage holds the net"""

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rung:
    """One net of the ladder.

    `peaks_v` are the peaks there for the source's peaks of `PICKUP_PEAKS_V`, as the linear circuit would give
    them, at `frequency_hz`, where the net comes nearest to its limit. `limit_v` is how far it can swing from
    rest, `clips_from_v` the source's peak from which it is cut. `held_by` names the net of a stage before it
    that never lets so much through; then `clips_from_v` is None. `is_meant` tells a stage that is there to
    clip.
    """

    net: str
    stage: str
    kind: str
    frequency_hz: float
    peaks_v: tuple[float, ...]
    limit_v: float
    limited_by: str
    clips_from_v: float | None
    is_meant: bool
    held_by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Step:
    """A net with the source's peak, by frequency, from which it is cut, and how much it passes on at most."""

    stage: Stage
    row: int
    room: Room
    per_volt: FloatArray
    clips_v: FloatArray


def headroom_ladder(analysis: Analysis, band: Band | None = None) -> tuple[Rung, ...]:
    """A rung for every stage's output that has a known limit, in the order of the stages.

    The source's peak is that of its open-circuit voltage. `band` is the circuit's own, if it is at hand.
    Empty without an input or without certified figures; a net that no signal reaches has no rung. Limits are
    those of the parts at rest; the wave is taken as a sine.
    """
    if analysis.circuit.input is None or analysis.small is None:
        return ()
    known = Band(analysis.small, band_hz()) if band is None else band
    if not known.ok:
        return ()
    places = np.flatnonzero((known.frequency_hz >= LOWEST_HZ) & (known.frequency_hz <= HIGHEST_HZ))
    steps = list(_steps(analysis, known, places))
    return tuple(_rung(known, step, steps, places) for step in steps)


def first_to_clip(ladder: Sequence[Rung], *, meant: bool = False) -> Rung | None:
    """The rung that is cut at the lowest peak of the source, of stages meant or not meant to clip."""
    found = [rung for rung in ladder if rung.is_meant is meant and rung.clips_from_v is not None]
    return min(found, key=lambda rung: rung.clips_from_v or 0.0, default=None)


def _steps(analysis: Analysis, band: Band, places: NDArray[np.int_]) -> Iterable[_Step]:
    direct = band.source_column(INPUT)[places]
    for stage in _by_net(analysis, band):
        row = band.row(stage.output)
        found = [_step(analysis, band, stage, row, room, direct) for room in rooms_at(analysis, stage.output)]
        heard = [step for step in found if step is not None and step.room.volts > 0]
        if heard:
            yield min(heard, key=lambda step: float(step.clips_v.min()))


def _by_net(analysis: Analysis, band: Band) -> Iterable[Stage]:
    """One stage for each output net: the one that is there to clip, else the first."""
    found: dict[int, Stage] = {}
    for stage in analysis.stages.stages:
        if stage.output and band.knows(stage.output):
            row = band.row(stage.output)
            if row not in found or stage.kind in MEANT_KINDS:
                found[row] = stage
    return found.values()


def _step(
    analysis: Analysis, band: Band, stage: Stage, row: int, room: Room, direct: ComplexArray
) -> _Step | None:
    per_volt = np.abs(direct[:, row])
    repeat = arriving(analysis, band, stage.output)[1] if _is_delayed(analysis) else 0.0
    per_volt = np.maximum(per_volt, repeat)
    if per_volt.max() <= SPILLED:
        return None
    cut = per_volt
    if room.follows and band.knows(room.follows):
        cut = np.abs(direct[:, row] - direct[:, band.row(room.follows)])
    with np.errstate(divide="ignore"):
        clips = np.where(cut > 0, room.volts / cut, np.inf)
    return _Step(stage=stage, row=row, room=room, per_volt=per_volt, clips_v=clips)


def _is_delayed(analysis: Analysis) -> bool:
    return bool(analysis.view.parts_of("echo-chip"))


def _rung(band: Band, step: _Step, steps: Sequence[_Step], places: NDArray[np.int_]) -> Rung:
    worst = int(np.argmin(step.clips_v))
    clips = float(step.clips_v[worst])
    holder = next((one for one in steps if _holds(band, one, step, places[worst], worst)), None)
    return Rung(
        net=step.stage.output,
        stage=step.stage.name,
        kind=step.stage.kind,
        frequency_hz=float(band.frequency_hz[places[worst]]),
        peaks_v=tuple(peak * float(step.per_volt[worst]) for peak in PICKUP_PEAKS_V),
        limit_v=step.room.volts,
        limited_by=step.room.limited_by,
        clips_from_v=clips if holder is None and np.isfinite(clips) else None,
        is_meant=step.stage.kind in MEANT_KINDS,
        held_by=holder.stage.output if holder else "",
    )


def _holds(band: Band, one: _Step, step: _Step, place: int, worst: int) -> bool:
    """What one net passes on at most is less than another needs to be cut, and nothing comes past it."""
    if one.row == step.row or one.clips_v[worst] >= step.clips_v[worst]:
        return False
    column = exciting_column(band, one.stage.output)
    moved = band.table[place, one.row, column]
    if moved == 0:
        return False
    direct = band.source_column(INPUT)[place]
    gain = band.table[place, step.row, column] / moved
    past = abs(direct[step.row] - gain * direct[one.row])
    return bool(past <= BESIDE * abs(direct[step.row]) and abs(gain) * one.room.most_v <= step.room.volts)
