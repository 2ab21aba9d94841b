"""Leaving out what no signal ever moves: devices that always stand as they rest, states nobody hears of."""

from collections.abc import Sequence

import numpy as np
from scipy.linalg import block_diag

from pedalwright.solve.arrays import BoolArray, FloatArray
from pedalwright.solve.time import codes
from pedalwright.solve.time.devices import Port
from pedalwright.solve.time.state_space import StateSpace

FREQUENCIES_HZ = np.array([3e-3, 0.3, 3.0, 30.0, 300.0, 3e3, 3e4, 3e5])
OUTER_V, OUTER_A = 10.0, 1e-2
REMAINDER_A, REMAINDER_V = 0.1, 10.0
"""the largest a drive gets: sources [V], currents [A], remainders of devices [A] and of branch equations
[V]"""
KEPT = 1e-8
"""a mode is kept when it adds more than this part to any way from a drive to a pick"""
KEPT_V = 1e-8
"""and more than this many volts, at the largest the drive gets"""
SUPPLY_V = 1e-4
"""a supply that moves by less does not move an amplifier's rails"""
SOUND_EIGENVECTORS = 1e7


def strongest(space: StateSpace) -> FloatArray:
    """The largest gain of each way (picks, drives) from standing still to far above hearing."""
    return np.asarray(np.abs(space.gains(FREQUENCIES_HZ)).max(axis=0))


def largest(ports: Sequence[Port], sources: int, currents: int) -> FloatArray:
    """The largest value each drive gets (drives,)."""
    inner = [
        REMAINDER_V if port.code in (codes.AMPLIFIER, codes.REGULATOR) else REMAINDER_A
        for port in ports
        for _ in port.outputs
    ]
    return np.array([*[OUTER_V] * sources, *[OUTER_A] * currents, *inner])


def moved_devices(ports: Sequence[Port], reach_v: FloatArray, quiet_v: FloatArray, outer: int) -> BoolArray:
    """Which devices (ports,) can ever leave where they are quiet, through signals or through other devices.

    `reach_v` (picks, drives) is the strongest gain of each way times the largest value of its drive, the
    first `outer` of them inputs; `quiet_v` (controls,) how far each control may move.
    """
    controls = np.repeat(np.arange(len(ports)), [len(port.controls) for port in ports])
    outputs = np.repeat(np.arange(len(ports)), [len(port.outputs) for port in ports])
    reach = reach_v[: len(controls)]
    found = np.array([port.code == codes.CONDUCTANCE for port in ports], dtype=bool)
    while True:
        live = np.concatenate([np.ones(outer, dtype=bool), found[outputs]])
        more = found.copy()
        more[controls[reach[:, live].sum(axis=1) > quiet_v]] = True
        if (more == found).all():
            return found
        found = more


def without_idle_states(space: StateSpace, largest_in: FloatArray) -> StateSpace:
    """The same without modes that add next to nothing to any way through it.

    `largest_in` (drives,) as `largest`.

    A space whose modes cannot be told apart safely is given back as it is.
    """
    rates, vectors = np.linalg.eig(space.a)
    if not len(rates) or np.linalg.cond(vectors) > SOUND_EIGENVECTORS:
        return space
    back = np.linalg.inv(vectors)
    excited, seen = np.abs(back @ space.b), np.abs(space.c @ vectors)
    slowness = 1.0 / np.maximum(np.abs(rates.real), 1e-3)
    through = seen.T[:, :, None] * excited[:, None, :] * slowness[:, None, None]
    matters = np.maximum(KEPT * strongest(space), KEPT_V / largest_in)
    kept = (through > matters).any(axis=(1, 2))
    return _projected(space, rates, vectors, back, kept)


def _projected(
    space: StateSpace, rates: FloatArray, vectors: FloatArray, back: FloatArray, kept: BoolArray
) -> StateSpace:
    """The space of the kept modes, slow ones first, in a real basis.

    The basis: real and imaginary parts of each pair.
    """
    right, left, pieces = [], [], []
    kept = kept | kept[_partner(rates)]
    for mode in (m for m in np.argsort(np.abs(rates)) if kept[m]):
        if rates[mode].imag == 0.0:
            right.append(vectors[:, mode].real)
            left.append(back[mode].real)
            pieces.append(np.array([[rates[mode].real]]))
        elif rates[mode].imag > 0.0:
            right += [vectors[:, mode].real, vectors[:, mode].imag]
            left += [2.0 * back[mode].real, -2.0 * back[mode].imag]
            pieces.append(
                np.array([[rates[mode].real, rates[mode].imag], [-rates[mode].imag, rates[mode].real]])
            )
    count = len(space.a)
    into, out = np.array(left).reshape(-1, count), np.array(right).reshape(-1, count).T
    return StateSpace(
        a=block_diag(*pieces) if pieces else np.zeros((0, 0)), b=into @ space.b, c=space.c @ out, d=space.d,
        entry=into @ space.entry, leaving=space.leaving @ out, is_modal=True,
    )  # fmt: skip


def _partner(rates: FloatArray) -> FloatArray:
    """The place of each rate's complex conjugate."""
    return np.asarray(np.abs(rates[:, None] - rates[None].conj()).argmin(axis=1))
