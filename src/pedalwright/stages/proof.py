"""The proof of a recognition: does each stage's closed form, with its own parts only, give what the whole
circuit does?

* V1: steady nets at ground, amplifiers ideal: the output must equal the sum of gain times input, to rounding.
* V3: every part is changed by one per cent while the closed form keeps the old value: the residual must
move for the
  parts of the stage, and for no other.

V2 and V4, the same gains in the circuit as built, are in `as_built`. Superposition is the textbook theorem;
the
excitation is a random current into every net that is no stage's own, so that stages without signal at the
jack (an
oscillator, the wet path) are proved as well.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.circuit import GROUND
from pedalwright.solve.linear import linearise
from pedalwright.solve.system import compile_system
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.ideal import ideal_primitives
from pedalwright.stages.ideal_elements import Element, elements_of
from pedalwright.stages.loose_ends import leads_nowhere
from pedalwright.stages.recognise import StageMap, kind_of
from pedalwright.stages.stage import Stage, Transfer

ComplexArray = NDArray[np.complex128]
FREQUENCIES_HZ = (41.3, 137.0, 523.0, 1709.0, 5231.0, 11873.0)
"""spread over the audio band, at no round ratio"""
V1_BOUND = 1e-6
SUPPORT_STEP = 0.01
SUPPORT_MOVES = 1e-8
"""a part whose one per cent moves the residual by less than this is no part of the formula"""
BALANCED = 1e-6
EXCITATION_SEED = 20260401


@dataclass(frozen=True, slots=True, kw_only=True)
class StageProof:
    """How well one stage's closed form stands. `v1` is None when the stage has no signal gain to prove."""

    stage: str
    v1: float | None
    missing: frozenset[str] = frozenset()
    """elements that act on the stage but are not in its formula"""
    idle: frozenset[str] = frozenset()
    """elements of the formula that do not act at these knob positions"""

    @property
    def confirmed(self) -> bool:
        """True when the closed form and its membership both hold (or there is nothing to prove)."""
        return self.v1 is None or (self.v1 <= V1_BOUND and not self.missing and not self.idle)


@dataclass(frozen=True)
class _Solved:
    """The idealised circuit under one excitation, at the proof's frequencies: arrays of shape (frequencies,
    unknowns).
    """

    s: ComplexArray
    inverse: ComplexArray
    volts: ComplexArray
    rows: Mapping[str, int]
    elements: Mapping[str, Element]

    def at(self, net: str, volts: ComplexArray) -> ComplexArray:
        """Voltage of a net at every frequency; steady nets have no row and stand at nothing."""
        row = self.rows.get(net, -1)
        return volts[:, row] if row >= 0 else np.zeros(len(self.s), dtype=complex)

    def changed(self, element: Element, step: float) -> ComplexArray:
        """All unknowns after one element's admittance grew by a fraction `step` (exact rank-one update)."""
        delta = step * element.admittance(self.s)
        across = element.across(self.volts)
        push = element.push(self.inverse)
        loop = delta * element.across(push)
        return self.volts - push * (delta * across / (1.0 + loop))[:, None]


def prove(bench: Bench, stages: StageMap) -> Mapping[str, StageProof]:
    """V1 and V3 of every stage, by stage name; stages without a closed form carry `v1` None."""
    transfers = {stage.name: _transfer(stage, bench) for stage in stages.stages}
    if not any(transfers.values()):
        return {name: StageProof(stage=name, v1=None) for name in transfers}
    solved = _solve(bench, stages)
    return {name: _prove(name, transfer, solved) for name, transfer in transfers.items()}


def _transfer(stage: Stage, bench: Bench) -> Transfer | None:
    return kind_of(stage).transfer(stage, bench)


def _solve(bench: Bench, stages: StageMap) -> _Solved:
    primitives = ideal_primitives(bench)
    small = linearise(compile_system(primitives), {})
    rows = {net: row if row < small.size else -1 for net, row in small.system.rows.items()}
    s = 2j * np.pi * np.asarray(FREQUENCIES_HZ)
    inverse = np.asarray(np.linalg.inv(small.g + s[:, None, None] * small.c), dtype=np.complex128)
    random = np.random.default_rng(EXCITATION_SEED)
    right = np.zeros(inverse.shape[1], dtype=complex)
    for net in _excited(bench, stages):
        if rows.get(net, -1) >= 0:
            right[rows[net]] = 1e-3 * np.exp(2j * np.pi * random.random())
    elements = {element.name: element for element in elements_of(primitives, rows)}
    return _Solved(s, inverse, inverse @ right, rows, elements)


def _excited(bench: Bench, stages: StageMap) -> Iterable[str]:
    """Every moving net that is not inside a proved stage."""
    inner = {net for stage in stages.stages for net in _inner_nets(stage)}
    for net in dict.fromkeys(bench.view.joined.values()):
        if (
            net not in inner
            and not _is_dead_end(bench, net)
            and net != GROUND
            and not bench.classes.is_still(net)
        ):
            yield net


def _is_dead_end(bench: Bench, net: str) -> bool:
    """The unused lug of a knob, or a row that ends at open contacts: what is pushed in there comes out at its
    other end, which may be a stage's own net.
    """
    view = bench.view
    if view.alone(net) and not view.on(net):
        return True
    return any(leads_nowhere(view, leaf.name, net, leaf.other(net)) for leaf in view.on(net))


def _inner_nets(stage: Stage) -> Iterable[str]:
    """Nets that only the stage's own parts may feed: named ones, and those inside its branches."""
    yield from (net for name, net in stage.nets.items() if name.startswith("inner"))
    for group in stage.branches.values():
        for branch in group:
            if not isinstance(branch, Leaf):
                nets = [net for leaf in branch.leaves() for net in (leaf.a, leaf.b)]
                yield from (net for net in nets if net not in (*stage.inputs, stage.output))


def _prove(name: str, transfer: Transfer | None, solved: _Solved) -> StageProof:
    if transfer is None:
        return StageProof(stage=name, v1=None)
    gains = transfer.gains(solved.s)
    scale = _scale(transfer, gains, solved)
    residual = _residual(transfer, gains, solved, solved.volts, {})
    moved = {
        element.name
        for element in solved.elements.values()
        if _moves(transfer, gains, solved, element, residual, scale) > SUPPORT_MOVES
    }
    return StageProof(
        stage=name,
        v1=float(np.max(np.abs(residual) / scale)),
        missing=frozenset(moved - transfer.members),
        idle=frozenset(transfer.members - moved),
    )


def _scale(transfer: Transfer, gains: tuple[ComplexArray, ...], solved: _Solved) -> NDArray[np.float64]:
    """What a residual is measured against: the output, or, where that is balanced out to nothing, a millionth
    of the terms it is the sum of.
    """
    inputs = zip(transfer.inputs, gains, strict=True)
    each = (np.abs(gain * solved.at(net, solved.volts)) for net, gain in inputs)
    terms = sum(each, np.zeros(len(solved.s)))
    output = np.abs(solved.at(transfer.output, solved.volts))
    return np.asarray(np.maximum(output, BALANCED * terms) + 1e-300)


def _moves(
    transfer: Transfer,
    gains: tuple[ComplexArray, ...],
    solved: _Solved,
    element: Element,
    residual: ComplexArray,
    scale: NDArray[np.float64],
) -> float:
    volts = solved.changed(element, SUPPORT_STEP)
    after = _residual(transfer, gains, solved, volts, {element.name: 1.0 + SUPPORT_STEP})
    return float(np.max(np.abs(after - residual) / scale))


def _residual(
    transfer: Transfer,
    gains: tuple[ComplexArray, ...],
    solved: _Solved,
    volts: ComplexArray,
    factors: Mapping[str, float],
) -> ComplexArray:
    """Sum of gain times input, less the drop of the load current, less the output."""
    total = -solved.at(transfer.output, volts)
    for net, gain in zip(transfer.inputs, gains, strict=True):
        total = total + gain * solved.at(net, volts)
    if transfer.output_ohms is not None:
        total = total - transfer.output_ohms(solved.s) * _load_current(transfer, solved, volts, factors)
    return total


def _load_current(
    transfer: Transfer, solved: _Solved, volts: ComplexArray, factors: Mapping[str, float]
) -> ComplexArray:
    """What the stage's own parts push into its output net: by the current law, what the rest of the circuit
    takes.
    """
    row = solved.rows[transfer.output]
    total = np.zeros(len(solved.s), dtype=complex)
    for name in transfer.members:
        element = solved.elements.get(name)
        if element is not None:
            total = total + factors.get(name, 1.0) * element.into(row, solved.s, volts)
    return total
