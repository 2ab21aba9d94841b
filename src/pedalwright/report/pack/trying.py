"""Other values tried in one part's place, many at once: what they do on every way the sound goes.

A single value moves the whole circuit by a matrix of rank one (Sherman and Morrison, 1950); the answers of
all values of a part therefore come from a handful of numbers of the circuit as it is.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.effects import Trial
from pedalwright.analysis.levels import CODER_PIN, DECODER_PIN, FAINT
from pedalwright.analysis.memo import Analysis
from pedalwright.devices.ports import INPUT
from pedalwright.solve.band import Band
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.solve.entry import Enters
from pedalwright.solve.gains import exciting_column

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]
IntArray = NDArray[np.int_]

LISTENING_HZ = (82.4, 1000.0, 5000.0)
"""where levels are compared: the lowest string, the middle, the top of a guitar's range"""
HEARD_HZ = (20.0, 20_000.0)
FALL_DB = 3.0103
DEEP_DB = 60.0
"""what lies this far below a way's loudest is not compared"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way the sound goes: from what moves `column` to the net of `row`."""

    name: str
    column: int
    row: int
    is_round: bool = False
    """from an echo chip's decoder back to a coder"""


@dataclass(frozen=True, eq=False)
class Rig:
    """The circuit as it is, with the ways worth listening to."""

    analysis: Analysis
    band: Band

    @cached_property
    def ways(self) -> tuple[Way, ...]:
        """Every way that carries sound, jack to jack first."""
        return tuple(way for way in self._all_ways() if self._is_loud(way))

    def _all_ways(self) -> list[Way]:
        circuit, band = self.analysis.circuit, self.band
        chips = [
            chip
            for chip in self.analysis.view.parts_of("echo-chip")
            if band.knows(chip.net(CODER_PIN), chip.net(DECODER_PIN))
        ]
        coders = [(chip.ref, band.row(chip.net(CODER_PIN))) for chip in chips]
        decoders = [(chip.ref, exciting_column(band, chip.net(DECODER_PIN))) for chip in chips]
        out = band.row(circuit.output.net) if circuit.output is not None else None
        found: list[Way] = []
        if circuit.input is not None:
            source = band.small.system.branches[INPUT]
            if out is not None:
                found.append(Way(name="the output", column=source, row=out))
            found += [Way(name=f"the sound into {ref}", column=source, row=row) for ref, row in coders]
        if out is not None:
            found += [Way(name=f"the echo of {ref}", column=column, row=out) for ref, column in decoders]
        found += [
            Way(name="what comes back for the next repeat", column=column, row=row, is_round=True)
            for _, column in decoders
            for _, row in coders
        ]
        return found

    def _is_loud(self, way: Way) -> bool:
        sizes = np.abs(self.band.table[:, way.row, way.column])
        return bool(np.all(np.isfinite(sizes)) and np.all(sizes > 0) and sizes.max() > FAINT)

    @cached_property
    def rows(self) -> IntArray:
        """The rows of all ways."""
        return np.array([way.row for way in self.ways], dtype=int)

    @cached_property
    def columns(self) -> IntArray:
        """The columns of all ways."""
        return np.array([way.column for way in self.ways], dtype=int)

    @cached_property
    def now(self) -> FloatArray:
        """Levels of all ways as the circuit is (ways, frequencies) [dB]."""
        return _db(self.band.table[:, self.rows, self.columns].T)

    @cached_property
    def now_heard(self) -> "Heard":
        """Those levels, listened to."""
        return self.heard(self.now[None])

    def levels(self, name: str, values: Sequence[float], rows: IntArray, columns: IntArray) -> FloatArray:
        """Levels (values, ways, frequencies) [dB] from `columns` to `rows`, with the element of that name at
        each of the values (SI), the rest point unmoved.
        """
        band, small = self.band, self.band.small
        table, stamps, place = band.table, small.stamps, small.element(name)
        weights = small.changed({name: np.asarray(values, dtype=float)}).weights[:, place]
        moved = weights - small.weights[place]
        slope = band.s if small.kinds[place] > Enters.IN_G else np.ones_like(band.s)
        shift = moved[:, None] * slope
        plus, minus = stamps.row_plus[place], stamps.row_minus[place]
        up, down = stamps.column_plus[place], stamps.column_minus[place]
        left = table[:, :, plus] - table[:, :, minus]
        right = table[:, up] - table[:, down]
        share = shift / (1.0 + shift * (left[:, up] - left[:, down]))
        told = left[:, rows] * right[:, columns]
        return _db((table[:, rows, columns] - share[:, :, None] * told).transpose(0, 2, 1))

    def of_trials(self, trials: Sequence[Trial]) -> FloatArray:
        """Levels (trials, ways, frequencies) [dB] of one part at other values, the rest point unmoved."""
        names = {name for trial in trials for name in trial.changes}
        if len(names) == 1:
            name = names.pop()
            return self.levels(name, [trial.changes[name] for trial in trials], self.rows, self.columns)
        return np.concatenate([self.exactly(trial, {}) for trial in trials])

    def exactly(self, trial: Trial, bias: dict[str, float]) -> FloatArray:
        """Levels (1, ways, frequencies) [dB] for one trial with figures of other parts moved with it."""
        changed = ChangedTable(self.band, {**trial.changes, **bias})
        rows, columns = sorted(set(self.rows.tolist())), sorted(set(self.columns.tolist()))
        block = changed.at(rows, columns)
        down = [rows.index(way.row) for way in self.ways]
        across = [columns.index(way.column) for way in self.ways]
        return _db(block[:, down, across].T)[None]

    def heard(self, levels_db: FloatArray) -> "Heard":
        """What is compared of levels (values, ways, frequencies): the listening pitches, and the corners."""
        hz = self.band.frequency_hz
        at = np.log(LISTENING_HZ)
        where = np.clip(np.searchsorted(np.log(hz), at), 1, len(hz) - 1)
        low = np.log(hz[where - 1])
        share = (at - low) / (np.log(hz[where]) - low)
        spots = levels_db[..., where - 1] * (1 - share) + levels_db[..., where] * share
        return Heard(
            spots_db=spots,
            low_hz=_crossing(hz, levels_db, self._tops, -1),
            high_hz=_crossing(hz, levels_db, self._tops, 1),
        )

    @cached_property
    def _tops(self) -> IntArray:
        """Where every way is loudest within hearing (ways,)."""
        hz = self.band.frequency_hz
        within = (hz >= HEARD_HZ[0]) & (hz <= HEARD_HZ[1])
        return np.asarray(np.argmax(np.where(within, self.now, -np.inf), axis=1))


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Heard:
    """Levels at the listening pitches (values, ways, pitches) [dB], corners 3 dB below each way's loudest
    place (values, ways) [Hz], at the band's end where there is none.
    """

    spots_db: FloatArray
    low_hz: FloatArray
    high_hz: FloatArray


def _db(values: ComplexArray) -> FloatArray:
    with np.errstate(divide="ignore"):
        return np.asarray(20 * np.log10(np.abs(values)))


def _crossing(hz: FloatArray, levels_db: FloatArray, tops: IntArray, step: int) -> FloatArray:
    """The frequency (values, ways) at which a level has fallen 3 dB, going outwards from the top."""
    count, ways, points = levels_db.shape
    found = np.full((count, ways), hz[0] if step < 0 else hz[-1])
    axis = np.log(hz)
    for way in range(ways):
        top = int(tops[way])
        order = np.arange(top, -1, -1) if step < 0 else np.arange(top, points)
        if len(order) < 2:
            continue
        curve = levels_db[:, way, order]
        bound = curve[:, :1] - FALL_DB
        below = curve < bound
        first = np.argmax(below, axis=1)
        for one in np.flatnonzero(below.any(axis=1)):
            here = first[one]
            a, b = curve[one, here - 1], curve[one, here]
            share = (a - bound[one, 0]) / (a - b)
            ends = axis[order[here - 1]], axis[order[here]]
            found[one, way] = np.exp(ends[0] + share * (ends[1] - ends[0]))
    return found
