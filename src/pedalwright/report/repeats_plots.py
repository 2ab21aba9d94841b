"""The plots of an echo: repeats as bars, their spectra, decay, and what the knobs do."""

import numpy as np

from pedalwright.analysis.echo_records import EchoAnswers, RepeatsKnob, TimeKnob
from pedalwright.report.blocks import FloatArray, Line, Plot, Shade

BAR_SHARE = 0.008
"""half the width of a bar as a share of the whole time"""
DEPTH_DB = 60.0
SPECTRA = (1, 2, 4, 8, 16, 32)
LONGEST_S = 30.0
"""a decay is drawn no longer than this"""
MOST_ROUNDS = 60
"""more repeats than that nobody counts"""
EXPECTED = "least to most expected"
BUILT = "5 to 95 % of builds"


def bars(answers: EchoAnswers) -> Plot:
    """Every repeat within 60 dB of the loudest sound as a bar at its time, the dry sound at none."""
    heard = [(0.0, answers.dry_db)] if answers.dry_db is not None else []
    heard += [(one.time_s, one.level_db) for one in answers.repeats]
    top = max(level for _, level in heard)
    heard = [(time, level) for time, level in heard if level > top - DEPTH_DB]
    # Bars stand on the axis, whose ticks are whole tens.
    floor = 10.0 * np.floor((top - DEPTH_DB) / 10.0)
    end = 1.05 * heard[-1][0] if heard[-1][0] > 0 else 1.0
    x, y = _stems(heard, floor=floor, half_width=BAR_SHARE * end, end=end)
    return Plot(
        title=f"Repeats at the output, {answers.reference_hz:g} Hz",
        unit="dB",
        frequency_hz=x,
        lines=(Line(name="repeats", values=y, filled=True),),
        across="seconds after the sound",
    )


def _stems(
    heard: list[tuple[float, float]], *, floor: float, half_width: float, end: float
) -> tuple[FloatArray, FloatArray]:
    x, y = [-2 * half_width], [np.nan]
    for time, high in heard:
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
        lines=(Line(name="typical", values=knob.delay_s * 1e3),),
        shades=(Shade(name=EXPECTED, low=knob.low_s * 1e3, high=knob.high_s * 1e3),),
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
        lines=(Line(name="typical", values=levels[0]),),
        shades=(Shade(name=BUILT, low=levels[1], high=levels[2]),),
        across=f"{knob.knob}, 0 to 10",
    )


def count_plot(knob: RepeatsKnob) -> Plot:
    """How many times round until 60 dB are gone, over the dial; a line ends where it would be too many."""
    gain, low, high = (_rounds(one) for one in (knob.gain, knob.low, knob.high))
    # More than can be counted is drawn as far as is counted.
    high = np.where(np.isfinite(low) & ~np.isfinite(high), MOST_ROUNDS, high)
    return Plot(
        title=f"Times round until 60 dB are gone, over {knob.knob}",
        unit="times",
        frequency_hz=knob.positions,
        lines=(Line(name="typical", values=gain),),
        shades=(Shade(name=BUILT, low=low, high=high),),
        quantity="repeats",
        across=f"{knob.knob}, 0 to 10",
    )


def _rounds(gain: FloatArray) -> FloatArray:
    fall_db = -20 * np.log10(np.maximum(gain, 1e-12))
    return np.asarray(np.where(fall_db * MOST_ROUNDS > DEPTH_DB, DEPTH_DB / np.maximum(fall_db, 0.1), np.nan))
