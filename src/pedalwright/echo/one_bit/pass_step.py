"""One engine step of one chip: every bit that falls into it, and the decoder's current over it.

The bit goes as in adaptive delta modulation with a run-of-equal-bits rule (published for voice as CVSD; here
with three equal bits and stores that fill and empty as RC circuits do). What is told of the decoder's current
is its mean over the step and its first moment, integrated bit by bit, so that nothing of the bit stream folds
down into the sound.
"""

from math import exp

from pedalwright.echo.one_bit.chips import Chips
from pedalwright.echo.one_bit.state import OneBitState
from pedalwright.solve.compiled import compiled, compiled_inline

MOST_BITS = 256.0
"""in one step; 31 ms need 29 at 48 kHz. A faster clock is a mistake upstream and is slowed down to this."""
SILENT = 0.5
"""The share of the start-up mute that is silent; over the rest the sound comes up evenly. The data sheet has
it up after 400 ms and does not say how: a house choice.
"""
MULTIPLIER, INCREMENT = 6364136223846793005, 1442695040888963407
"""of the linear congruential numbers behind the comparator's noise (Knuth, MMIX: from memory)"""
SAME_RATE = 1e-6
"""Exponentials are made again when the rate has moved by more than this share of itself."""


@compiled
def _settle(chips: Chips, state: OneBitState, which: int, bits_per_step: float) -> None:
    """What the time of one bit leaves of every exponential."""
    bit_s = chips.step_s[which] / bits_per_step
    fades = state.fades
    fades[which, 0] = exp(-bit_s / chips.coder_s[which])
    fades[which, 1] = exp(-bit_s / chips.coder_attack_s[which])
    fades[which, 2] = exp(-bit_s / chips.coder_decay_s[which])
    fades[which, 3] = exp(-bit_s / chips.decoder_attack_s[which])
    fades[which, 4] = exp(-bit_s / chips.decoder_decay_s[which])
    state.fades_rate[which] = bits_per_step


@compiled
def _loudness(chips: Chips, state: OneBitState, which: int) -> float:
    """What the start-up mute leaves of the current in this step."""
    since = state.since_start_s[which] / chips.mute_s[which]
    if since >= 1.0:
        return 1.0
    state.since_start_s[which] += chips.step_s[which]
    return max(0.0, float((since - SILENT) / (1.0 - SILENT)))


@compiled
def pass_step(
    chips: Chips,
    state: OneBitState,
    which: int,
    bits_per_step: float,
    x0: float,
    x1: float,
    x2: float,
    x3: float,
) -> tuple[float, float]:
    """Take chip `which` one engine step further; (mean of the decoder's current, its first moment) [A].

    bits_per_step: the clock's rate in this step, any from step to step; 0, below, or nan: it stands still
    x0, x1, x2, x3: pin 15 against the reference at four steps in a row [V]; the coder hears what lies between
    x1 and x2, by the cubic through all four

    With t from 0 to 1 over the step, the mean is the integral of i(t), the first moment that of t i(t). The
    current is positive where it lifts pin 12: it is drawn out of the decoder's inverting input, pin 11. It
    is nothing while the clock stands still. Not more than `MOST_BITS` bits go into a step.
    """
    loud = _loudness(chips, state, which)
    if not (bits_per_step > 0.0 and state.runs[which] == 1):
        state.current_a[which] = 0.0
        return 0.0, 0.0
    rate = min(bits_per_step, MOST_BITS)
    bit = 1.0 / rate
    at = (1.0 - state.phase[which]) * bit
    first = state.current_a[which]
    if at > 1.0:
        state.phase[which] += rate
        return first, 0.5 * first
    if not abs(rate - state.fades_rate[which]) <= SAME_RATE * rate:
        _settle(chips, state, which, rate)
    return _bits(chips, state, which, loud, at, bit, x0, x1, x2, x3)


@compiled_inline
def _coder_fades(state: OneBitState, which: int) -> tuple[float, float, float]:
    """What a bit's time leaves of the coder's integrator, and of its store filling and emptying."""
    return state.fades[which, 0], state.fades[which, 1], state.fades[which, 2]


@compiled_inline
def _cubic(x0: float, x1: float, x2: float, x3: float) -> tuple[float, float, float]:
    """Of the cubic through four samples, what stands at t, t² and t³; t is 0 at x1 and 1 at x2."""
    linear = x2 - x0 / 3.0 - 0.5 * x1 - x3 / 6.0
    square = 0.5 * (x0 + x2) - x1
    return linear, square, (x3 - x0) / 6.0 + 0.5 * (x1 - x2)


@compiled_inline
def _stored(store: float, filling: bool, attack: float, decay: float) -> float:
    """A store one bit later."""
    fuller, emptier = 1.0 + (store - 1.0) * attack, store * decay
    return fuller if filling else emptier


@compiled
def _bits(
    chips: Chips,
    state: OneBitState,
    which: int,
    loud: float,
    at: float,
    bit: float,
    x0: float,
    x1: float,
    x2: float,
    x3: float,
) -> tuple[float, float]:
    """The bits of one step, the first at `at` and one after every `bit` (both in steps)."""
    linear, square, cubic = _cubic(x0, x1, x2, x3)
    offset, noise_v = x1 + chips.offset_v[which], chips.noise_v[which]
    coder_fade, coder_attack, coder_decay = _coder_fades(state, which)
    decoder_attack, decoder_decay = state.fades[which, 3], state.fades[which, 4]
    least_v, span_v = chips.least_v[which] * (1.0 - coder_fade), chips.span_v[which] * (1.0 - coder_fade)
    # A leaking coder answers x with 1 / (2 - fade) of it on average: what it drifts back within a bit is
    # missing from every step up and added to every step down. The published gain counts that in already.
    made_up = loud * (2.0 - coder_fade)
    least_a, span_a = chips.least_a[which] * made_up, chips.span_a[which] * made_up
    swing_v, equal = chips.swing_v[which], chips.equal[which]
    coder_v, coder_store, coder_bits = state.coder_v[which], state.coder_store[which], state.coder_bits[which]
    decoder_store, decoder_bits = state.decoder_store[which], state.decoder_bits[which]
    memory, bits, place = state.memory[which], state.bits[which], state.place[which]
    noise, current = state.noise[which], state.current_a[which]
    mean, moment = current, 0.5 * current

    while at <= 1.0:
        noise = noise * MULTIPLIER + INCREMENT
        heard_v = offset + at * (linear + at * (square + at * cubic)) + noise_v * noise

        # Both outcomes are worked out before the comparison is known: that halves the time of waiting for it.
        zero = (coder_bits << 1) & equal
        store_zero = _stored(coder_store, zero == 0, coder_attack, coder_decay)
        store_one = _stored(coder_store, zero | 1 == equal, coder_attack, coder_decay)
        left_v = coder_v * coder_fade
        up_v = min(left_v + (least_v + span_v * store_one), swing_v)
        down_v = max(left_v - (least_v + span_v * store_zero), -swing_v)
        up = heard_v > coder_v
        coder_v, coder_store = (up_v, store_one) if up else (down_v, store_zero)
        coder_bits = zero | 1 if up else zero

        # The oldest bit makes room for the newest: it was written as many bits ago as the memory holds.
        oldest, memory[place] = memory[place], coder_bits & 1
        place = place + 1 if place + 1 < bits else 0
        decoder_bits = ((decoder_bits << 1) | oldest) & equal
        decoder_run = decoder_bits in (0, equal)
        decoder_store = _stored(decoder_store, decoder_run, decoder_attack, decoder_decay)
        following = (least_a + span_a * decoder_store) * (1.0 if oldest > 0 else -1.0)
        mean += (following - current) * (1.0 - at)
        moment += (following - current) * 0.5 * (1.0 - at * at)
        current = following
        at += bit

    state.phase[which] = max(0.0, 1.0 - (at - 1.0) / bit)
    state.coder_v[which], state.coder_store[which], state.coder_bits[which] = coder_v, coder_store, coder_bits
    state.decoder_store[which], state.decoder_bits[which] = decoder_store, decoder_bits
    state.place[which], state.noise[which], state.current_a[which] = place, noise, current
    return mean, moment
