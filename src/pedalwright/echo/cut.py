"""The circuit with every delay cut: from decoders and jack to coders and output, for many variants at once.

v = A w + B u and y = C w + H0 u, where v is what enters each delay, w what leaves it, u the voltage at the
input jack and y that at the output jack. A, B, C, H0 hold the whole circuit, loading and all. One knob may be
turned without solving again (Woodbury, 1950).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.circuit.primitives import Resistance, VoltageSource
from pedalwright.echo.elimination import Elimination, plan
from pedalwright.echo.taps import Tap
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.certificate import Certificate
from pedalwright.solve.direct import skeel_at
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.variants import Variants


@dataclass(frozen=True, kw_only=True, eq=False)
class Matrices:
    """A (variants, frequencies, N, N), B and C (variants, frequencies, N), H0 (variants, frequencies).

    A, B and C count the chips' own gains. B, C and H0 are nothing where there is no such jack.
    """

    frequency_hz: FloatArray
    a: ComplexArray
    b: ComplexArray
    c: ComplexArray
    h0: ComplexArray


@dataclass(frozen=True, kw_only=True, eq=False)
class Corner:
    """What elimination left (variants, frequencies, picks, drives), the knob's ports last on both sides."""

    circuit: "CutCircuit"
    frequency_hz: FloatArray
    values: ComplexArray
    admittance: ComplexArray
    """of the coders' integrators (variants, frequencies, N)"""

    def matrices(self, gains: FloatArray, siemens: FloatArray | None = None) -> Matrices:
        """The matrices for chip gains (variants or 1, N), and the knob's halves grown by `siemens` (variants,
        2).
        """
        whole, count = self._turned(siemens), len(self.circuit.taps)
        weight = -self.admittance * gains[:, None, :]
        driven = whole[:, :, :, 1 : 1 + count] * weight[:, :, None, :]
        into, direct = whole[:, :, count], whole[:, :, :, 0]
        with np.errstate(all="ignore"):
            jack = np.where(np.abs(into[..., 0]) > 0, 1.0 / into[..., 0], 0.0)
        return Matrices(
            frequency_hz=self.frequency_hz,
            a=driven[:, :, :count],
            b=direct[:, :, :count] * jack[:, :, None],
            c=driven[:, :, count + 1],
            h0=direct[:, :, count + 1] * jack,
        )

    def ways(self, gains: FloatArray, siemens: FloatArray | None = None) -> ComplexArray:
        """A alone (variants, frequencies, N, N), as `matrices` gives it."""
        count = len(self.circuit.taps)
        weight = -self.admittance * gains[:, None, :]
        into = self._turned(siemens, slice(count), slice(1, 1 + count))
        return np.asarray(into * weight[:, :, None, :])

    def _turned(
        self, siemens: FloatArray | None, picks: slice = slice(None), drives: slice = slice(None)
    ) -> ComplexArray:
        """Some of the corner with the knob's halves grown (Woodbury)."""
        ports, chosen = len(self.circuit.halves), self.values[..., picks, drives]
        if siemens is None or not ports:
            return chosen
        left, right = self.values[..., picks, -ports:], self.values[..., -ports:, drives]
        grown = siemens[:, None, :, None]
        core = np.eye(ports) + grown * self.values[..., -ports:, -ports:]
        return np.asarray(chosen - _times(left, _times(_inverse(core), grown * right)))


def _times(left: ComplexArray, right: ComplexArray) -> ComplexArray:
    """A product of many small matrices: summed by hand over the short inner side."""
    return np.asarray(
        sum(left[..., :, place, None] * right[..., place, None, :] for place in range(left.shape[-1]))
    )


def _inverse(core: ComplexArray) -> ComplexArray:
    """Inverses of matrices of one or two rows."""
    if core.shape[-1] == 1:
        return np.asarray(1.0 / core)
    (a, b), (c, d) = np.moveaxis(core, (-2, -1), (0, 1))
    turned = np.array([[d, -b], [-c, a]]) / (a * d - b * c)
    return np.moveaxis(turned, (0, 1), (-2, -1))


@dataclass(frozen=True, kw_only=True, eq=False)
class CutCircuit:
    """A circuit with its delays cut, its jacks, and the halves of one knob's track (none, one or two)."""

    small: SmallSignal
    taps: tuple[Tap, ...]
    source: str
    """the name of the input's voltage source, or empty"""
    input_net: str
    output_net: str
    halves: tuple[Resistance, ...] = ()

    @cached_property
    def elimination(self) -> Elimination:
        """The plan, made once. Raises numpy.linalg.LinAlgError for a singular circuit."""
        return plan(self.small, self._drives, self._picks)

    @cached_property
    def _drives(self) -> FloatArray:
        found = np.zeros((self.small.size + 1, 1 + len(self.taps) + len(self.halves)))
        if self.source:
            found[self.small.system.branches[self.source], 0] = 1.0
        for place, tap in enumerate(self.taps, start=1):
            found[self.small.row(tap.decoder), place] = 1.0
        for place, half in enumerate(self.halves, start=1 + len(self.taps)):
            found[self.small.row(half.a), place] += 1.0
            found[self.small.row(half.b), place] -= 1.0
        return found[:-1]

    @cached_property
    def _picks(self) -> FloatArray:
        """Coders, input jack, output jack, the knob's halves."""
        count, row = len(self.taps), self.small.row
        found = np.zeros((count + 2 + len(self.halves), self.small.size + 1))
        for place, tap in enumerate(self.taps):
            found[place, row(tap.sound)] += 1.0
            found[place, row(tap.reference)] -= 1.0
        for place, net in ((count, self.input_net), (count + 1, self.output_net)):
            if net:
                found[place, row(net)] = 1.0
        for place, half in enumerate(self.halves, start=count + 2):
            found[place, row(half.a)] += 1.0
            found[place, row(half.b)] -= 1.0
        return found[:, :-1]

    def corner(self, frequency_hz: FloatArray, variants: Variants | None = None) -> Corner:
        """The circuit, or variants of it, at some frequencies [Hz]."""
        chosen = self.small.alone if variants is None else variants
        s = 2j * np.pi * np.asarray(frequency_hz, dtype=float)
        weights = self.small.weights[None] if variants is None else chosen.weights
        across = [tap.admittance(self.small, weights, s) for tap in self.taps]
        return Corner(
            circuit=self,
            frequency_hz=np.asarray(frequency_hz, dtype=float),
            values=self.elimination.gains(chosen.g, chosen.c, s),
            admittance=np.stack(across, axis=2),
        )

    def plain(self, g: FloatArray, c: FloatArray, s: ComplexArray) -> ComplexArray:
        """The corner of one circuit (frequencies, picks, drives), solved the ordinary way: for checks."""
        matrix = g + s[:, None, None] * c
        drives = np.repeat(self._drives[None].astype(np.complex128), len(s), axis=0)
        return np.asarray(self._picks @ np.linalg.solve(matrix, drives))

    def certificate(self, frequency_hz: FloatArray) -> Certificate:
        """How well all unknowns, of which the corner is a part, satisfy the circuit's equations."""
        s = 2j * np.pi * np.asarray(frequency_hz, dtype=float)
        x = self.elimination.unknowns(self.small.g, self.small.c, s)
        variants, nodes = self.small.alone, self.small.system.node_count
        worst, condition = 0.0, 1.0
        for drive, answer in zip(self._drives.T, x, strict=True):
            b = drive[:, None].astype(np.complex128)
            left = variants.remainder(answer[None], s, b)
            residual = variants.misfit(answer[None], left, s, b, nodes)
            worst = max(worst, float(residual.max(initial=0.0)))
            condition = max(condition, skeel_at(self.small, answer, s, delays=False))
        return Certificate(
            residual_a=worst, condition=condition, iterations=1, method="elimination at every frequency"
        )


def cut(
    small: SmallSignal,
    taps: Sequence[Tap],
    *,
    input_net: str,
    output_net: str,
    halves: Sequence[Resistance] = (),
) -> CutCircuit:
    """The circuit cut at its taps; nets may be empty where there is no jack."""
    named = {one.name for one in small.system.primitives if isinstance(one, VoltageSource)}
    return CutCircuit(
        small=small,
        taps=tuple(taps),
        source="input" if input_net and "input" in named else "",
        input_net=input_net,
        output_net=output_net,
        halves=tuple(halves),
    )
