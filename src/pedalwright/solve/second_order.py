"""Natural frequency and Q of a two-pole filter, read off its exact response by phase, not fitted to a
formula.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.solve.local_fit import crossing_hz, local_response

ComplexArray = NDArray[np.complex128]
FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class SecondOrder:
    """Natural frequency in hertz and Q."""

    natural_hz: float
    q: float


def second_order(kind: str, frequency_hz: FloatArray, gain: ComplexArray) -> SecondOrder | None:
    """Read a low-pass, high-pass or band-pass: None for other kinds, or when the response never turns by 90
    degrees.

    A two-pole low-pass has turned by 90 degrees from its pass band exactly at its natural frequency, and
    its gain there
    is Q times the pass band's; a high-pass likewise from above; a band-pass peaks there and is 3 dB down
    over f/Q.
    Other corners nearby (a coupling capacitor, a slow amplifier) shift the reading, as they shift the sound.
    """
    if kind.endswith("low-pass") and kind != "rc-low-pass":
        return _by_phase(frequency_hz, gain, anchor=_flattest(gain, low=True), turn=-90.0)
    if kind.endswith("high-pass") and kind != "rc-high-pass":
        return _by_phase(frequency_hz, gain, anchor=_flattest(gain, low=False), turn=90.0)
    if kind.endswith("band-pass"):
        return _by_bandwidth(frequency_hz, gain)
    return None


DECADE = 8
"""points of the band's grid in about a decade: the pass band is looked for that far from the steepest fall"""


def _flattest(gain: ComplexArray, *, low: bool) -> int:
    """The point of the pass band where the level changes least, well away from the corner and any hump at
    it.
    """
    level = np.log(np.abs(gain) + 1e-300)
    slope = np.gradient(level)
    steepest = int(np.argmin(slope)) if low else int(np.argmax(slope))
    last = len(level) - 1
    side = range(max(1, steepest - DECADE)) if low else range(min(steepest + DECADE, last), last + 1)
    return min(side, key=lambda place: abs(slope[place]))


def _by_phase(
    frequency_hz: FloatArray, gain: ComplexArray, *, anchor: int, turn: float
) -> SecondOrder | None:
    # In the pass band a filter's gain is a real number: what it has turned there belongs to the corner.
    reference = abs(gain[anchor]) * np.sign(gain[anchor].real)
    phase = np.degrees(np.unwrap(np.angle(gain / reference)))
    phase = phase - 360.0 * np.round(phase[anchor] / 360.0)
    places = range(anchor, len(phase) - 1) if turn < 0 else range(anchor - 1, -1, -1)
    for place in places:
        if (phase[place] - turn) * (phase[place + 1] - turn) <= 0 and phase[place] != phase[place + 1]:
            return _at_quarter_turn(frequency_hz, gain, place, complex(reference))
    return None


def _at_quarter_turn(
    frequency_hz: FloatArray, gain: ComplexArray, place: int, reference: complex
) -> SecondOrder:
    """The exact crossing of a quarter turn, where the response over the pass band's has no real part."""
    natural = crossing_hz(frequency_hz, gain, place, lambda value: (value / reference).real)
    response = local_response(frequency_hz, gain, place)
    return SecondOrder(natural, abs(response(natural) / reference))


def _by_bandwidth(frequency_hz: FloatArray, gain: ComplexArray) -> SecondOrder | None:
    """From the exact band-pass law |H/Hpeak|^2 = 1/(1 + Q^2 (f/f0 - f0/f)^2) beside the peak."""
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
