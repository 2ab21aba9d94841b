"""Noise at a net: one solution of the transposed circuit at each frequency, then a sum over all sources.

A^T y = e(net) gives in y the voltage at the net for a unit added to any equation, so that a source between
two rows reaches the net with y_plus - y_minus, and the power density there is the sum of
|y_plus - y_minus|^2 S.
Rohrer, Nagel, Meyer and Weber, IEEE J. Solid-State Circuits 6, 1971 (from memory).
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from pedalwright.solve.answer import answer
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.certificate import Certificate, NotCertified
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.noise_sources import NoiseSources


@dataclass(frozen=True, kw_only=True, eq=False)
class Reach:
    """How a unit added to each equation reaches one voltage: `y` (size + 1, frequencies), ground's row zero.

    Ohms in the rows of nets, volts per volt in the rows of branches.
    """

    frequencies_hz: FloatArray
    y: ComplexArray
    certificate: Certificate

    def of(self, sources: NoiseSources) -> ComplexArray:
        """How each source reaches it (sources, frequencies)."""
        return np.asarray(self.y[sources.plus] - self.y[sources.minus])


def reach(small: SmallSignal, weights: Mapping[str, float], frequencies_hz: FloatArray) -> Reach:
    """The reach of a sum of net voltages, ``{"OUT": 1.0}`` or ``{"A": 1.0, "B": -1.0}``, delayed copies
    standing still.

    Raises NotCertified when the solution is, KeyError for an unknown net.
    """
    frequencies = np.atleast_1d(np.asarray(frequencies_hz, dtype=float))
    wanted = np.zeros(small.size + 1, dtype=np.complex128)
    for net, weight in weights.items():
        wanted[small.row(net)] += weight
    found = answer(small.turned, wanted[: small.size], 2j * np.pi * frequencies, delays=False)
    certificate = found.certificate()
    if not certificate.ok:
        raise NotCertified(certificate)
    y = np.zeros((small.size + 1, len(frequencies)), dtype=np.complex128)
    y[: small.size] = found.x
    return Reach(frequencies_hz=frequencies, y=y, certificate=certificate)


@dataclass(frozen=True, kw_only=True, eq=False)
class OutputNoise:
    """The noise at one net: `shares` (sources, frequencies) [V^2/Hz], in the order of `sources`."""

    sources: NoiseSources
    frequencies_hz: FloatArray
    shares: FloatArray
    certificate: Certificate

    @property
    def density(self) -> FloatArray:
        """The whole (frequencies,) [V^2/Hz]."""
        return np.asarray(self.shares.sum(axis=0))


def output_noise(
    small: SmallSignal, sources: NoiseSources, net: str, frequencies_hz: FloatArray
) -> OutputNoise:
    """The noise of every source at a net against ground, delayed copies standing still.

    Raises NotCertified, or KeyError for an unknown net.
    """
    found = reach(small, {net: 1.0}, frequencies_hz)
    shares = np.abs(found.of(sources)) ** 2 * sources.densities(found.frequencies_hz)
    return OutputNoise(
        sources=sources,
        frequencies_hz=found.frequencies_hz,
        shares=np.asarray(shares),
        certificate=found.certificate,
    )


def power(frequencies_hz: FloatArray, density: FloatArray) -> FloatArray:
    """The integral of power densities (..., frequencies) over frequency [V^2].

    The frequencies are evenly spaced by ratio, an odd number of them; Simpson's rule over their logarithm.
    Raises ValueError for an even number.
    """
    count = len(frequencies_hz)
    if count % 2 == 0 or count < 3:
        raise ValueError(f"Simpson's rule needs an odd number of frequencies, not {count}")
    weights = np.full(count, 2.0)
    weights[1::2] = 4.0
    weights[[0, -1]] = 1.0
    step = np.log(frequencies_hz[-1] / frequencies_hz[0]) / (count - 1)
    return np.asarray((density * frequencies_hz) @ weights * step / 3.0)
