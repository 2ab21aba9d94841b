"""Natural frequency and Q of a two-pole filter, read off its exact response by phase, not fitted to a formula."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

ComplexArray = NDArray[np.complex128]
FloatArray = NDArray[np.float64]
FINE = 32


@dataclass(frozen=True, slots=True)
class SecondOrder:
    """Natural frequency in hertz and Q."""

    natural_hz: float
    q: float


def second_order(kind: str, frequency_hz: FloatArray, gain: ComplexArray) -> SecondOrder | None:
    """Read a low-pass, high-pass or band-pass: None for other kinds, or when the response never turns by 90 degrees.

    A two-pole low-pass has turned by 90 degrees from its pass band exactly at its natural frequency, and its gain there
    is Q times the pass band's; a high-pass likewise from above; a band-pass peaks there and is 3 dB down over f/Q.
    Other corners nearby (a coupling capacitor, a slow amplifier) shift the reading, as they shift the sound.
    """
    if kind.endswith("low-pass") and kind != "rc-low-pass":
        return _by_phase(frequency_hz, gain, anchor=_flattest(gain, low=True), turn=-90.0)
    if kind.endswith("high-pass") and kind != "rc-high-pass":
        return _by_phase(frequency_hz, gain, anchor=_flattest(gain, low=False), turn=90.0)
    if kind.endswith("band-pass"):
        return _by_bandwidth(frequency_hz, gain)
    return None


def _flattest(gain: ComplexArray, *, low: bool) -> int:
    """The point of the pass band where the level changes least; the pass band lies on the given side of the steepest fall."""
    level = np.log(np.abs(gain) + 1e-300)
    slope = np.gradient(level)
    steepest = int(np.argmin(slope)) if low else int(np.argmax(slope))
    side = range(1, max(2, steepest)) if low else range(min(steepest + 1, len(level) - 2), len(level) - 1)
    return min(side, key=lambda place: abs(slope[place]))


def _by_phase(frequency_hz: FloatArray, gain: ComplexArray, *, anchor: int, turn: float) -> SecondOrder | None:
    phase = np.degrees(np.unwrap(np.angle(gain / gain[anchor])))
    phase = phase - phase[anchor]
    span = range(anchor, len(phase) - 1) if turn < 0 else range(anchor - 1, -1, -1)
    for place in span:
        first, second = phase[place], phase[place + 1]
        if (first - turn) * (second - turn) <= 0 and first != second:
            return _between(frequency_hz, gain, phase, place, turn, abs(gain[anchor]))
    return None


def _between(
    frequency_hz: FloatArray, gain: ComplexArray, phase: FloatArray, place: int, turn: float, reference: float
) -> SecondOrder:
    """Inverse interpolation of the frequency at the wanted phase through four points."""
    start = int(np.clip(place - 1, 0, len(phase) - 4))
    chosen = slice(start, start + 4)
    position = np.log(frequency_hz[chosen])
    exact = _lagrange(phase[chosen], position, turn)
    level = _lagrange(position, np.log(np.abs(gain[chosen])), exact)
    return SecondOrder(float(np.exp(exact)), float(np.exp(level) / reference))


def _lagrange(x: FloatArray, y: FloatArray, at: float) -> float:
    total = 0.0
    for here in range(len(x)):
        others = [there for there in range(len(x)) if there != here]
        total += y[here] * float(np.prod([(at - x[there]) / (x[here] - x[there]) for there in others]))
    return total


def _by_bandwidth(frequency_hz: FloatArray, gain: ComplexArray) -> SecondOrder | None:
    """From the exact band-pass law |H/Hpeak|^2 = 1/(1 + Q^2 (f/f0 - f0/f)^2) at the points beside the peak."""
    peak = int(np.argmax(np.abs(gain)))
    if not 2 <= peak <= len(gain) - 3:
        return None
    chosen = slice(peak - 2, peak + 3)
    inverse = 1.0 / gain[chosen]
    x = frequency_hz[chosen]
    # 1/H is a straight line over (f, 1/f): 1/Hp + j Q/Hp (f/f0 - f0/f)
    columns = np.stack([np.ones_like(x), 1j * x, 1j / x], axis=1)
    solution, *_ = np.linalg.lstsq(columns, inverse, rcond=None)
    middle, up, down = solution
    ratio = -(down / up)
    if ratio.real <= 0 or abs(middle) == 0:
        return None
    natural = float(np.sqrt(ratio.real))
    return SecondOrder(natural, float(abs(up * natural / middle)))
