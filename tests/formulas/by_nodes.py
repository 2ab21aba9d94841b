"""Nodal analysis with one ideal amplifier, written for these tests alone."""

import numpy as np
from numpy.typing import NDArray

Branches = list[tuple[str, str, complex]]
Complex = NDArray[np.complex128]


def solve(branches: Branches, *, plus: str, minus: str) -> complex:
    """Voltage at `out` for one volt at `in`: nodal analysis with one ideal amplifier (a nullor)."""
    nets = sorted({net for a, b, _ in branches for net in (a, b)} | {"out"})
    index = {net: i for i, net in enumerate(nets)}
    rows: Complex = np.zeros((len(nets), len(nets)), complex)
    right: Complex = np.zeros(len(nets), complex)
    for a, b, y in branches:
        rows[index[a], index[a]] += y
        rows[index[b], index[b]] += y
        rows[index[a], index[b]] -= y
        rows[index[b], index[a]] -= y
    # Given voltages replace the node laws of ground and input; equal inputs replace that of the output.
    for net, volts in (("gnd", 0.0), ("in", 1.0)):
        rows[index[net]] = 0
        rows[index[net], index[net]], right[index[net]] = 1, volts
    rows[index["out"]] = 0
    rows[index["out"], index[plus]] += 1
    rows[index["out"], index[minus]] -= 1
    return complex(np.linalg.solve(rows, right)[index["out"]])
