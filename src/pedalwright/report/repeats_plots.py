"""The plots of an echo: repeats as bars, their spectra, decay, and what the knobs do."""

from collections.abc import Iterable

import numpy as np

from pedalwright.analysis.echo_records import EchoAnswers, RepeatsKnob, TimeKnob
from pedalwright.report.blocks import FloatArray, Line, Plot

BAR_SHARE = 0.008
"""half the width of a bar as a share of the whole time"""
DEPTH_DB = 60.0
SPECTRA = (1, 2, 4, 8, 16, 32)
LONGEST_S = 30.0
"""a decay is drawn no longer than this"""
MOST_ROUNDS = 60
"""more repeats than that nobody counts"""


def bars(answers: EchoAnswers) -> Plot:
    """Every repeat as a bar at its time, the dry sound at none."""
    heard = [(0.0, answers.dry_db)] if answers.dry_db is not None else []
    heard += [(one.time_s, one.level_db) for one in answers.repeats]
    top = max(level for _, level in heard)
    end = 1.05 * heard[-1][0] if heard[-1][0] > 0 else 1.0
    x, y = _stems(heard, floor=top - DEPTH_DB, half_width=BAR_SHARE * end, end=end)
    return Plot(
        title=f"Repeats at the output, {answers.reference_hz:g} Hz",
        unit="dB",
        frequency_hz=x,
        lines=(Line(name="repeats", values=y),),
        across="seconds after the sound",
    )


def _stems(
    heard: list[tuple[float, float]], *, floor: float, half_width: float, end: float
) -> tuple[FloatArray, FloatArray]:
    x, y = [-2 * half_width], [np.nan]
    for time, level in heard:
        high = max(level, floor)
        x += [time - half_width, time - half_width, time + half_width, time + half_width, time + half_width]
        y += [floor, high, high, floor, np.nan]
    return np.array([*x, end]), np.array([*y, np.nan])


def spectra(answers: EchoAnswers) -> Plot | None:
    """The tone of some of the repeats."""
    chosen = [one for one in answers.repeats if one.number in SPECTRA]
    if answers.loop is None or not chosen:
        return None
    lines = tuple(Line(name=f"repeat {one.number}", values=_levels(one.spectrum)) for one in chosen)
    numbers = ", ".join(str(one.number) for one in chosen)
    return Plot(
        title=f"Tone of repeats {numbers}, each below the one before",
        unit="dB",
        frequency_hz=answers.loop.frequency_hz,
        lines=lines,
    )


def _levels(spectrum: np.ndarray[tuple[int, ...], np.dtype[np.complex128]]) -> FloatArray:
    return np.asarray(20 * np.log10(np.maximum(np.abs(spectrum), 1e-12)))


def decay(answers: EchoAnswers) -> Plot | None:
    """Time to fall by 60 dB over frequency."""
    if answers.loop is None or answers.decay_s is None:
        return None
    shown = np.where(answers.decay_s <= LONGEST_S, answers.decay_s, np.nan)
    return Plot(
        title="Time to fall by 60 dB",
        unit="s",
        frequency_hz=answers.loop.frequency_hz,
        lines=(Line(name="decay", values=shown),),
        quantity="time",
        in_letters=True,
    )


def time_plot(knob: TimeKnob) -> Plot:
    """Delay over the dial with the fan of chips and tracks."""
    return Plot(
        title=f"Delay of {knob.chip} over {knob.knob}",
        unit="ms",
        frequency_hz=knob.positions,
        lines=tuple(_fan((knob.delay_s * 1e3, knob.low_s * 1e3, knob.high_s * 1e3))),
        quantity="delay",
        across=f"{knob.knob}, 0 to 10",
    )


def gain_plot(knob: RepeatsKnob) -> Plot:
    """What comes back once round over the dial, with the fan of builds; 0 dB is where repeats grow."""
    levels = [20 * np.log10(np.maximum(one, 1e-2)) for one in (knob.gain, knob.low, knob.high)]
    return Plot(
        title=f"Once round over {knob.knob}: at 0 dB the repeats grow",
        unit="dB",
        frequency_hz=knob.positions,
        lines=tuple(_fan((levels[0], levels[1], levels[2]))),
        across=f"{knob.knob}, 0 to 10",
    )


def count_plot(knob: RepeatsKnob) -> Plot:
    """How many times round until 60 dB are gone, over the dial; a line ends where it would be too many."""
    rounds = [_rounds(one) for one in (knob.gain, knob.low, knob.high)]
    return Plot(
        title=f"Times round until 60 dB are gone, over {knob.knob}",
        unit="times",
        frequency_hz=knob.positions,
        lines=tuple(_fan((rounds[0], rounds[1], rounds[2]))),
        quantity="repeats",
        across=f"{knob.knob}, 0 to 10",
    )


def _rounds(gain: FloatArray) -> FloatArray:
    fall_db = -20 * np.log10(np.maximum(gain, 1e-12))
    return np.asarray(np.where(fall_db * MOST_ROUNDS > DEPTH_DB, DEPTH_DB / np.maximum(fall_db, 0.1), np.nan))


def _fan(values: tuple[FloatArray, FloatArray, FloatArray]) -> Iterable[Line]:
    yield Line(name="typical", values=values[0])
    yield Line(name="least expected", values=values[1], dashed=True)
    yield Line(name="most expected", values=values[2], dashed=True)
