"""Exact gains of any small network around one ideal amplifier: what no published formula names is still
computed.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.branch import conducts
from pedalwright.stages.edges import Edge
from pedalwright.stages.network import AmplifierNetwork

ComplexArray = NDArray[np.complex128]


def amplifier_gains(network: AmplifierNetwork, s: ComplexArray) -> tuple[ComplexArray, ...]:
    """Gain from each of the network's inputs to its output, one complex array per input.

    The amplifier is ideal: it makes the voltage between its inputs nothing. Nodal equations of the inner
    nets and of the inputs that are not driven are solved at every frequency. Raises
    ``numpy.linalg.LinAlgError`` when the network has no answer (no feedback).
    """
    amp = network.amplifier
    driven = set(network.inputs)
    edges = tuple(edge for edge in network.edges if conducts(edge.branch))
    nets = {net for edge in edges for net in (edge.a, edge.b)} - {GROUND} - driven
    free = sorted(nets - {amp.out})
    unknown = [*free, amp.out]
    column = {net: place for place, net in enumerate(unknown)}
    matrix = np.zeros((len(s), len(unknown), len(unknown)), dtype=complex)
    right = np.zeros((len(s), len(unknown), len(network.inputs)), dtype=complex)
    source = {net: place for place, net in enumerate(network.inputs)}
    _stamp(edges, s, column, source, matrix, right, rows={net: place for place, net in enumerate(free)})
    _constrain(amp.non, amp.inv, network.non_still, column, source, matrix, right)
    solution = np.asarray(np.linalg.solve(matrix, right), dtype=np.complex128)
    return tuple(solution[:, column[amp.out], place] for place in range(len(network.inputs)))


def _stamp(
    edges: tuple[Edge, ...],
    s: ComplexArray,
    column: Mapping[str, int],
    source: Mapping[str, int],
    matrix: ComplexArray,
    right: ComplexArray,
    rows: Mapping[str, int],
) -> None:
    """Current law at every net that has a row: what flows in through all branches is nothing."""
    for edge in edges:
        admittance = 1.0 / edge.branch.impedance(s)
        for here, far in ((edge.a, edge.b), (edge.b, edge.a)):
            if here not in rows:
                continue
            row = rows[here]
            matrix[:, row, column[here]] += admittance
            if far in source:
                right[:, row, source[far]] += admittance
            elif far != GROUND:
                matrix[:, row, column[far]] -= admittance


def _constrain(
    non: str,
    inv: str,
    non_still: bool,
    column: Mapping[str, int],
    source: Mapping[str, int],
    matrix: ComplexArray,
    right: ComplexArray,
) -> None:
    """The last row: both inputs stand at the same voltage."""
    row = matrix.shape[1] - 1
    for net, sign in ((inv, 1.0), (non, -1.0)):
        if net == non and sign < 0 and non_still:
            continue
        if net in source:
            right[:, row, source[net]] -= sign
        elif net in column:
            matrix[:, row, column[net]] += sign
