"""The compiled step against the same chip written down a second time without regard for speed (`plain`)."""

from math import pi, sin

import numpy as np
import pytest

from pedalwright.echo.one_bit.chips import chips_of
from pedalwright.echo.one_bit.one_chip import OneChip
from pedalwright.echo.one_bit.pass_step import pass_step
from pedalwright.echo.one_bit.state import copied, faults, fresh
from tests.echo.one_bit import plain

STEP_S = 1 / 48_000
STEPS = 600
ALIKE_A = 1e-11
"""of currents up to 1.1 mA: instants are counted from the beginning there, and round as far on as that"""

CHIPS = {
    "typical": OneChip(memory_bits=700, noise_v=0.0),
    "unequal stores": OneChip(memory_bits=700, noise_v=0.0, coder_store_farads=22e-9, through_gain_db=2.0),
    "four equal bits": OneChip(memory_bits=333, noise_v=0.0, equal_bits=4, coder_farads=47e-9),
    "no capacitors": OneChip(
        memory_bits=50, noise_v=0.0, coder_farads=0.0, coder_store_farads=0.0, decoder_store_farads=0.0
    ),
}
RATES = {
    "9.17 bits a step": [9.1714159] * STEPS,
    "less than one bit a step": [0.3716253] * STEPS,
    "a clock that wanders": [6 + 5.9 * sin(at / 17) for at in range(STEPS)],
    "a clock that jumps": [29.31372 if at % 7 else 0.0161803 for at in range(STEPS)],
}


def parabola(step: float) -> float:
    """A sound the cubic between four samples gives back exactly."""
    return 0.6 * (step / STEPS) * (1 - step / STEPS) * (4 * step / STEPS - 1) * 2


@pytest.mark.parametrize("rates", RATES.values(), ids=RATES)
@pytest.mark.parametrize("chip", CHIPS.values(), ids=CHIPS)
def test_mean_and_first_moment_of_the_current(chip: OneChip, rates: list[float]) -> None:
    changes = plain.current(chip, plain.instants(rates), STEP_S, parabola)
    expected = [plain.moments(changes, step) for step in range(STEPS)]
    chips, state = chips_of([chip], STEP_S), fresh([chip])
    found = [
        pass_step(chips, state, 0, rate, *(parabola(step + at) for at in (-1, 0, 1, 2)))
        for step, rate in enumerate(rates)
    ]
    # A bit on the very end of a step may be counted on either side of it; the clocks above have none.
    np.testing.assert_allclose(found, expected, rtol=0, atol=ALIKE_A)
    assert faults(state) == ()


def test_chips_do_not_hear_one_another() -> None:
    both = [OneChip(memory_bits=500), OneChip(memory_bits=300, coder_farads=47e-9)]
    rates = [(4.3, 11.7)] * STEPS
    chips, state = chips_of(both, STEP_S), fresh(both)
    alone = [(chips_of([chip], STEP_S), fresh([chip])) for chip in both]
    for each, (_, own) in enumerate(alone):
        own.noise[0] = state.noise[each]
    for step, pair in enumerate(rates):
        heard = [0.4 * sin(2 * pi * (step + at) / 50) for at in range(4)]
        for each in (0, 1):
            together = pass_step(chips, state, each, pair[each], *heard)
            assert together == pass_step(*alone[each], 0, pair[each], *heard)


def test_a_copy_goes_its_own_way_from_the_same_place() -> None:
    chip = OneChip(memory_bits=100)
    chips, state = chips_of([chip], STEP_S), fresh([chip], seed=3)
    once = [pass_step(chips, state, 0, 5.3, 0.1, 0.1, 0.1, 0.1) for _ in range(STEPS)]
    kept = copied(state)
    onward = [pass_step(chips, state, 0, 5.3, 0.1, 0.1, 0.1, 0.1) for _ in range(STEPS)]
    again = [pass_step(chips, kept, 0, 5.3, 0.1, 0.1, 0.1, 0.1) for _ in range(STEPS)]
    same_seed, other_seed = fresh([chip], seed=3), fresh([chip], seed=4)
    repeated = [pass_step(chips, same_seed, 0, 5.3, 0.1, 0.1, 0.1, 0.1) for _ in range(STEPS)]
    other = [pass_step(chips, other_seed, 0, 5.3, 0.1, 0.1, 0.1, 0.1) for _ in range(STEPS)]
    assert onward == again and repeated == once and other != once
