"""The engine given a case: the same circuit, the same waveforms as samples, the same output."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from pedalwright.solve.time.machine import Wanted, clockwork
from pedalwright.solve.time.running import AFTER, BEFORE, run
from pedalwright.solve.time.tables import FAILED, HALVED, ITERATIONS, NOT_FINITE
from tests.solve.time.driving import sampled
from tests.solve.time.keeping import case, reference_v, rest_of_case
from tests.solve.time.reference_laws import Floats

FAST_HZ = 48000.0
"""the usual rate of sound"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Played:
    """What the engine told: `volts` (steps + 1,), the first at rest, and what it counted."""

    step_s: float
    volts: Floats
    halved: int
    iterations: int


@cache
def played(name: str, rate_hz: float) -> Played:
    """A case by the engine in steps of 1/rate. AssertionError when a step could not be made."""
    given, rest = case(name), rest_of_case(name)
    sources = tuple(given.waveforms)
    wanted = Wanted(sources=sources, asked=((given.output, "gnd"),))
    clock = clockwork(rest.system, rest, wanted, 1.0 / rate_hz)
    state = clock.state_at_rest()
    steps = round(given.duration_s * rate_hz)
    moments = np.arange(-BEFORE, steps + AFTER) / rate_hz
    direct = {part.name: float(getattr(part, "dc_v", 0.0)) for part in given.parts}
    changes = [sampled(given.waveforms[source], moments) - direct[source] for source in sources]
    told = np.zeros((steps, 1))
    done = run(clock.machine, state, np.array(changes), clock.asked_rows, told)
    assert done == steps, f"{name}: stopped at step {done} of {steps}"
    assert state.counts[FAILED] == 0 and state.counts[NOT_FINITE] == 0
    volts = np.append(rest.volts(given.output), told[:, 0] + clock.asked_rest_v[0])
    return Played(
        step_s=1.0 / rate_hz,
        volts=volts,
        halved=int(state.counts[HALVED]),
        iterations=int(state.counts[ITERATIONS]),
    )


def error_v(name: str, rate_hz: float) -> Floats:
    """Engine less reference at the moments both tell."""
    given, found = case(name), played(name, rate_hz)
    every = round(given.told_hz / rate_hz) if given.told_hz >= rate_hz else 1
    engine_every = round(rate_hz / given.told_hz) if rate_hz > given.told_hz else 1
    wanted = reference_v(name)[::every]
    return found.volts[::engine_every][: len(wanted)] - wanted


def swing_v(name: str) -> float:
    """Half of peak to peak of the reference."""
    return 0.5 * float(np.ptp(reference_v(name)))


def error_db(name: str, rate_hz: float) -> float:
    """The largest error against the signal's peak [dB]."""
    return float(20.0 * np.log10(np.abs(error_v(name, rate_hz)).max() / swing_v(name)))


def rms_error_db(name: str, rate_hz: float) -> float:
    """The root mean square of the error against that of the signal without its mean [dB]."""
    wanted = reference_v(name)
    power = float(np.mean((wanted - wanted.mean()) ** 2))
    return float(10.0 * np.log10(np.mean(error_v(name, rate_hz) ** 2) / power))
