"""The delays put back into a noise analysis: what the loop adds to steady noise, averaged over its comb.

With the delays cut, a source reaches the output by h and the coders by v; C leads from decoders to the
output, A from decoders to coders, both with the chips' gain. Closed, the output has h + C (1 - D A)^-1 D v,
and D turns through all phases every few hertz. What went through the chips unlike numbers of times has no
fixed phase between it; what went through each as often arrives together, whatever the order, and is added
first. So the power is |h|^2 + v* G v, where G sums u* u over all sets of passes: |C|^2 / (1 - |A|^2) with one
chip, exactly. With several the delays are taken as unrelated, as the spread of chips makes them.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.echo.chip import ChipState, chip_state
from pedalwright.echo.figures import value
from pedalwright.echo.loop import gain_from_db
from pedalwright.echo.stability import SEARCHED_HZ, Peak, peaks
from pedalwright.echo.taps import DECODER_OUT, Tap, taps
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.noise import Reach, reach

TAIL = 1e-5
"""share of the power that the passes left out may have"""
MOST_WORK = 10_000_000
"""how many numbers are worked through, pass after pass, before a loop is given up"""
SEARCHED = 161


@dataclass(frozen=True, kw_only=True, eq=False)
class CutLoop:
    """The chips of a circuit with their delays cut. `c` (frequencies, N), `a` (frequencies, N, N).

    `coders` are the reaches of what each coder takes, `decoders` those of each pin 12.
    """

    chips: tuple[ChipState, ...]
    taps: tuple[Tap, ...]
    c: ComplexArray
    a: ComplexArray
    coders: tuple[Reach, ...]
    decoders: tuple[Reach, ...]


class LoopMistake(Exception):
    """The loop's share cannot be told; the text says why."""


def chips_in_use(bench: NoiseBench) -> tuple[tuple[Tap, ...], tuple[ChipState, ...]]:
    """The cuts and the states of all chips that delay anything. Raises LoopMistake when a clock stands
    still.
    """
    chips = bench.analysis.view.parts_of("echo-chip")
    found = taps(chips, bench.primitives, bench.small)
    by_ref = {chip.ref: chip for chip in chips}
    states = tuple(chip_state(by_ref[tap.ref], bench.rest, bench.primitives) for tap in found)
    for state in states:
        if not np.isfinite(state.delay_s):
            raise LoopMistake(f"The clock of {state.ref} stands still, so there is no delayed sound.")
    return found, states


def cut_loop(
    bench: NoiseBench,
    found: tuple[Tap, ...],
    states: tuple[ChipState, ...],
    frequencies_hz: FloatArray,
    out: Reach | None,
) -> CutLoop:
    """The loop at some frequencies, seen from the output of `out` when that is given. Raises NotCertified."""
    small, s = bench.small, np.asarray(2j * np.pi * frequencies_hz, dtype=np.complex128)
    gain = gain_from_db(value("through_gain_db"))
    by_ref = {chip.ref: chip for chip in bench.analysis.view.parts_of("echo-chip")}
    coders = tuple(reach(small, {tap.sound: 1.0, tap.reference: -1.0}, frequencies_hz) for tap in found)
    pins = [by_ref[tap.ref].net(DECODER_OUT) for tap in found]
    decoders = tuple(reach(small, {pin: 1.0}, frequencies_hz) for pin in pins) if out is not None else ()
    rows = [small.row(tap.decoder) for tap in found]
    weight = np.stack([-gain * tap.admittance(small, small.weights[None], s)[0] for tap in found], axis=1)
    a = np.stack([one.y[rows].T for one in coders], axis=1) * weight[:, None, :]
    c = out.y[rows].T * weight if out is not None else np.zeros_like(weight)
    return CutLoop(chips=states, taps=found, c=c, a=a, coders=coders, decoders=decoders)


def loop_peak(bench: NoiseBench, found: tuple[Tap, ...], states: tuple[ChipState, ...]) -> Peak:
    """The most that comes back once round, over a wider band than is heard. Raises NotCertified."""
    frequencies = np.geomspace(*SEARCHED_HZ, SEARCHED)
    wide = cut_loop(bench, found, states, frequencies, None)
    gain, at = peaks(wide.a[None], frequencies)
    return Peak(gain=float(gain[0]), frequency_hz=float(at[0]))


def closed_powers(c: ComplexArray, a: ComplexArray, round_gain: float) -> ComplexArray:
    """G (frequencies, N, N) of the closed loop; `round_gain`, below one, is the most that comes back once
    round.

    Raises LoopMistake when the passes that count are too many to be followed.
    """
    if a.shape[-1] == 1:
        whole = np.abs(c[:, 0]) ** 2 / (1.0 - np.abs(a[:, 0, 0]) ** 2)
        return np.asarray(whole[:, None, None], dtype=np.complex128)
    return _summed(c, a, round_gain)


def opened_powers(c: ComplexArray) -> ComplexArray:
    """G with nothing coming back: each chip is passed once."""
    return np.asarray(np.abs(c)[:, :, None] ** 2 * np.eye(c.shape[1]), dtype=np.complex128)


def _summed(c: ComplexArray, a: ComplexArray, round_gain: float) -> ComplexArray:
    """The sum over all sets of passes, one more pass at a time.

    The leading axes of `u` (.., frequencies, N) count the passes through all chips but the last.
    """
    count, chips = c.shape
    last = chips - 1
    u = np.zeros((2,) * last + (count, chips), dtype=np.complex128)
    for chip in range(chips):
        u[_counted(chip, last)][:, chip] = c[:, chip]
    total = _power(u)
    left = max(round_gain**2 / (1.0 - round_gain**2), 1.0)
    going, work = np.arange(count), 0
    while len(going):
        work += u.size
        if work > MOST_WORK:
            raise LoopMistake("The loop is too near to running away for its noise to be told.")
        u = _one_more(np.matmul(u[..., None, :], a[going])[..., 0, :], last)
        more = _power(u)
        total[going] += more
        # A frequency at which the passes have died away is not followed any further.
        lively = _trace(more) * left > TAIL * _trace(total[going])
        going, u = going[lively], u[..., lively, :]
    return total


def _trace(g: ComplexArray) -> FloatArray:
    return np.asarray(np.trace(g, axis1=1, axis2=2).real)


def _counted(chip: int, last: int) -> tuple[int, ...]:
    return tuple(int(axis == chip) for axis in range(last))


def _one_more(arriving: ComplexArray, last: int) -> ComplexArray:
    """Every set of passes with the chip it now goes through counted once more."""
    found = np.zeros(tuple(size + 1 for size in arriving.shape[:last]) + arriving.shape[last:], dtype=complex)
    for chip in range(last + 1):
        place = tuple(
            slice(1, None) if axis == chip else slice(0, size)
            for axis, size in enumerate(arriving.shape[:last])
        )
        found[place][..., chip] = arriving[..., chip]
    return found


def _power(u: ComplexArray) -> ComplexArray:
    """Sum of u* u over all sets of passes (frequencies, N, N)."""
    flat = u.reshape(-1, *u.shape[-2:])
    return np.asarray(np.einsum("pfi,pfj->fij", flat.conj(), flat))


def carried(v: ComplexArray, g: ComplexArray) -> FloatArray:
    """v* G v of sources (sources, frequencies, N): their power at the output by way of the chips."""
    return np.asarray(np.einsum("sfi,fij,sfj->sf", v.conj(), g, v).real)
