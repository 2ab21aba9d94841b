"""What resistors present to a net: an open-circuit voltage behind a resistance, and an impedance."""

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.circuit import GROUND
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.transistor_network import TransistorNetwork, walls

MIDDLE_HZ = 1000.0
"""where the middle of the band is taken"""
OPEN_OHMS = 1e12


def still_volts(bench: Bench, net: str) -> float | None:
    """The voltage of a steady net: measured in the full circuit, else as the supply says; None when
    unknown.
    """
    if net == GROUND:
        return 0.0
    measured = bench.volts(net)
    if measured is not None:
        return measured
    joined = bench.view.joined
    return next((port.volts for port in bench.view.circuit.supplies if joined[port.net] == net), None)


def thevenin(
    bench: Bench, leaves: Iterable[Leaf], net: str, known: Mapping[str, float] | None = None
) -> tuple[float, float] | None:
    """The voltage [V] and resistance [ohm] that resistors show at a net; None without a path for direct
    current.

    `known` are further nets whose voltage is given.
    """
    resistive = [leaf for leaf in leaves if leaf.sort == "R"]
    fixed = dict(known or {})
    for end in {end for leaf in resistive for end in (leaf.a, leaf.b)}:
        if bench.classes.is_still(end):
            volts = still_volts(bench, end)
            if volts is None:
                return None
            fixed[end] = volts
    nets = sorted({end for leaf in resistive for end in (leaf.a, leaf.b)} - set(fixed))
    if net not in nets:
        return None
    matrix, right = _nodes(resistive, nets, fixed)
    inverse = np.linalg.inv(matrix)
    place = nets.index(net)
    ohms = float(inverse[place, place])
    return (float(inverse[place] @ right), ohms) if ohms < OPEN_OHMS else None


def _nodes(
    leaves: Iterable[Leaf], nets: list[str], fixed: Mapping[str, float]
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    matrix = np.eye(len(nets)) / (100 * OPEN_OHMS)
    right = np.zeros(len(nets))
    for leaf in leaves:
        for here, far in ((leaf.a, leaf.b), (leaf.b, leaf.a)):
            if here not in nets:
                continue
            row = nets.index(here)
            matrix[row, row] += 1.0 / leaf.value
            if far in fixed:
                right[row] += fixed[far] / leaf.value
            else:
                matrix[row, nets.index(far)] -= 1.0 / leaf.value
    return matrix, right


def bias_leaves(bench: Bench, network: TransistorNetwork) -> tuple[Leaf, ...]:
    """The resistors through which the base or gate gets its direct voltage from steady nets."""
    view, stop = bench.view, walls(bench.view, bench.classes)
    found: dict[str, Leaf] = {}
    seen, pending = {network.cluster.control}, [network.cluster.control]
    while pending:
        here = pending.pop()
        for leaf in view.on(here):
            far = leaf.other(here)
            if leaf.sort != "R" or (far in stop and far not in seen):
                continue
            found[leaf.name] = leaf
            if far not in seen and not bench.classes.is_still(far):
                seen.add(far)
                pending.append(far)
    return tuple(found.values())


def impedance_ohms(
    bench: Bench, leaves: Iterable[Leaf], net: str, frequency_hz: float = MIDDLE_HZ
) -> complex | None:
    """Impedance [ohm] from a net through some parts to steady nets at one frequency; None when there is no
    way.
    """
    s = 2j * np.pi * frequency_hz
    parts = [leaf for leaf in leaves if leaf.sort != "D"]
    still = bench.classes.is_still
    nets = sorted({end for leaf in parts for end in (leaf.a, leaf.b) if not still(end)})
    if net not in nets:
        return None
    matrix = np.eye(len(nets), dtype=complex) / (100 * OPEN_OHMS)
    for leaf in parts:
        siemens = complex(leaf.admittance(np.array([s]))[0])
        rows = [nets.index(end) for end in (leaf.a, leaf.b) if end in nets]
        for row in rows:
            matrix[row, row] += siemens
        if len(rows) == 2:
            matrix[rows[0], rows[1]] -= siemens
            matrix[rows[1], rows[0]] -= siemens
    ohms = complex(np.linalg.inv(matrix)[nets.index(net), nets.index(net)])
    return ohms if abs(ohms) < OPEN_OHMS else None
