"""Level and phase at every net: the linear circuit driven by sines, exactly, with a residual for every
frequency.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from pedalwright.circuit.primitives import CurrentSource, VoltageSource
from pedalwright.solve.answer import answer, answer_many
from pedalwright.solve.arrays import BoolArray, ComplexArray, FloatArray
from pedalwright.solve.certificate import RESIDUAL_BOUND, Certificate, NotCertified
from pedalwright.solve.linear import SmallSignal

BATCH_NUMBERS = 8_000_000
"""how many unknowns of many variants are worked on at once"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drive:
    """What moves the circuit: one unit of the named source, and currents [A] injected into nets from
    ground.
    """

    source: str | None = None
    injections: Mapping[str, complex] = field(default_factory=dict)


@dataclass(frozen=True, kw_only=True, eq=False)
class Response:
    """The circuit's answer to a drive. `x` (frequencies, size + 1) holds voltages, branch currents, ground's
    zero.

    `volts`, `gain` and `amperes` raise NotCertified when the certificate is not `ok`.
    """

    small: SmallSignal
    drive: Drive
    frequencies_hz: FloatArray
    x: ComplexArray
    residual_a: FloatArray
    certificate: Certificate

    def checked(self) -> "Response":
        """Itself, when certified; raises NotCertified otherwise."""
        if not self.certificate.ok:
            raise NotCertified(self.certificate)
        return self

    def volts(self, net: str) -> ComplexArray:
        """The voltage of a net against ground (frequencies,) [V]. Raises NotCertified, KeyError."""
        return self.checked().x[:, self.small.row(net)]

    def gain(self, net: str, over: str) -> ComplexArray:
        """The voltage of `net` over that of `over` (frequencies,); infinite or nan where `over` stands
        still.
        """
        with np.errstate(all="ignore"):
            return self.volts(net) / self.volts(over)

    def amperes(self, name: str) -> ComplexArray:
        """The current (frequencies,) [A] of a source, inductance, amplifier (into its first net), or linear
        value.

        Raises NotCertified, or KeyError for an unknown name.
        """
        self.checked()
        system = self.small.system
        if name in system.branches:
            return self.x[:, system.branches[name]]
        place = self.small.element(name)
        stamps = self.small.stamps
        drop = self.x[:, stamps.column_plus[place]] - self.x[:, stamps.column_minus[place]]
        s = 2j * np.pi * self.frequencies_hz if place in self.small.reactive else 1.0
        return np.asarray(drop * self.small.weights[place] * s)


@dataclass(frozen=True, kw_only=True, eq=False)
class Responses:
    """The answers of many variants.

    `x` (variants, frequencies, size + 1); `ok` (variants,) says which are certified.
    """

    small: SmallSignal
    frequencies_hz: FloatArray
    x: ComplexArray
    residual_a: FloatArray

    @cached_property
    def ok(self) -> BoolArray:
        """Which variants satisfy the equations at every frequency."""
        return np.asarray((self.residual_a <= RESIDUAL_BOUND).all(axis=1))

    def volts(self, net: str) -> ComplexArray:
        """The voltages of a net (variants, frequencies) [V]; nan where not certified.

        KeyError for an unknown net.
        """
        return np.where(self.ok[:, None], self.x[:, :, self.small.row(net)], np.nan)


def drive_vector(small: SmallSignal, drive: Drive) -> ComplexArray:
    """The right-hand side (size,) of a drive; KeyError for an unknown source or net."""
    b = np.zeros(small.size + 1, dtype=np.complex128)
    if drive.source is not None:
        _add_source(small, drive.source, b)
    for net, amperes in drive.injections.items():
        b[small.row(net)] += amperes
    return b[: small.size]


def _add_source(small: SmallSignal, name: str, b: ComplexArray) -> None:
    for part in small.system.primitives:
        if part.name == name and isinstance(part, VoltageSource):
            b[small.system.branches[name]] += 1.0
            return
        if part.name == name and isinstance(part, CurrentSource):
            b[small.row(part.b)] += 1.0
            b[small.row(part.a)] -= 1.0
            return
    raise KeyError(name)


def respond(
    small: SmallSignal, drive: Drive, frequencies_hz: FloatArray, *, open_delays: bool = False
) -> Response:
    """The circuit's answer to a drive at each frequency [Hz], delayed copies included exactly.

    With `open_delays` the delayed copies' outputs stand still: the circuit without its repeats. Always
    returns; the certificate says how well. Raises KeyError for an unknown source or net.
    """
    b = drive_vector(small, drive)
    frequencies = np.atleast_1d(np.asarray(frequencies_hz, dtype=float))
    found = answer(small, b, 2j * np.pi * frequencies, delays=not open_delays)
    x = np.zeros((small.size + 1, len(frequencies)), dtype=np.complex128)
    x[: small.size] = found.x
    return Response(
        small=small,
        drive=drive,
        frequencies_hz=frequencies,
        x=x.T,
        residual_a=found.residual_a,
        certificate=found.certificate(),
    )


def respond_many(
    small: SmallSignal, drive: Drive, frequencies_hz: FloatArray, changes: Mapping[str, FloatArray]
) -> Responses:
    """The answers of many variants of values, the rest point kept: `changes` maps names to arrays
    (variants,).

    Delayed copies stand still. Raises KeyError for an unknown name.
    """
    b = drive_vector(small, drive)
    frequencies = np.atleast_1d(np.asarray(frequencies_hz, dtype=float))
    s = 2j * np.pi * frequencies
    variants = small.changed(changes)
    x = np.zeros((variants.count, small.size + 1, len(s)), dtype=np.complex128)
    residual = np.zeros((variants.count, len(s)))
    block = max(1, BATCH_NUMBERS // max(1, len(s) * (small.size + 1)))
    for at in range(0, variants.count, block):
        piece = slice(at, at + block)
        x[piece, : small.size], residual[piece] = answer_many(small, variants.take(piece), b, s)
    return Responses(small=small, frequencies_hz=frequencies, x=np.swapaxes(x, 1, 2), residual_a=residual)
