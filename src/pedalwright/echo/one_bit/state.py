"""What of several chips moves while they play, the bits in their memories included."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from pedalwright.echo.one_bit import constants
from pedalwright.echo.one_bit.one_chip import OneChip
from pedalwright.solve.arrays import FloatArray, IndexArray

FADES = 5
"""coder's integrator, coder's store filling and emptying, decoder's store filling and emptying"""


class OneBitState(NamedTuple):
    """Arrays (chips, ...), changed in place by the compiled loop.

    `coder_v` against the reference; the stores from 0 (empty) to 1; `current_a` that of the decoder now;
    `phase` how far the present bit is done (0 to 1); `fades` what a bit's time leaves of each exponential at
    `fades_rate` bits a step; `since_start_s` since switch-on; `runs` 1, or 0 for a clock that did not start;
    `coder_bits` and `decoder_bits` the latest bits, the last one lowest; `place` in the ring; `noise` the
    number the next noise is made from; `memory` (chips, bits) the ring, one bit a byte, of which each chip
    uses the first `bits`.
    """

    coder_v: FloatArray
    coder_store: FloatArray
    decoder_store: FloatArray
    current_a: FloatArray
    phase: FloatArray
    fades: FloatArray
    fades_rate: FloatArray
    since_start_s: FloatArray
    runs: IndexArray
    coder_bits: IndexArray
    decoder_bits: IndexArray
    place: IndexArray
    noise: IndexArray
    bits: IndexArray
    memory: NDArray[np.uint8]


def fresh(chips: Sequence[OneChip], *, seed: int = 1) -> OneBitState:
    """Chips that have been on for long and heard nothing: the memories hold the idle pattern 0101.

    The same seed gives the same noise. `switch_on` makes one of them as at the moment of switching on.
    """
    count = len(chips)
    longest = max((chip.memory_bits for chip in chips), default=1)
    return OneBitState(
        coder_v=np.zeros(count),
        coder_store=np.zeros(count),
        decoder_store=np.zeros(count),
        current_a=np.zeros(count),
        phase=np.zeros(count),
        fades=np.zeros((count, FADES)),
        fades_rate=np.zeros(count),
        since_start_s=np.full(count, constants.MUTE_S),
        runs=np.ones(count, dtype=np.int64),
        coder_bits=np.full(count, 0b01, dtype=np.int64),
        decoder_bits=np.full(count, 0b01, dtype=np.int64),
        place=np.zeros(count, dtype=np.int64),
        noise=np.random.default_rng(seed).integers(1, 2**62, count, dtype=np.int64),
        bits=np.array([chip.memory_bits for chip in chips], dtype=np.int64),
        memory=np.tile((np.arange(longest) % 2).astype(np.uint8), (count, 1)),
    )


def copied(state: OneBitState) -> OneBitState:
    """A state of its own, to come back to."""
    return state._replace(**{name: array.copy() for name, array in state._asdict().items()})


def clock_starts(time_ohms: float) -> bool:
    """Whether the clock starts with this resistance at the time pin at switch-on; not below 1 kohm.

    The data sheet says it *may* not start (note 5 to table 1); here it does not, ever. No resistance at all
    that could be told (nan) does not start either.
    """
    return time_ohms >= constants.LEAST_START_OHMS


def switch_on(state: OneBitState, which: int, time_ohms: float) -> bool:
    """Make one chip as at the moment its supply comes; False when its clock locks up, and no echo ever comes.

    What the memory holds then is published nowhere; the start-up mute hides it for 400 ms, and the idle
    pattern stands in for it.
    """
    for array in (state.coder_v, state.coder_store, state.decoder_store, state.current_a, state.phase):
        array[which] = 0.0
    state.memory[which] = np.arange(state.memory.shape[1]) % 2
    state.coder_bits[which] = state.decoder_bits[which] = 0b01
    state.since_start_s[which] = 0.0
    state.runs[which] = int(clock_starts(time_ohms))
    return bool(state.runs[which])


def faults(state: OneBitState) -> tuple[str, ...]:
    """Sentences on what no state can hold; none when it is sound."""
    found = [
        f"{name} of an echo chip is not a number."
        for name, array in state._asdict().items()
        if not np.isfinite(array).all()
    ]
    unit = (state.coder_store, state.decoder_store, state.phase)
    if any(((array < 0) | (array > 1)).any() for array in unit):
        found.append("A store or the phase of an echo chip is outside 0 to 1.")
    if ((state.place < 0) | (state.place >= state.bits)).any() or (state.memory > 1).any():
        found.append("The memory of an echo chip is spoilt.")
    return tuple(found)
