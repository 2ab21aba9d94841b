"""What of several chips stays as it is while they play, as the compiled loop wants it."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from pedalwright.echo.one_bit import constants
from pedalwright.echo.one_bit.one_chip import OneChip
from pedalwright.solve.arrays import FloatArray, IndexArray

PEAK_OF_EVEN = 3**0.5
"""the peak of evenly spread noise over its rms"""


class Chips(NamedTuple):
    """Arrays (chips,), in the order of the chips.

    Time constants of the coder's integrator and of the filling and emptying stores [s]; what the smallest
    and the variable part of a bit's current would hold the coder's integrator at [V]; the same two as
    currents into the decoder, the through gain counted [A]; the comparator's offset and the peak of its
    noise, in steps of 2^-63 [V]; the swing [V]; the engine's step and how long the start-up mute lasts
    [s]; ones in the place of the bits that have to be equal.
    """

    coder_s: FloatArray
    coder_attack_s: FloatArray
    coder_decay_s: FloatArray
    decoder_attack_s: FloatArray
    decoder_decay_s: FloatArray
    least_v: FloatArray
    span_v: FloatArray
    least_a: FloatArray
    span_a: FloatArray
    offset_v: FloatArray
    noise_v: FloatArray
    swing_v: FloatArray
    step_s: FloatArray
    mute_s: FloatArray
    equal: IndexArray


def chips_of(chips: Sequence[OneChip], step_s: float) -> Chips:
    """The chips for an engine step [s]. Raises ValueError for a step that is not above zero."""
    if not 0 < step_s < np.inf:
        raise ValueError(f"An engine cannot step by {step_s} s.")
    ohms, coder_store, decoder_store, least_a, full_a, gain_db = (
        _over(chips, name)
        for name in (
            "coder_ohms",
            "coder_store_farads",
            "decoder_store_farads",
            "least_step_a",
            "full_step_a",
            "through_gain_db",
        )
    )
    attack, decay, through = _over(chips, "attack_ohms"), _over(chips, "decay_ohms"), 10.0 ** (gain_db / 20)
    return Chips(
        coder_s=ohms * _over(chips, "coder_farads"),
        coder_attack_s=attack * coder_store,
        coder_decay_s=decay * coder_store,
        decoder_attack_s=attack * decoder_store,
        decoder_decay_s=decay * decoder_store,
        least_v=ohms * least_a,
        span_v=ohms * (full_a - least_a),
        least_a=through * least_a,
        span_a=through * (full_a - least_a),
        offset_v=_over(chips, "offset_v"),
        noise_v=PEAK_OF_EVEN * _over(chips, "noise_v") * 2.0**-63,
        swing_v=_over(chips, "swing_v"),
        step_s=np.full(len(chips), step_s),
        mute_s=np.full(len(chips), constants.MUTE_S),
        equal=np.array([(1 << chip.equal_bits) - 1 for chip in chips], dtype=np.int64),
    )


def _over(chips: Sequence[OneChip], name: str) -> FloatArray:
    return np.array([getattr(chip, name) for chip in chips], dtype=np.float64)
