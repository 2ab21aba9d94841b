"""The loop at one setting: closed response, and what one time round does to the sound.

Everything follows from the cut circuit (`pedalwright.echo.cut`): closed, H = H0 + C (1 - D A)^-1 D B with
D = diag exp(-s T). Nothing is approximated; with the delays put inside the circuit's own equations the same
comes out to rounding.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.echo.cut import CutCircuit, Matrices
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.certificate import Certificate

MIDDLE_HZ = 1000.0
"""the frequency levels are told at"""
HEARD_HZ = (20.0, 20e3)


@dataclass(frozen=True, kw_only=True, eq=False)
class Loop:
    """All chips' delays with what joins them: `a` (frequencies, N, N), `b` and `c` (frequencies, N), `h0`.

    Voltages are those at the output jack for one volt at the input jack. `delays_s` (N,) are typical.
    """

    chips: tuple[str, ...]
    delays_s: FloatArray
    gains: FloatArray
    """of the chips themselves, from coder to decoder"""
    frequency_hz: FloatArray
    a: ComplexArray
    b: ComplexArray
    c: ComplexArray
    h0: ComplexArray
    certificate: Certificate

    @property
    def s(self) -> ComplexArray:
        """Complex frequencies [1/s]."""
        return np.asarray(2j * np.pi * self.frequency_hz)

    def at(self, frequency_hz: float) -> int:
        """The place of the frequency nearest to one."""
        return int(np.argmin(np.abs(np.log(self.frequency_hz / frequency_hz))))

    @property
    def recirculates(self) -> bool:
        """Whether anything of a delayed sound is ever delayed again."""
        return bool(np.abs(self.a).max(initial=0.0) > UNHEARD)


UNHEARD = 1e-6
"""a way round that loses more than 120 dB is none"""


def usual_frequencies(count: int = 500) -> FloatArray:
    """Frequencies over the range of hearing, evenly spaced by ratio [Hz]."""
    return np.geomspace(*HEARD_HZ, count)


def loop_of(
    circuit: CutCircuit, delays_s: FloatArray, gains: FloatArray, frequency_hz: FloatArray | None = None
) -> Loop:
    """The loop of a cut circuit with chip delays [s] and chip gains (both (N,)), at some frequencies [Hz]."""
    frequencies = usual_frequencies() if frequency_hz is None else np.asarray(frequency_hz, dtype=float)
    found = circuit.corner(frequencies).matrices(gains[None])
    return _loop(circuit, delays_s, gains, found, circuit.certificate(frequencies))


def _loop(
    circuit: CutCircuit, delays_s: FloatArray, gains: FloatArray, found: Matrices, certificate: Certificate
) -> Loop:
    return Loop(
        chips=tuple(tap.ref for tap in circuit.taps),
        delays_s=np.asarray(delays_s, dtype=float),
        gains=gains,
        frequency_hz=found.frequency_hz,
        a=found.a[0],
        b=found.b[0],
        c=found.c[0],
        h0=found.h0[0],
        certificate=certificate,
    )


def closed_response(loop: Loop) -> ComplexArray:
    """Voltage at the output jack over that at the input jack with all repeats: (frequencies,).

    Means something only while the loop is stable. The voltage at the input jack is that without repeats.
    """
    late = np.exp(-loop.s[:, None] * loop.delays_s)
    matrix = np.eye(len(loop.chips)) - late[:, :, None] * loop.a
    inside = np.linalg.solve(matrix, (late * loop.b)[..., None])[..., 0]
    return np.asarray(loop.h0 + (loop.c * inside).sum(axis=1))


def gain_from_db(level_db: float) -> float:
    """A ratio from decibels."""
    return float(10.0 ** (level_db / 20.0))
