"""A knob at many positions, each solved: the rest point anew, the signals by an exact low-rank change.

With A = A0 + P D Q the matrix at a position, where only a few rows and columns differ from the matrix A0 of
the circuit as it stands, (A0 + P D Q)^-1 = T - T P (1 + D Q T P)^-1 D Q T with T = A0^-1 (Woodbury, 1950).
All positions and frequencies are done at once, and every answer is put back into its equations.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.analysis.knob_track import Halves, change_names
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.solve.arrays import BoolArray, ComplexArray, FloatArray
from pedalwright.solve.band import Band
from pedalwright.solve.certificate import RESIDUAL_BOUND
from pedalwright.solve.direct import solve_each_complex
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.rest import OperatingPoints, operating_points
from pedalwright.solve.stamps import matrix_scatter
from pedalwright.solve.variants import Variants

ALIKE = 1e-12
"""share of itself by which an entry of the matrix must change to count as changed"""
BLOCK_NUMBERS = 6_000_000


@dataclass(frozen=True, kw_only=True, eq=False)
class Swept:
    """A knob at some positions. `columns` maps a column of the table to what it moves, each (positions,
    frequencies, unknowns + 1); `residual` (positions,) is that of all of them; `g` (positions, unknowns,
    unknowns) the matrices they are of.
    """

    halves: Halves
    rests: OperatingPoints
    g: FloatArray
    band: Band
    columns: Mapping[int, ComplexArray]
    residual: FloatArray

    @property
    def frequency_hz(self) -> FloatArray:
        """The frequencies of the columns [Hz]."""
        return self.band.frequency_hz

    @cached_property
    def ok(self) -> BoolArray:
        """Which positions are certified: at rest and for signals."""
        fine: BoolArray = self.rests.ok & (self.residual <= RESIDUAL_BOUND)
        return fine

    def moved(self, column: int, net: str) -> ComplexArray:
        """What one column moves at a net (positions, frequencies); not a number where not certified."""
        found = self.columns[column][:, :, self.band.row(net)]
        return np.where(self.ok[:, None], found, np.nan)

    def volts(self, net: str) -> FloatArray:
        """Resting voltages of a net (positions,) [V]; nan where not certified."""
        return self.rests.volts(net)

    def again(self, frequency_hz: FloatArray, columns: Iterable[int]) -> "Swept":
        """The same positions at other frequencies."""
        return _swept(self.halves, self.rests, self.g, Band(self.band.small, frequency_hz), columns)

    def at_own(self, frequency_hz: FloatArray, column: int, nets: Sequence[str]) -> ComplexArray:
        """What one column moves at some nets, every position at frequencies of its own: (positions,
        frequencies) to (positions, frequencies, nets). Not a number where not certified.
        """
        found = np.full((*frequency_hz.shape, self.band.small.size + 1), np.nan, dtype=complex)
        for place in np.flatnonzero(self.rests.ok & np.isfinite(frequency_hz).all(axis=1)):
            band = Band(self.band.small, frequency_hz[place])
            answer = _padded(_directly(band, self.g[place], [column]))[None]
            if _misfit(band, self.g[place : place + 1], answer, [column])[0] <= RESIDUAL_BOUND:
                found[place] = answer[0, :, :, 0]
        return found[:, :, [self.band.row(net) for net in nets]]


def swept(
    analysis: Analysis,
    part: Part,
    halves: Halves,
    band: Band,
    columns: Iterable[int],
    *,
    checked: bool = True,
) -> Swept:
    """A knob or trim with its track's halves at given resistances, everything else as it stands.

    `band` is that of the circuit as it stands, at the frequencies wanted. Without `checked` the signals are
    not put back into their equations: for a search whose outcome is checked afterwards. Raises NotCertified
    when the circuit as it stands has no certified rest point.
    """
    names = change_names(part)
    changes = dict(zip(names, (halves.lower, halves.upper), strict=True))
    rests = operating_points(analysis.system, changes, nominal=analysis.rest.checked())
    return _swept(halves, rests, _conductances(band.small, rests, changes), band, columns, checked=checked)


def _swept(
    halves: Halves,
    rests: OperatingPoints,
    g: FloatArray,
    band: Band,
    columns: Iterable[int],
    *,
    checked: bool = True,
) -> Swept:
    wanted = list(dict.fromkeys(columns))
    size = (band.small.size + 1) * len(band.frequency_hz) * max(1, len(wanted))
    block = max(1, BLOCK_NUMBERS // size)
    pieces = [
        _answers(band, g[at : at + block], wanted, checked=checked) for at in range(0, halves.count, block)
    ]
    found = np.concatenate([answer for answer, _ in pieces], axis=0)
    return Swept(
        halves=halves,
        rests=rests,
        g=g,
        band=band,
        columns={column: found[..., place] for place, column in enumerate(wanted)},
        residual=np.concatenate([residual for _, residual in pieces]),
    )


def _conductances(
    small: SmallSignal, rests: OperatingPoints, changes: Mapping[str, FloatArray]
) -> FloatArray:
    """G at every position (positions, size, size), made linear at the rest point of each."""
    system, count = small.system, len(rests.x)
    g = system.conductances(system.changed(changes)) + system.signal_g
    with np.errstate(all="ignore"):
        for bank in system.banks:
            _, slopes = bank.law.evaluate(bank.controls(rests.x), bank.parameters, rests.conditions)
            scatter = matrix_scatter(bank.stamps(), system.size)
            scatter.add(g.reshape(count, -1), slopes.reshape(count, -1))
    return g


def _answers(
    band: Band, g: FloatArray, columns: list[int], *, checked: bool
) -> tuple[ComplexArray, FloatArray]:
    """What the columns move (positions, frequencies, unknowns + 1, columns) and the residual (positions,)."""
    if not columns:
        return np.zeros((len(g), len(band.frequency_hz), band.small.size + 1, 0), complex), np.zeros(len(g))
    with np.errstate(all="ignore"):
        x = _by_change(band, g, columns)
        if not checked:
            return x, np.zeros(len(g))
        residual = _misfit(band, g, x, columns)
        for place in np.flatnonzero(~(residual <= RESIDUAL_BOUND)):
            x[place] = _padded(_directly(band, g[place], columns))
            residual[place] = _misfit(band, g[place : place + 1], x[place : place + 1], columns)[0]
    return x, residual


def _by_change(band: Band, g: FloatArray, columns: list[int]) -> ComplexArray:
    shift = g - band.small.g
    shift[np.abs(shift) <= ALIKE * np.abs(band.small.g)] = 0.0
    moved = np.abs(shift).max(axis=0) > 0
    rows, across = np.flatnonzero(moved.any(axis=1)), np.flatnonzero(moved.any(axis=0))
    table = band.table
    whole = table[:, :, columns]
    if not len(rows):
        return np.repeat(whole[None], len(g), axis=0)
    d = shift[:, rows][:, :, across].astype(complex)[:, None]
    core = d @ table[:, across][:, :, rows] + np.eye(len(rows))
    right = d @ table[:, across][:, :, columns]
    try:
        answer = np.linalg.solve(core, right)
    except np.linalg.LinAlgError:
        answer = np.full(right.shape, np.nan, dtype=complex)
    return np.asarray(whole - table[:, :, rows] @ answer)


def _misfit(band: Band, g: FloatArray, x: ComplexArray, columns: list[int]) -> FloatArray:
    """The largest residual of every position (positions,)."""
    small = band.small
    c = np.broadcast_to(small.c, g.shape)
    variants = Variants(g=g, c=c, weights=np.zeros((len(g), 0)))
    worst = np.zeros(len(g))
    for place, column in enumerate(columns):
        answer = np.ascontiguousarray(np.swapaxes(x[:, :, :-1, place], 1, 2))
        drive = _unit(small.size, column)[:, None].astype(complex)
        remainder = variants.remainder(answer, band.s, drive)
        found = variants.misfit(answer, remainder, band.s, drive, small.system.node_count)
        worst = np.maximum(worst, found.max(axis=1))
    return worst


def _directly(band: Band, g: FloatArray, columns: list[int]) -> ComplexArray:
    """The plain solutions at one position (frequencies, unknowns, columns)."""
    matrix = g + band.s[:, None, None] * band.small.c
    return np.stack(
        [solve_each_complex(matrix, _unit(band.small.size, column).astype(complex)) for column in columns],
        axis=-1,
    )


def _padded(x: ComplexArray) -> ComplexArray:
    """With ground's zero as the last unknown."""
    return np.pad(x, ((0, 0), (0, 1), (0, 0)))


def _unit(size: int, column: int) -> FloatArray:
    drive = np.zeros(size)
    drive[column : column + 1] = 1.0  # ground's column, one past the last, moves nothing
    return drive
