"""A circuit around its rest point as a network that charges move through, leaks and all."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.switching.leaks import Leak, unmodelled_leaks
from pedalwright.analysis.switching.transient import Network
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.linear import SmallSignal

FloatArray = NDArray[np.float64]
TIE_S = 1e-14
"""conductance to ground of every net, a thousandth of what the best insulation lets through: numbers only"""
SWUNG = ("schmitt-trigger", "comparator", "relaxation-oscillator", "phase-shift-oscillator", "integrator")
"""stages of slow oscillators: for a click they are held where they rest"""


@dataclass(frozen=True, eq=False)
class Linear:
    """Conductances, capacitances and direct drive of a circuit made linear at rest, with every leak.

    `small` tells the rows. Without the primitives of `lifted` where those were taken off.
    """

    small: SmallSignal
    network: Network

    def with_branch(self, net: str, *, ohms: float, farads: float) -> "Linear":
        """The same with a resistance and a capacitance from a net to ground."""
        row = self.small.row(net)
        g, c = self.network.g.copy(), self.network.c.copy()
        if row < len(g):
            g[row, row] += 1 / ohms
            c[row, row] += farads
        return Linear(self.small, Network(g, c, self.network.b))

    def with_draw(self, net: str, amperes: float) -> "Linear":
        """The same with a direct current drawn out of a net."""
        b = self.network.b.copy()
        row = self.small.row(net)
        if row < len(b):
            b[row] -= amperes
        return Linear(self.small, Network(self.network.g, self.network.c, b))

    def behind_ohms(self, net: str) -> float:
        """The resistance that a slow change of current meets at a net, in ohms."""
        row = self.small.row(net)
        if row >= len(self.network.g):
            return 0.0
        push = np.zeros(len(self.network.g))
        push[row] = 1.0
        return float(np.linalg.solve(self.network.g, push)[row])

    def volts(self, state: FloatArray, net: str) -> float:
        """The voltage of a net in a state."""
        row = self.small.row(net)
        return float(state[row]) if row < len(state) else 0.0


def linear_of(
    analysis: Analysis, *, lifted: Iterable[str] = (), held: Collection[str] | None = None
) -> Linear:
    """The circuit around its rest point without some primitives (names or owners).

    `held` names the amplifiers that stay where they rest, when that is known already: those of slow
    oscillators.
    Raises NotCertified when there is no certified rest point.
    """
    small = analysis.small
    if small is None:
        raise NotCertified(analysis.rest.certificate)
    rest = analysis.rest.checked().x[: small.size]
    drive = (small.g + small.system.rest_g) @ rest
    names = {one for part in small.system.primitives for one in (part.name, part.owner)}
    bare = small.without(one for one in lifted if one in names)
    g, c, b = bare.g.copy(), bare.c.copy(), drive.copy()
    nodes = small.system.node_count
    g[range(nodes), range(nodes)] += TIE_S
    for leak in unmodelled_leaks(analysis.circuit):
        _leaks(g, small, leak)
    names_held = oscillating(analysis) if held is None else held
    for amplifier in _amplifiers(analysis, names_held):
        _hold(g, c, b, small, amplifier, rest)
    return Linear(small, Network(g, c, b))


def _leaks(g: FloatArray, small: SmallSignal, leak: Leak) -> None:
    rows = [small.row(net) for net in (leak.a, leak.b)]
    for here, sign in zip(rows, (1, -1), strict=True):
        for there, other in zip(rows, (1, -1), strict=True):
            if here < len(g) and there < len(g):
                g[here, there] += sign * other / leak.ohms


def oscillating(analysis: Analysis) -> frozenset[str]:
    """The sections whose amplifiers belong to slow oscillators."""
    return frozenset(ref for stage in analysis.stages.stages if stage.kind in SWUNG for ref in stage.refs)


def _amplifiers(analysis: Analysis, owners: Collection[str]) -> Iterable[ClippingAmplifier]:
    live = analysis.system.branches
    for primitive in analysis.primitives:
        if isinstance(primitive, ClippingAmplifier) and primitive.owner in owners and primitive.name in live:
            yield primitive


def _hold(
    g: FloatArray,
    c: FloatArray,
    b: FloatArray,
    small: SmallSignal,
    amplifier: ClippingAmplifier,
    rest: FloatArray,
) -> None:
    """An amplifier's own equation becomes: the output stays where it rests."""
    branch, row = small.system.branches[amplifier.name], small.row(amplifier.output)
    if row == small.size:
        return
    g[branch], c[branch] = 0.0, 0.0
    g[branch, row] = 1.0
    b[branch] = rest[row]
