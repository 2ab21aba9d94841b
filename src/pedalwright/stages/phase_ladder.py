"""The ladder of a phase-shift oscillator: how it is found, and at what frequency and gain its loop just
swings.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.transistor_cluster import Cluster
from pedalwright.stages.transistor_gains import Current, currents_of, live_edges, nodal_equations
from pedalwright.stages.transistor_network import TransistorNetwork, transistor_network, walls

ComplexArray = NDArray[np.complex128]
FEWEST_SECTIONS = 3
LONGEST_LADDER = 7
LOWEST_HZ, HIGHEST_HZ, SCAN = 0.01, 30e3, 600
HALVINGS = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class Ladder:
    """The series parts from output to input, and the nets between them. `leading`: capacitors in series."""

    series: tuple[Leaf, ...]
    nets: tuple[str, ...]
    leading: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Balance:
    """Where the loop just swings: its frequency [Hz], and how many times more gain there is than it needs."""

    frequency_hz: float
    gain_in_hand: float


def ladder_of(claimed: Claimed, start: str, goal: str) -> Ladder | None:
    """The shortest ladder of three or more like sections from a collector (or output) to a base (or
    input).
    """
    ways: list[tuple[tuple[Leaf, ...], tuple[str, ...], str]] = [((), (), start)]
    stop = walls(claimed.view, claimed.classes)
    found: list[Ladder] = []
    while ways:
        parts, nets, here = ways.pop(0)
        for leaf in claimed.view.on(here):
            far = leaf.other(here)
            if leaf.sort not in "RC" or far == start or far in nets or claimed.classes.is_still(far):
                continue
            if far == goal:
                ladder = _judged(claimed, (*parts, leaf), nets)
                found += [ladder] if ladder is not None else []
            elif far not in stop and len(nets) < LONGEST_LADDER:
                ways.append(((*parts, leaf), (*nets, far), far))
    return min(found, key=lambda ladder: len(ladder.series), default=None)


def _judged(claimed: Claimed, parts: tuple[Leaf, ...], nets: tuple[str, ...]) -> Ladder | None:
    """A string of parts as a ladder, when it has three sections of one kind."""
    leads = sum(leaf.sort == "C" for leaf in parts)
    inside = zip(parts[:-1], nets, strict=True)
    shunted = [net for leaf, net in inside if leaf.sort == "C" and _shunt(claimed, net, "R", nets)]
    if leads >= FEWEST_SECTIONS and len(shunted) >= leads - 1:
        return Ladder(series=parts, nets=nets, leading=True)
    inside = zip(parts[:-1], nets, strict=True)
    lags = [net for leaf, net in inside if leaf.sort == "R" and _shunt(claimed, net, "C", nets)]
    return Ladder(series=parts, nets=nets, leading=False) if len(lags) >= FEWEST_SECTIONS else None


def _shunt(claimed: Claimed, net: str, sort: str, ladder: tuple[str, ...]) -> bool:
    """A part of that sort leads from the net to a steady net, for resistors through a knob or trim as
    well.
    """
    seen, pending = {net, *ladder}, [net]
    stop = walls(claimed.view, claimed.classes)
    while pending:
        here = pending.pop()
        for leaf in claimed.view.on(here):
            far = leaf.other(here)
            if leaf.sort != sort:
                continue
            if claimed.classes.is_still(far):
                return True
            if sort == "R" and far not in seen and far not in stop:
                seen.add(far)
                pending.append(far)
    return False


def oscillator_network(claimed: Claimed, cluster: Cluster) -> TransistorNetwork | None:
    """The network of a transistor that a ladder closes on itself, or None."""
    if claimed.classes.is_still(cluster.control) or claimed.classes.is_still(cluster.top):
        return None
    ladder = ladder_of(claimed, cluster.top, cluster.control)
    if ladder is None:
        return None
    return transistor_network(claimed.view, claimed.classes, cluster, also=ladder.nets)


def own_balance(bench: Bench, network: TransistorNetwork) -> Balance | None:
    """Where the loop just swings by its own parts alone; None without an operating point or without a
    loop.
    """
    currents = currents_of(bench, network)
    drive = next((item for item in currents if item.name.endswith("/gm")), None)
    if drive is None or network.inputs:
        return None
    others = [item for item in currents if item is not drive]
    edges = live_edges(network, currents)

    def matrix(s: ComplexArray) -> tuple[ComplexArray, Mapping[str, int]]:
        found, _, column = nodal_equations(network, edges, others, s)
        return found, column

    frequencies = np.geomspace(LOWEST_HZ, HIGHEST_HZ, SCAN)
    return _balance(lambda s: _control_ohms(*matrix(s), drive), drive.siemens, frequencies)


def full_balance(bench: Bench, network: TransistorNetwork, near_hz: float) -> Balance | None:
    """The same in the full circuit, searched within a factor of three of a frequency."""
    small, ref = bench.small, network.cluster.lead.ref
    siemens = bench.parameter(f"{ref}/gm")
    if small is None or not siemens:
        return None
    open_loop = small.with_changes({f"{ref}/gm": 0.0})
    lead = network.cluster.lead
    rows = {net: small.row(net) for net in (lead.top, lead.bottom, lead.control)}
    column = {net: row for net, row in rows.items() if row < small.size}
    drive = Current(name="", siemens=siemens, a=lead.top, b=lead.bottom, plus=lead.control, minus=lead.bottom)

    def ohms(s: ComplexArray) -> ComplexArray:
        matrix: ComplexArray = np.asarray(open_loop.g + s[:, None, None] * open_loop.c, dtype=np.complex128)
        return _control_ohms(matrix, column, drive)

    return _balance(ohms, siemens, np.geomspace(near_hz / 3, near_hz * 3, 61))


def _control_ohms(matrix: ComplexArray, column: Mapping[str, int], drive: Current) -> ComplexArray:
    """Control voltage that comes back for one ampere drawn from top to bottom [ohm], one per frequency."""
    right = np.zeros((*matrix.shape[:2], 1), dtype=complex)
    for net, sign in ((drive.a, -1.0), (drive.b, 1.0)):
        if net in column:
            right[:, column[net], 0] += sign
    volts = np.linalg.solve(matrix, right)[:, :, 0]
    found = np.zeros(len(matrix), dtype=complex)
    for net, sign in ((drive.plus, 1.0), (drive.minus, -1.0)):
        if net in column:
            found = found + sign * volts[:, column[net]]
    return found


def _balance(
    ohms: Callable[[ComplexArray], ComplexArray], siemens: float, frequencies: NDArray[np.float64]
) -> Balance | None:
    """The frequency where the loop's answer is in step with its cause, and the gain there; the loudest of
    several.
    """
    back = ohms(np.asarray(2j * np.pi * frequencies, dtype=np.complex128))
    crossings = np.flatnonzero((np.diff(np.sign(back.imag)) != 0) & (back.real[:-1] > 0))
    found = [_refined(ohms, frequencies[place], frequencies[place + 1], siemens) for place in crossings]
    return max(found, key=lambda balance: balance.gain_in_hand, default=None)


def _refined(
    ohms: Callable[[ComplexArray], ComplexArray], low_hz: float, high_hz: float, siemens: float
) -> Balance:
    def at(frequency_hz: float) -> complex:
        return complex(ohms(np.array([2j * np.pi * frequency_hz]))[0])

    sign = np.sign(at(low_hz).imag)
    for _ in range(HALVINGS):
        middle = (low_hz * high_hz) ** 0.5
        low_hz, high_hz = (middle, high_hz) if np.sign(at(middle).imag) == sign else (low_hz, middle)
    return Balance(frequency_hz=low_hz, gain_in_hand=siemens * at(low_hz).real)
