"""The noise at one net over the audio band, source by source, with the delays put back."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.loop import (
    CutLoop,
    LoopMistake,
    carried,
    chips_in_use,
    closed_powers,
    cut_loop,
    loop_peak,
    opened_powers,
)
from pedalwright.devices.ports import INPUT
from pedalwright.echo.chip import ChipState
from pedalwright.echo.stability import Peak
from pedalwright.formulas.weighting import a_weighting_ratio
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.certificate import Certificate
from pedalwright.solve.noise import Reach, power, reach
from pedalwright.solve.noise_sources import NoiseSource

LOWEST_HZ, HIGHEST_HZ = 20.0, 20e3
FINE, FINEST = 181, 2881
"""how many frequencies at first, sixty a decade, and at the most; odd numbers for Simpson's rule"""
AGREES = 1e-3
"""share by which the power may change when every other frequency is left out"""


def band_hz(count: int) -> FloatArray:
    """The frequencies (count,) noise is summed over."""
    return np.geomspace(LOWEST_HZ, HIGHEST_HZ, count)


def a_weights(frequencies_hz: FloatArray) -> FloatArray:
    """The A curve in power (frequencies,)."""
    return np.asarray(np.asarray(a_weighting_ratio(frequencies_hz)) ** 2)  # type: ignore[arg-type]


def weighted_bandwidth_hz() -> float:
    """The flat bandwidth that passes as much white noise as the A curve from 20 Hz to 20 kHz: 12 467 Hz."""
    frequencies = band_hz(FINE)
    return float(power(frequencies, a_weights(frequencies)))


@dataclass(frozen=True, kw_only=True, eq=False)
class Loop:
    """What the delays add: `closed` and `opened` (sources and chips, frequencies) [V^2/Hz], powers at the
    output by way of the chips. `closed` is None where the loop runs away or cannot be told; `refusal` says
    why.
    """

    cut: CutLoop
    peak: Peak
    closed: FloatArray | None
    opened: FloatArray
    refusal: str = ""

    @property
    def recirculates(self) -> bool:
        """Whether anything delayed is delayed again."""
        return bool(np.abs(self.cut.a).max(initial=0.0) > 1e-6)


@dataclass(frozen=True, kw_only=True, eq=False)
class Picture:
    """Power densities at a net, `direct` (sources and chips, frequencies) [V^2/Hz] past the delays.

    The chips' conversion noise comes after the circuit's sources, one row for each chip of `loop`.
    """

    at: str
    frequencies_hz: FloatArray
    sources: tuple[NoiseSource, ...]
    direct: FloatArray
    loop: Loop | None
    dry: FloatArray
    wet: FloatArray
    """(frequencies,) gain from the source to the net of the direct sound, and of the first repeats added in
    power; zero without a source"""
    certificates: tuple[Certificate, ...]

    @property
    def chips(self) -> tuple[ChipState, ...]:
        """The echo chips in use."""
        return self.loop.cut.chips if self.loop is not None else ()

    @property
    def signal(self) -> FloatArray:
        """Dry and wet added in power (frequencies,)."""
        return np.hypot(self.dry, self.wet)

    @cached_property
    def shares(self) -> FloatArray | None:
        """Power densities of sources and chips with everything counted; None where the loop runs away."""
        if self.loop is None:
            return self.direct
        return None if self.loop.closed is None else self.direct + self.loop.closed

    @cached_property
    def opened(self) -> FloatArray:
        """The same with nothing coming round a second time."""
        return self.direct if self.loop is None else self.direct + self.loop.opened

    @cached_property
    def weights(self) -> FloatArray:
        """The A curve in power at the frequencies."""
        return a_weights(self.frequencies_hz)

    def powers(self, shares: FloatArray, *, weighted: bool) -> FloatArray:
        """The integral of each row [V^2], A-weighted or flat."""
        return power(self.frequencies_hz, shares * self.weights if weighted else shares)

    @property
    def integral_agrees(self) -> bool:
        """Whether half the frequencies give the same power: nothing sharp stands between them."""
        shares = self.opened.sum(axis=0) if self.shares is None else self.shares.sum(axis=0)
        whole, half = power(self.frequencies_hz, shares), power(self.frequencies_hz[::2], shares[::2])
        return bool(abs(whole - half) <= AGREES * whole)


class NoisePictureMistake(Exception):
    """The noise cannot be summed up; the text says why."""


def settled_picture(bench: NoiseBench, at: str) -> Picture:
    """The noise at a net, on as many frequencies as its sharpest resonance asks for.

    Raises what `picture` does, and NoisePictureMistake when there are never enough.
    """
    count = FINE
    while count <= FINEST:
        found = picture(bench, at, count)
        if found.integral_agrees:
            return found
        count = 2 * count - 1
    raise NoisePictureMistake("A resonance is too sharp for its noise to be summed: it nearly howls.")


def picture(bench: NoiseBench, at: str, count: int = FINE) -> Picture:
    """The noise at a net. Raises NotCertified, KeyError for an unknown net, LoopMistake for a clock that
    stands still.
    """
    frequencies = band_hz(count)
    out = reach(bench.small, {at: 1.0}, frequencies)
    heard = np.abs(out.of(bench.sources)) ** 2 * bench.sources.densities(frequencies)
    entering = _input_row(bench)
    dry = out.y[entering] if entering is not None else np.zeros(count, dtype=np.complex128)
    found, states = chips_in_use(bench)
    if not found:
        return Picture(
            at=at,
            frequencies_hz=frequencies,
            sources=bench.sources.each,
            direct=heard,
            loop=None,
            dry=np.abs(dry),
            wet=np.zeros(count),
            certificates=(out.certificate,),
        )
    cut = cut_loop(bench, found, states, frequencies, out)
    direct, arriving = _with_chips(bench, cut, out, heard)
    wet = carried(_entering(cut, entering, count), opened_powers(cut.c))[0]
    return Picture(
        at=at,
        frequencies_hz=frequencies,
        sources=bench.sources.each,
        direct=direct,
        loop=_closed(bench, cut, arriving),
        dry=np.abs(dry),
        wet=np.sqrt(wet),
        certificates=tuple(one.certificate for one in (out, *cut.coders, *cut.decoders)),
    )


def _input_row(bench: NoiseBench) -> int | None:
    return bench.system.branches.get(INPUT)


def _entering(cut: CutLoop, row: int | None, count: int) -> ComplexArray:
    """How the signal's source reaches the coders (1, frequencies, N)."""
    if row is None:
        return np.zeros((1, count, len(cut.chips)), dtype=np.complex128)
    return np.stack([one.y[row] for one in cut.coders], axis=1)[None]


def _with_chips(
    bench: NoiseBench, cut: CutLoop, out: Reach, heard: FloatArray
) -> tuple[FloatArray, ComplexArray]:
    """Direct power densities with the chips' own below; and how each source reaches the coders, times the
    root of its density (sources and chips, frequencies, N).
    """
    roots = np.sqrt(bench.sources.densities(out.frequencies_hz))
    to_coders = np.stack([one.of(bench.sources) for one in cut.coders], axis=2) * roots[..., None]
    rows = [bench.small.row(tap.decoder) for tap in cut.taps]
    straight, round_again = [], []
    for state, row, pin in zip(cut.chips, rows, cut.decoders, strict=True):
        hiss = conversion_v_per_rthz(state.noise_dbv)
        straight.append(np.abs(out.y[row] / pin.y[row]) ** 2 * hiss**2)
        round_again.append(np.stack([one.y[row] / pin.y[row] for one in cut.coders], axis=1) * hiss)
    return np.concatenate([heard, straight]), np.concatenate([to_coders, round_again])


def conversion_v_per_rthz(level_dbv: float) -> float:
    """The density of white noise that an A-weighting meter from 20 Hz to 20 kHz reads as a level [V/rtHz]."""
    return float(10.0 ** (level_dbv / 20.0) / np.sqrt(weighted_bandwidth_hz()))


def _runaway(peak: Peak, chips: int) -> str:
    back = f"{100 * peak.gain:.0f} % comes back once round near {peak.frequency_hz:.0f} Hz"
    if chips == 1:
        return f"The loop runs away at these knob positions: {back}. It howls, so its noise is not known."
    return (
        f"The loop can run away at these knob positions: up to {back}, as the delays fall. Its noise is not "
        "known."
    )


def _closed(bench: NoiseBench, cut: CutLoop, arriving: ComplexArray) -> Loop:
    peak = loop_peak(bench, cut.taps, cut.chips)
    opened = carried(arriving, opened_powers(cut.c))
    if peak.gain >= 1.0:
        return Loop(cut=cut, peak=peak, closed=None, opened=opened, refusal=_runaway(peak, len(cut.chips)))
    try:
        closed = carried(arriving, closed_powers(cut.c, cut.a, peak.gain))
    except LoopMistake as mistake:
        return Loop(cut=cut, peak=peak, closed=None, opened=opened, refusal=str(mistake))
    return Loop(cut=cut, peak=peak, closed=closed, opened=opened)
