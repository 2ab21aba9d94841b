"""The engine judged by the reference: full equations by scipy's Radau (see `reference`), at 8 times 48 kHz.

Errors are root mean square, against the root mean square of the signal without its mean. A case that misses
the goal is an expected failure that says its figure. ``python -m tests.solve.time.engine`` prints them.
"""

import numpy as np
import pytest

from pedalwright.formulas._wright_omega import wright_omega
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from pedalwright.solve.time.machine import Wanted, clockwork
from pedalwright.solve.time.running import run
from tests.solve.time.cases import CASES, LIMITER_A, LIMITER_OHMS, LIMITER_V, limiter_parts
from tests.solve.time.engine import crossings_s, longest_alternation, played, rms_error_db, swing_v
from tests.solve.time.keeping import reference_v

OVERSAMPLED_HZ = 8 * 48000.0
GOAL_DB = -80.0
MISSED_DB = {"relaxation-lfo": -50.0, "slow-follower": -62.0}
"""cases that miss the goal, with what the engine reaches"""
MARGIN_DB = 1.0
LEFT_OUT = ("limiter-square",)
"""judged by ringing only: what lies between the samples of a jump is a matter of taste"""


def judged() -> list[object]:
    """Every case; those that miss the goal are marked with their figure."""
    found: list[object] = []
    for name in (made().name for made in CASES):
        if name in MISSED_DB:
            missed = pytest.mark.xfail(strict=False, reason=f"{MISSED_DB[name]} dB, the goal is {GOAL_DB} dB")
            found.append(pytest.param(name, marks=missed))
        elif name not in LEFT_OUT:
            found.append(name)
    return found


@pytest.mark.parametrize("name", judged())
def test_error_is_below_the_goal(name: str) -> None:
    assert rms_error_db(name, OVERSAMPLED_HZ) < GOAL_DB


@pytest.mark.parametrize("name", list(MISSED_DB))
def test_what_misses_the_goal_is_not_worse_than_said(name: str) -> None:
    assert rms_error_db(name, OVERSAMPLED_HZ) < MISSED_DB[name] + MARGIN_DB


@pytest.mark.parametrize(
    ("name", "times"),
    [("limiter", (1, 2, 4, 8)), ("capacitor-loop", (1, 2, 4, 8)), ("overdrive", (4, 8, 16, 32))],
)
def test_halving_the_step_quarters_the_error(name: str, times: tuple[int, ...]) -> None:
    # The bare method: whole steps. With parts of steps the error is what their tolerance allows.
    errors = [rms_error_db(name, 48000.0 * many, whole=True) for many in times]
    orders = -np.diff(errors) / (20.0 * np.log10(2.0))
    assert ((orders > 1.7) & (orders < 2.3)).all(), errors


@pytest.mark.parametrize("times", [2, 4, 8])
@pytest.mark.parametrize(
    "name",
    ["limiter", "limiter-square", "zener-clamp", "overdrive", "clipped-resonance", "fuzz", "slow-follower"],
)
def test_nothing_rings_after_clipping_or_switching(name: str, times: int) -> None:
    # Up and down in turn by more than 80 dB below the signal: once or twice at a corner, never in a row.
    found = longest_alternation(played(name, 48000.0 * times).volts, 1e-4 * swing_v(name))
    assert found <= 2


def test_limiter_in_slow_motion_is_its_static_curve() -> None:
    rest = operating_point(compile_system(limiter_parts()))
    rate_hz, steps, ramp_v_per_s = 4800.0, 24000, 0.9
    clock = clockwork(rest.system, rest, Wanted(asked=(("out", "gnd"),)), 1.0 / rate_hz)
    told = np.zeros((steps, 1))
    moments = np.arange(-1, steps + 2) / rate_hz
    assert (
        run(clock.machine, clock.state_at_rest(), ramp_v_per_s * moments[None], clock.asked_rows, told)
        == steps
    )
    u = ramp_v_per_s * np.arange(1, steps + 1) / rate_hz
    inner = np.log(LIMITER_A * LIMITER_OHMS / LIMITER_V) + (u + LIMITER_A * LIMITER_OHMS) / LIMITER_V
    wanted = u - wright_omega(inner) * LIMITER_V + LIMITER_A * LIMITER_OHMS
    # The other diode and the capacitor's own current (9 nA into 2.2 kohm) stay far below.
    assert told[:, 0] == pytest.approx(wanted, abs=1e-4)


def test_slow_oscillator_starts_and_swings_as_the_reference_does() -> None:
    level_v, told_hz = 3.5, 4800.0
    engine, wanted = played("tremolo-lfo", 48000.0).volts, reference_v("tremolo-lfo")
    ours, theirs = crossings_s(engine, level_v, 48000.0), crossings_s(wanted, level_v, told_hz)
    assert len(ours) == len(theirs) > 8
    # Start-up: every crossing since the kick within 0.1 ms of a period of 188 ms. Then the frequency.
    assert ours == pytest.approx(theirs, abs=1e-4)
    assert np.diff(ours)[-3:] == pytest.approx(np.diff(theirs)[-3:], rel=1e-4)
    late, late_told = engine[-24000:], wanted[-2400:]
    assert np.ptp(late) == pytest.approx(np.ptp(late_told), rel=1e-4)
