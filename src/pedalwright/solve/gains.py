"""Gains of stages in the full circuit as built: superposition by exciting each input net in turn."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.primitives import ClippingAmplifier, RegulatedOutput, VoltageSource
from pedalwright.solve.band import Band

ComplexArray = NDArray[np.complex128]


def exciting_column(band: Band, net: str) -> int:
    """The column of the table that moves a net: a current into it, or an offset in what holds it stiff."""
    system = band.small.system
    row = band.row(net)
    for primitive in system.primitives:
        if (
            isinstance(primitive, ClippingAmplifier | RegulatedOutput)
            and system.rows.get(primitive.output) == row
        ):
            return system.branches.get(primitive.name, row)
        if isinstance(primitive, VoltageSource) and system.rows.get(primitive.plus) == row:
            return system.branches[primitive.name]
    return row


def stage_gains(
    band: Band, inputs: Sequence[str], output: str, table: ComplexArray | None = None
) -> ComplexArray:
    """Gain from each input net to the output net with everything attached: shape (inputs, frequencies).

    Each input net is moved in turn; the gains are what makes the output the sum of gain times input in all
    of these
    cases. Answers are nan where an input cannot be moved. `table` is the band's own, or one of a changed
    circuit.
    """
    full = band.table if table is None else table
    rows = [band.row(net) for net in inputs]
    columns = [exciting_column(band, net) for net in inputs]
    return gains_from(full[:, rows][:, :, columns], full[:, band.row(output)][:, columns])


def gains_from(at_inputs: ComplexArray, at_output: ComplexArray) -> ComplexArray:
    """Solve gains @ at_inputs = at_output at every frequency: (frequencies, n, n) and (frequencies, n) to
    (n, frequencies).
    """
    scale = np.max(np.abs(at_inputs), axis=1, keepdims=True)
    with np.errstate(all="ignore"):
        matrix = np.swapaxes(at_inputs / scale, 1, 2)
        right = (at_output / scale[:, 0])[..., None]
        if not np.all(np.isfinite(matrix)):
            return np.full((at_inputs.shape[1], at_inputs.shape[0]), np.nan, dtype=complex)
        try:
            return np.asarray(np.linalg.solve(matrix, right)[..., 0].T)
        except np.linalg.LinAlgError:
            return np.full((at_inputs.shape[1], at_inputs.shape[0]), np.nan, dtype=complex)
