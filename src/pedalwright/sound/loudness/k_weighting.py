"""The weighting of the loudness measure: a shelf for the head, a high-pass for low frequencies.

The filters are the library's (pyloudnorm), with the figures that give the coefficients printed in ITU-R
BS.1770-4, tables 1 and 2, at 48 kHz and the same response at other rates (B. De Man; from the library,
checked in the tests).
"""

from typing import Any

import numpy as np

from pedalwright.solve.arrays import FloatArray

SHELF = (3.99984385397, 0.7071752369554193, 1681.9744509555319, "high_shelf_DeMan")
HIGH_PASS = (0.0, 0.5003270373253953, 38.13547087613982, "high_pass_DeMan")
"""gain [dB], quality, corner [Hz], the library's word"""
LOWEST_RATE_HZ = 8000.0


class KWeighting:
    """The weighting of a stream of blocks (frames, channels) at a rate [Hz]; state is kept between blocks."""

    def __init__(self, rate_hz: float, channels: int) -> None:
        if rate_hz < LOWEST_RATE_HZ:
            raise ValueError(f"{rate_hz} Hz is too low a rate for the loudness measure")
        # Takes half a second to import: only what asks for a loudness pays for it.
        from pyloudnorm import IIRfilter

        filters: list[Any] = [
            IIRfilter(gain, q, corner, rate_hz, kind) for gain, q, corner, kind in (SHELF, HIGH_PASS)
        ]
        self.coefficients: tuple[tuple[FloatArray, FloatArray], ...] = tuple((f.b, f.a) for f in filters)
        self._states = [np.zeros((2, channels)) for _ in filters]

    def weighted(self, block: FloatArray) -> FloatArray:
        """The next block, weighted."""
        from scipy.signal import lfilter

        for number, (b, a) in enumerate(self.coefficients):
            block, self._states[number] = lfilter(b, a, block, axis=0, zi=self._states[number])
        return block
