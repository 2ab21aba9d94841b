"""Which devices have to be solved together, and in which order.

A device waits for those that reach it in a step.
"""

from collections.abc import Sequence

import numpy as np
from scipy.sparse import csr_array
from scipy.sparse.csgraph import connected_components

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.time.devices import Port

REACHES = 1e-6
"""part of a device's strongest effect on any control below which it does not reach a control within a step"""


def blocks_of(ports: Sequence[Port], effect: FloatArray) -> tuple[tuple[int, ...], ...]:
    """Devices gathered into blocks that depend on each other.

    In an order in which each depends on earlier ones only.

    `effect` (controls, outputs): what each output's remainder does to each control within a step.
    """
    if not ports:
        return ()
    reach = _between_devices(ports, effect)
    count, label = connected_components(csr_array(reach), directed=True, connection="strong")
    members = [tuple(int(d) for d in np.flatnonzero(label == block)) for block in range(count)]
    return tuple(members[block] for block in _in_order(reach, label, count))


def _between_devices(ports: Sequence[Port], effect: FloatArray) -> FloatArray:
    """1 where the device of the row reaches that of the column."""
    size = np.abs(effect)
    strong = size > REACHES * size.max(axis=0, initial=0.0)
    control_of = np.repeat(np.arange(len(ports)), [len(port.controls) for port in ports])
    output_of = np.repeat(np.arange(len(ports)), [len(port.outputs) for port in ports])
    reach = np.zeros((len(ports), len(ports)))
    controls, outputs = np.nonzero(strong & (size > 0.0))
    reach[output_of[outputs], control_of[controls]] = 1.0
    return reach


def _in_order(reach: FloatArray, label: FloatArray, count: int) -> list[int]:
    """The blocks, each after all that reach it."""
    waits = [
        {int(label[d]) for d in np.flatnonzero(reach[:, label == block].any(axis=1))} - {block}
        for block in range(count)
    ]
    order: list[int] = []
    while len(order) < count:
        order += [b for b in range(count) if b not in order and waits[b] <= set(order)]
    return order
