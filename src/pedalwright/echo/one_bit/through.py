"""The bare converter, from pin 15 to pin 12, with ideal integrators: for checks and the manual.

The engine plays the same coder, memory and decoder inside a whole circuit; see `pass_step`.
"""

from math import ceil, exp, expm1

import numpy as np
import soxr
from numpy.typing import ArrayLike

from pedalwright.echo.one_bit.chips import Chips, chips_of
from pedalwright.echo.one_bit.one_chip import OneChip
from pedalwright.echo.one_bit.pass_step import pass_step
from pedalwright.echo.one_bit.rate import bit_rate
from pedalwright.echo.one_bit.state import OneBitState, fresh
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.compiled import compiled

LEAST_STEP_RATE_HZ = 700e3
"""The steps are at least this dense. Each tells the mean of pin 12 over itself, which has no answer at this
frequency; what the bits make above half of it is far down an integrator's slope by then.
"""
TYPICAL = OneChip()


def through(
    signal_v: ArrayLike,
    rate_hz: float,
    *,
    delay_s: ArrayLike,
    chip: OneChip = TYPICAL,
    decoder_farads: float | None = None,
    seed: int = 1,
) -> FloatArray:
    """What comes out of pin 12 against the reference [V], (frames,), for a signal at pin 15.

    signal_v: against the reference, (frames,) [V]; rate_hz: its rate, and that of what is returned [Hz]
    delay_s: one, or (frames,): the delay the clock of that moment would make if it stayed so [s]
    decoder_farads: across pins 11 and 12; as the coder's, if none is given

    The chip has been on for long. Both integrators are exact: the same resistor (4.7 kohm)
    across a capacitor, stopping at the same swing (2.3 V).
    The output is band-limited to half the rate. Held in memory as a whole: some 30 times the signal. Raises
    ValueError for a rate, a delay or a signal that is no such thing.
    """
    given = np.asarray(signal_v, dtype=float)
    bits_hz = bit_rate(np.asarray(delay_s) * chip.delay_factor, memory_bits=chip.memory_bits)
    clocked = np.broadcast_to(bits_hz, given.shape)
    sound = given.ndim == 1 and bool(np.isfinite(given).all())
    if not sound or not 0 < rate_hz < np.inf or not (clocked > 0).all():
        raise ValueError("The converter takes finite volts (frames,), a rate and delays above zero.")
    times = ceil(LEAST_STEP_RATE_HZ / rate_hz)
    dense = soxr.resample(given, rate_hz, times * rate_hz, quality="VHQ")
    steps = len(given) * times
    heard = np.zeros(steps + 3)
    heard[1 : 1 + min(len(dense), steps + 2)] = dense[: steps + 2]
    farads = chip.coder_farads if decoder_farads is None else decoder_farads
    step_s = 1.0 / (times * rate_hz)
    weights = leak_weights(step_s / (chip.coder_ohms * farads))
    out = np.empty(steps)
    bits = np.repeat(clocked, times) * step_s
    chips, state = chips_of([chip], step_s), fresh([chip], seed=seed)
    _play(chips, state, bits, heard, *weights, chip.coder_ohms, chip.swing_v, out)
    found = soxr.resample(out, times * rate_hz, rate_hz, quality="VHQ")
    return np.asarray(found[: len(given)])


def leak_weights(leak: float) -> tuple[float, float, float, float]:
    """What a step leaves of a leaky integrator, and what the current's mean and first moment add, by R.

    leak: the step over the time constant. The current counts with the straight line that weighs constants
    and ramps as the exponential does; what it misses of the bits' own shape is a share of leak²/12, below one
    in a million here. The last number is the time constant over the step.
    """
    kept = exp(-leak)
    mean = -expm1(-leak) / leak
    moment = (1.0 - mean) / leak
    return kept, leak * (4.0 * mean - 6.0 * moment), leak * (12.0 * moment - 6.0 * mean), 1.0 / leak


@compiled
def _play(
    chips: Chips,
    state: OneBitState,
    bits: FloatArray,
    heard: FloatArray,
    kept: float,
    of_mean: float,
    of_moment: float,
    inertia: float,
    ohms: float,
    swing_v: float,
    out: FloatArray,
) -> None:
    """The mean of pin 12 over every step."""
    volts = 0.0
    for at in range(out.shape[0]):
        mean, moment = pass_step(
            chips, state, 0, bits[at], heard[at], heard[at + 1], heard[at + 2], heard[at + 3]
        )
        after = kept * volts + ohms * (of_mean * mean + of_moment * moment)
        if abs(after) <= swing_v:
            out[at] = ohms * mean - (after - volts) * inertia
        else:
            after = min(max(after, -swing_v), swing_v)
            out[at] = 0.5 * (volts + after)
        volts = after
