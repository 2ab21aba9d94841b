"""Closed forms of stages without an amplifier: stars of impedances, and exact reduction of anything else.

A passive stage is not stiff: its output gives way to what is hung on it. So every claim here carries the
impedance behind the output, and the load is counted by the current it takes.
"""

from collections.abc import Iterable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.star import star_gains, star_ohms
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf, conducts
from pedalwright.stages.stage import Stage, Transfer

ComplexArray = NDArray[np.complex128]
MILLMAN = "J. Millman, A useful network theorem, Proc. IRE 28, 413-417, 1940 (from memory)"
NODAL = "exact nodal reduction (Kirchhoff's current law), no published formula"


def star_transfer(
    *,
    arms: Sequence[tuple[str, Branch]],
    shunts: Sequence[Branch],
    output: str,
    formula: str,
    source: str,
) -> Transfer:
    """The claim of arms that meet at `output`: ``(input net, impedance)`` each, and shunts from there to
    steady nets.
    """
    inputs = tuple(dict.fromkeys(net for net, branch in arms if conducts(branch)))
    carrying = [(net, branch) for net, branch in arms if conducts(branch)]
    down = [branch for branch in shunts if conducts(branch)]

    def ohms(s: ComplexArray) -> tuple[list[ComplexArray], list[ComplexArray]]:
        return [branch.impedance(s) for _, branch in carrying], [branch.impedance(s) for branch in down]

    def gains(s: ComplexArray) -> tuple[ComplexArray, ...]:
        up, below = ohms(s)
        each = star_gains(arm_ohms=up, shunt_ohms=below)
        found: dict[str, ComplexArray] = {}
        for (net, _), gain in zip(carrying, each, strict=True):
            found[net] = found[net] + gain if net in found else gain
        return tuple(found[net] for net in inputs)

    def behind(s: ComplexArray) -> ComplexArray:
        up, below = ohms(s)
        return star_ohms(arm_ohms=up, shunt_ohms=below)

    names = frozenset(
        leaf.name for branch in (*(branch for _, branch in carrying), *down) for leaf in conducting(branch)
    )
    return Transfer(
        inputs=inputs,
        output=output,
        gains=gains,
        members=names,
        formula=formula,
        source=source,
        output_ohms=behind,
    )


def arms_and_shunts(stage: Stage, *, formula: str) -> Transfer | None:
    """The claim of a stage whose branches are named "arms" and "shunts"; None without an arm."""
    arms = [(leaf.other(stage.output), leaf) for leaf in stage.leaves("arms")]
    if not arms:
        return None
    return star_transfer(
        arms=arms, shunts=stage.leaves("shunts"), output=stage.output, formula=formula, source=MILLMAN
    )


def conducting(branch: Branch) -> Iterable[Leaf]:
    """The parts of a branch that small signals reach."""
    if isinstance(branch, Leaf):
        if branch.sort != "D":
            yield branch
        return
    if conducts(branch):
        for link in branch.links:
            yield from conducting(link)


def network_transfer(
    bench: Bench,
    leaves: Iterable[Leaf],
    inputs: tuple[str, ...],
    output: str,
    *,
    formula: str,
    source: str = NODAL,
) -> Transfer:
    """The claim of any passive network: nodal equations of its own parts, solved at every frequency."""
    network = Reduced.of(bench, leaves, inputs, output)
    return Transfer(
        inputs=network.inputs,
        output=output,
        gains=network.gains,
        members=frozenset(leaf.name for leaf, _, _ in network.parts),
        formula=formula,
        source=source,
        output_ohms=network.output_ohms,
    )


class Reduced:
    """A passive network seen from its inputs and its output; parts that cannot matter there are left out."""

    def __init__(self, parts: Sequence[tuple[Leaf, str, str]], inputs: tuple[str, ...], output: str) -> None:
        self.parts = tuple(parts)
        met = {net for _, a, b in parts for net in (a, b)}
        self.inputs = tuple(net for net in inputs if net in met)
        self.output = output
        unknown = dict.fromkeys([output, *(net for _, a, b in parts for net in (a, b))])
        self._row: Mapping[str, int] = {
            net: place
            for place, net in enumerate(net for net in unknown if net != GROUND and net not in self.inputs)
        }

    @classmethod
    def of(cls, bench: Bench, leaves: Iterable[Leaf], inputs: tuple[str, ...], output: str) -> "Reduced":
        """Steady nets become ground; only what hangs together with the output between inputs and ground
        counts.
        """

        def settled(net: str) -> str:
            return GROUND if bench.classes.is_still(net) else net

        ends = [(leaf, settled(leaf.a), settled(leaf.b)) for leaf in leaves if leaf.sort != "D"]
        ends = [item for item in ends if item[1] != item[2]]
        fixed = {GROUND, *inputs} - {output}
        reached = {output}
        while True:
            more = {net for _, a, b in ends if {a, b} & (reached - fixed) for net in (a, b)} - reached
            if not more:
                break
            reached |= more
        inner = reached - fixed
        return cls([item for item in ends if {item[1], item[2]} & inner], inputs, output)

    def _matrices(self, s: ComplexArray) -> tuple[ComplexArray, ComplexArray]:
        size = len(self._row)
        matrix = np.zeros((len(s), size, size), dtype=complex)
        right = np.zeros((len(s), size, len(self.inputs)), dtype=complex)
        source = {net: place for place, net in enumerate(self.inputs)}
        for leaf, a, b in self.parts:
            admittance = leaf.admittance(s)
            for here, far in ((a, b), (b, a)):
                if here not in self._row:
                    continue
                matrix[:, self._row[here], self._row[here]] += admittance
                if far in self._row:
                    matrix[:, self._row[here], self._row[far]] -= admittance
                elif far in source:
                    right[:, self._row[here], source[far]] += admittance
        return matrix, right

    def gains(self, s: ComplexArray) -> tuple[ComplexArray, ...]:
        """Open-circuit gain from every input to the output."""
        matrix, right = self._matrices(s)
        solved = np.asarray(np.linalg.solve(matrix, right), dtype=np.complex128)
        return tuple(solved[:, self._row[self.output], place] for place in range(len(self.inputs)))

    def output_ohms(self, s: ComplexArray) -> ComplexArray:
        """Impedance behind the output with the inputs driven."""
        matrix, _ = self._matrices(s)
        push = np.zeros((len(s), len(self._row), 1), dtype=complex)
        push[:, self._row[self.output], 0] = 1.0
        solved = np.asarray(np.linalg.solve(matrix, push), dtype=np.complex128)
        return solved[:, self._row[self.output], 0]
