"""What a knob does to the echo: the delay of each chip, and how many repeats there are."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.knob_evenness import Scale
from pedalwright.analysis.knob_heard import Quantity, chips_of
from pedalwright.analysis.knob_sweep import Swept
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.echo.chip import time_pin
from pedalwright.echo.figures import value
from pedalwright.echo.taps import Tap, taps
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.band import Band

FALL_DB = 60.0
SEVERAL = "with several chips all ways round are counted as in step, which is the worst they can do"


def of_echo(analysis: Analysis, band: Band) -> Iterable[Quantity]:
    """The delay of every chip, and the repeats of all together."""
    chips = chips_of(analysis, band)
    for chip in chips:
        name = "delay" if len(chips) == 1 else f"delay of {chip.ref}"
        yield Quantity(
            name=name,
            unit="s",
            sort="delay",
            scale=Scale.EVEN,
            noticed=1e-3,
            read=lambda sweep, chip=chip: delay_s(sweep, chip),  # type: ignore[misc]
        )
    ways = taps(chips, analysis.primitives, band.small)
    if ways:
        yield Quantity(
            name="number of repeats until 60 dB down",
            unit="repeats",
            sort="repeats",
            scale=Scale.DOUBLINGS,
            noticed=0.25,
            read=lambda sweep: repeats(loop_gain(sweep, ways)),
            columns=tuple(band.row(way.decoder) for way in ways),
            note=SEVERAL if len(chips) > 1 else "",
        )


def delay_s(sweep: Swept, chip: Part) -> FloatArray:
    """The chip's delay (positions,) [s], from the current out of its time pin at rest."""
    return time_pin(chip, sweep.rests).delay_s


def loop_gain(sweep: Swept, ways: tuple[Tap, ...]) -> FloatArray:
    """The largest gain once round the loop within hearing (positions,) [-], typical chips; with several chips
    the spectral radius of the sizes.
    """
    return np.asarray(_radius(np.abs(loop_matrix(sweep, ways))).max(axis=1))


def loop_matrix(sweep: Swept, ways: tuple[Tap, ...]) -> ComplexArray:
    """What each coder gets for one volt that each coder got a delay before, the chips' own gain with it
    (positions, frequencies, to, from).
    """
    small = sweep.band.small
    through = 10 ** (value("through_gain_db") / 20)
    columns = []
    for start in ways:
        column = small.row(start.decoder)
        drive = start.admittance(small, small.weights[None], sweep.band.s)[0] * through
        heard = [sweep.moved(column, goal.sound) - sweep.moved(column, goal.reference) for goal in ways]
        columns.append(np.stack(heard, axis=-1) * drive[:, None])
    return np.stack(columns, axis=-1)


def _radius(sizes: FloatArray) -> FloatArray:
    if sizes.shape[-1] == 1:
        return np.asarray(sizes[..., 0, 0])
    found = np.full(sizes.shape[:-2], np.nan)
    known = np.isfinite(sizes).all(axis=(-1, -2))
    found[known] = np.abs(np.linalg.eigvals(sizes[known])).max(axis=-1)
    return found


def repeats(loop: FloatArray) -> FloatArray:
    """Repeats until 60 dB down (positions,), not rounded; infinite where they do not die away."""
    with np.errstate(all="ignore"):
        fading = FALL_DB / (-20 * np.log10(loop))
    return np.where(np.isnan(loop), np.nan, np.where(loop >= 1.0, np.inf, fading))
