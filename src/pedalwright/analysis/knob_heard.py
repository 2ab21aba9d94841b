"""What a turn of a knob may be heard as: levels and corners of the sound at the output, direct and
delayed.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.knob_evenness import SILENCE_DB, Scale
from pedalwright.analysis.knob_sweep import Swept
from pedalwright.analysis.levels import CODER_PIN, DECODER_PIN, SILENT
from pedalwright.analysis.measured import LISTENING_HZ
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.circuit.part import Part
from pedalwright.devices.ports import INPUT
from pedalwright.solve.arrays import ComplexArray, FloatArray, IndexArray
from pedalwright.solve.band import Band
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.stage import Stage

HEARD_HZ = (20.0, 20_000.0)
FALL_DB = 3.0103
HALVINGS = 40
MOST_IN_A_STEP = 0.4
PROMINENT_DB = 3.0
"""a peak counts where it stands this far above both ends of the band"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """One figure a knob may be heard by. `read` takes a sweep and gives the figure at each position, nan
    where it is not known; `columns` are what it needs moved, `at_hz` the only frequencies it needs (None:
    all).

    `sort` is ``level``, ``corner``, ``centre``, ``delay``, ``repeats``, ``rate``, ``pitch``, ``swing`` or
    ``bias``; `noticed` the smallest change worth telling, as perceived.
    """

    name: str
    unit: str
    sort: str
    scale: Scale
    noticed: float
    read: Callable[[Swept], FloatArray]
    columns: tuple[int, ...] = ()
    at_hz: tuple[float, ...] | None = None
    note: str = ""
    costly: bool = False
    """worth no more than a few dozen readings"""


def usual_band(analysis: Analysis) -> Band | None:
    """The band of the circuit as it stands over the range of hearing, with the listening frequencies in it;
    None where it is not certified.
    """
    return _band(analysis, 31)


def _band(analysis: Analysis, points: int) -> Band | None:
    if analysis.small is None:
        return None
    grid = np.geomspace(*HEARD_HZ, points)
    return Band(analysis.small, np.unique(np.concatenate([grid, list(LISTENING_HZ.values())])))


def glancing_band(analysis: Analysis) -> Band | None:
    """The same at fewer frequencies: some six in a decade instead of ten."""
    return _band(analysis, 17)


Gain = Callable[[Swept], ComplexArray]


def of_signals(analysis: Analysis, band: Band) -> Iterable[Quantity]:
    """Levels, corners and peaks at the output for the signal at the input jack and for each chip's delayed
    sound.
    """
    output = analysis.circuit.output
    if output is not None:
        if analysis.circuit.input is not None:
            column = band.small.system.branches[INPUT]
            emf, jack = _direct(column, output.net), _over(column, output.net, analysis.circuit.input.net)
            yield from _of_curve(emf, jack, "the output", (column,))
        for chip in chips_of(analysis, band):
            column = exciting_column(band, chip.net(DECODER_PIN))
            several = len(analysis.view.parts_of("echo-chip")) > 1
            name = f"the delayed sound of {chip.ref}" if several else "the delayed sound"
            gain = _over(column, output.net, chip.net(DECODER_PIN))
            yield from _of_curve(gain, gain, name, (column,))


def of_stage(band: Band, stage: Stage | None) -> Iterable[Quantity]:
    """The same for the knob's own stage from its only input: for knobs that no jack hears."""
    if stage is None or len(stage.inputs) != 1 or not stage.output:
        return
    if not band.knows(stage.inputs[0], stage.output):
        return
    column = exciting_column(band, stage.inputs[0])
    name = f"the way from {spoken(stage.inputs[0])} to {spoken(stage.output)}"
    gain = _over(column, stage.output, stage.inputs[0])
    yield from _of_curve(gain, gain, name, (column,))


def of_rest(analysis: Analysis, part: Part, stage: Stage | None) -> Iterable[Quantity]:
    """Resting voltages on the knob's lugs and at its stage's output."""
    outputs = (stage.output,) if stage is not None and stage.output else ()
    for net in dict.fromkeys([part.net("2"), *outputs, part.net("1"), part.net("3")]):
        if net in analysis.system.rows and net != "gnd":
            yield Quantity(
                name=f"resting voltage of {spoken(net)}",
                unit="V",
                sort="bias",
                scale=Scale.EVEN,
                noticed=0.02,
                read=lambda sweep, net=net: sweep.volts(net),  # type: ignore[misc]
            )


def chips_of(analysis: Analysis, band: Band) -> tuple[Part, ...]:
    """The echo chips that are wired up."""
    return tuple(
        chip
        for chip in analysis.view.parts_of("echo-chip")
        if band.knows(chip.net(CODER_PIN), chip.net(DECODER_PIN))
    )


def _direct(column: int, net: str) -> Gain:
    return lambda sweep: sweep.moved(column, net)


def _over(column: int, net: str, base: str) -> Gain:
    def gain(sweep: Swept) -> ComplexArray:
        with np.errstate(all="ignore"):
            return np.asarray(sweep.moved(column, net) / sweep.moved(column, base))

    return gain


def _of_curve(gain: Gain, shape: Gain, name: str, columns: tuple[int, ...]) -> Iterable[Quantity]:
    """Levels of one gain; peak and corners of another, which leaves out what the source itself does."""
    for where, hz in LISTENING_HZ.items():
        yield Quantity(
            name=f"level of {name} {where}",
            unit="dB",
            sort="level",
            scale=Scale.LEVEL,
            noticed=1.0,
            read=_level(gain, hz),
            columns=columns,
            at_hz=(hz,),
        )
    for sort, words, figure in (
        ("centre", "peak", peak_hz),
        ("corner", "bass corner", bass_corner_hz),
        ("corner", "treble corner", treble_corner_hz),
    ):
        yield Quantity(
            name=f"{words} of {name}",
            unit="Hz",
            sort=sort,
            scale=Scale.OCTAVES,
            noticed=0.25,
            read=_figure(shape, figure),
            columns=columns,
        )


def _level(gain: Gain, hz: float) -> Callable[[Swept], FloatArray]:
    def read(sweep: Swept) -> FloatArray:
        place = int(np.argmin(np.abs(sweep.frequency_hz - hz)))
        return decibels(gain(sweep)[:, place])

    return read


def _figure(
    gain: Gain, figure: Callable[[FloatArray, FloatArray], FloatArray]
) -> Callable[[Swept], FloatArray]:
    def read(sweep: Swept) -> FloatArray:
        level_db = decibels(gain(sweep))
        loudest = level_db.max(axis=1)
        silent = loudest < np.nanmax(loudest) - SILENCE_DB if np.isfinite(loudest).any() else loudest < 0
        return _smooth(np.where(silent, np.nan, figure(sweep.frequency_hz, level_db)))

    return read


def _smooth(values: FloatArray) -> FloatArray:
    """The figures, or nan everywhere when one step between neighbours holds most of the change: then the
    curve has turned into another shape, and its corner is not one thing that moves.
    """
    steps = np.abs(np.diff(np.log(values[np.isfinite(values)])))
    whole = steps.sum()
    return np.full(len(values), np.nan) if whole > 0 and steps.max() > MOST_IN_A_STEP * whole else values


def decibels(gain: ComplexArray) -> FloatArray:
    """Levels in decibels; nothing at all counts as 180 dB down."""
    return np.asarray(20 * np.log10(np.maximum(np.abs(gain), SILENT)))


def peak_hz(frequency_hz: FloatArray, level_db: FloatArray) -> FloatArray:
    """The frequency of the highest level (positions,) [Hz], by a parabola through three points of (positions,
    frequencies); nan where it does not stand out.
    """
    x = np.log(frequency_hz)
    top = np.argmax(np.nan_to_num(level_db, nan=-np.inf), axis=1)
    inner = np.clip(top, 1, len(x) - 2)
    rows = np.arange(len(level_db))
    (x0, y0), (x1, y1), (x2, y2) = ((x[inner + k], level_db[rows, inner + k]) for k in (-1, 0, 1))
    left, right = (y1 - y0) / (x1 - x0), (y2 - y1) / (x2 - x1)
    with np.errstate(all="ignore"):
        place = (x0 + x1) / 2 - left * (x2 - x0) / 2 / (right - left)
    ends = np.maximum(level_db[:, 0], level_db[:, -1])
    stands_out = (top == inner) & (y1 - ends >= PROMINENT_DB) & (right < left)
    return np.where(stands_out, np.exp(np.clip(place, x0, x2)), np.nan)


def bass_corner_hz(frequency_hz: FloatArray, level_db: FloatArray) -> FloatArray:
    """Where the level first comes within 3 dB of its highest (positions,) [Hz]; the end of hearing when it is
    there already.
    """
    return _edge(frequency_hz, level_db)


def treble_corner_hz(frequency_hz: FloatArray, level_db: FloatArray) -> FloatArray:
    """Where the level last leaves the 3 dB below its highest (positions,) [Hz]; the end of hearing when it
    does not.
    """
    return _edge(frequency_hz[::-1], level_db[:, ::-1])


def _edge(frequency_hz: FloatArray, level_db: FloatArray) -> FloatArray:
    """The first crossing from the left of 3 dB below the highest, by a cubic through four points."""
    bound = level_db.max(axis=1) - FALL_DB
    first = np.argmax(level_db >= bound[:, None], axis=1)
    x = np.log(frequency_hz)
    crossed = np.exp(_crossing(x, level_db - bound[:, None], np.maximum(first, 1)))
    return np.where(np.isfinite(bound), np.where(first > 0, crossed, frequency_hz[first]), np.nan)


def _crossing(x: FloatArray, y: FloatArray, place: IndexArray) -> FloatArray:
    """Where each row of y rises through zero between `place` - 1 and `place` (positions,)."""
    start = np.clip(place - 2, 0, len(x) - 4)
    chosen = start[:, None] + np.arange(4)
    at, values = x[chosen], y[np.arange(len(y))[:, None], chosen]
    factors = _differences(at, values)
    low, high = x[place - 1], x[place]
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        below = _cubic(at, factors, middle) < 0
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return np.asarray(0.5 * (low + high))


def _differences(at: FloatArray, values: FloatArray) -> FloatArray:
    """Newton's divided differences of four points of each row (positions, 4)."""
    found = values.copy()
    for order in range(1, 4):
        found[:, order:] = (found[:, order:] - found[:, order - 1 : -1]) / (at[:, order:] - at[:, :-order])
    return found


def _cubic(at: FloatArray, factors: FloatArray, x: FloatArray) -> FloatArray:
    """The cubic through four points of each row, by Newton's formula (positions,)."""
    found = factors[:, 3]
    for order in (2, 1, 0):
        found = found * (x - at[:, order]) + factors[:, order]
    return found
