"""What a stage with a resistor inside its loop does: its closed form, and what the resistor is for."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from pedalwright.stages.bench import Bench
from pedalwright.stages.loop_tap import INSIDE
from pedalwright.stages.stage import Stage, StageKind, Transfer
from pedalwright.stages.wording import farads, ohms

ComplexArray = NDArray[np.complex128]


def with_resistor_inside(kind: StageKind) -> StageKind:
    """The same kind, exact and with a sentence of its own where a resistor lies inside the loop."""

    def transfer(stage: Stage, bench: Bench) -> Transfer | None:
        claim = kind.transfer(stage, bench)
        return claim if claim is None or INSIDE not in stage.branches else _behind(stage, bench, claim)

    def part_says(stage: Stage, ref: str, bench: Bench) -> str:
        leaf = next((leaf for leaf in stage.leaves(INSIDE) if leaf.ref == ref), None)
        if leaf is None:
            return kind.part_says(stage, ref, bench)
        if leaf.sort == "C":
            return (
                f"Leads the highest treble back past the resistor in the loop, with {farads(leaf.value)}: "
                "so the loop stays steady when a cable hangs on the output."
            )
        return (
            f"Stands inside the loop with {ohms(leaf.value)}: feedback is taken behind it, so it costs no "
            "level, and a long cable cannot make the amplifier unsteady."
        )

    return replace(kind, transfer=transfer, part_says=part_says)


def _behind(stage: Stage, bench: Bench, claim: Transfer) -> Transfer:
    """Without a capacitor past the resistor nothing changes; with one the load counts, by nodal equations."""
    own = {leaf.name for leaf in stage.leaves(INSIDE)}
    inverting = stage.nets["inverting"]
    if len(own) == 1 or inverting == stage.output:
        return replace(claim, members=claim.members - own)
    section = stage.with_role("amplifier")[0]
    output = next(item.out for item in bench.view.amplifiers if item.ref == section)
    solved = _Tapped(stage, bench, output)
    return replace(
        claim,
        gains=lambda s: solved.answers(s)[:-1],
        output_ohms=lambda s: solved.answers(s)[-1],
        members=frozenset(solved.leaves),
        formula=f"{claim.formula}; with {' and '.join(sorted(own))} at its own output by nodal equations",
    )


class _Tapped:
    """The nodal equations of a plain amplifier with a resistor and a capacitor at its own output."""

    def __init__(self, stage: Stage, bench: Bench, output: str) -> None:
        self.leaves = {leaf.name: leaf for leaf in stage.leaves() if leaf.sort != "D"}
        self._still = bench.classes.is_still
        self._inputs = stage.inputs
        self._tap, self._output = stage.output, output
        self._pins = (stage.nets["inverting"], stage.nets["non-inverting"])
        met = dict.fromkeys(net for leaf in self.leaves.values() for net in (leaf.a, leaf.b))
        free = [net for net in (*met, *self._pins) if not self._still(net) and net not in stage.inputs]
        self._column = {net: place for place, net in enumerate(dict.fromkeys([*free, output]))}

    def answers(self, s: ComplexArray) -> tuple[ComplexArray, ...]:
        """The gain from every input to the tap, and last the ohms behind the tap."""
        size, count = len(self._column), len(self._inputs) + 1
        matrix = np.zeros((len(s), size, size), dtype=complex)
        right = np.zeros((len(s), size, count), dtype=complex)
        for leaf in self.leaves.values():
            for here, far in ((leaf.a, leaf.b), (leaf.b, leaf.a)):
                if here in self._column and here != self._output:
                    row = self._column[here]
                    self._put(matrix, right, row, here, leaf.admittance(s))
                    self._put(matrix, right, row, far, -leaf.admittance(s))
        right[:, self._column[self._tap], -1] = 1.0
        for net, sign in zip(self._pins, (1.0, -1.0), strict=True):
            self._put(matrix, right, self._column[self._output], net, np.full_like(s, sign))
        solved = np.asarray(np.linalg.solve(matrix, right), dtype=np.complex128)
        return tuple(solved[:, self._column[self._tap], place] for place in range(count))

    def _put(
        self, matrix: ComplexArray, right: ComplexArray, row: int, net: str, value: ComplexArray
    ) -> None:
        """One coefficient: of an unknown to the left, of an input to the right; a steady net has none."""
        if net in self._column:
            matrix[:, row, self._column[net]] += value
        elif net in self._inputs:
            right[:, row, self._inputs.index(net)] -= value
