"""The engine given a case: the same circuit, the same waveforms as samples, the same output.

``python -m tests.solve.time.engine [NAME ...]`` prints how far it is from the reference.
"""

import sys
from dataclasses import dataclass, replace
from functools import cache

import numpy as np

from pedalwright.circuit.primitives import VoltageSource
from pedalwright.solve.rest import OperatingPoint, operating_point
from pedalwright.solve.system import compile_system
from pedalwright.solve.time.carry import nothing, state_holding
from pedalwright.solve.time.machine import Wanted, clockwork
from pedalwright.solve.time.running import AFTER, BEFORE, run
from pedalwright.solve.time.tables import FAILED, ITERATIONS, NOT_FINITE, PARTS
from tests.solve.time.cases import CASES
from tests.solve.time.driving import Rise, sampled
from tests.solve.time.keeping import case, reference_v, rest_of_case
from tests.solve.time.reference_laws import Floats


@dataclass(frozen=True, kw_only=True, eq=False)
class Played:
    """What the engine told: `volts` (steps + 1,), the first at rest, and what it counted."""

    step_s: float
    volts: Floats
    parts: int
    iterations: int


def risen(name: str) -> dict[str, float]:
    """The volts at which sources that are switched on during a case arrive."""
    waves = case(name).waveforms.items()
    return {source: wave.volts for source, wave in waves if isinstance(wave, Rise)}


@cache
def _rest(name: str) -> OperatingPoint:
    """The rest point the engine works from: with everything switched on."""
    if not risen(name):
        return rest_of_case(name)
    switched = [
        replace(part, dc_v=risen(name)[part.name])
        if isinstance(part, VoltageSource) and part.name in risen(name)
        else part
        for part in case(name).parts
    ]
    return operating_point(compile_system(switched))


@cache
def played(name: str, rate_hz: float, whole: bool = False) -> Played:
    """A case by the engine in steps of 1/rate. AssertionError when a step could not be made.

    `whole` steps are never divided, and Newton goes on to the end: the bare method.
    """
    given, rest = case(name), _rest(name)
    sources = tuple(given.waveforms)
    wanted = Wanted(sources=sources, asked=((given.output, "gnd"),))
    clock = clockwork(rest.system, rest, wanted, 1.0 / rate_hz)
    machine = clock.machine._replace(finest=0, short_stride=1e-7) if whole else clock.machine
    state = state_holding(clock, nothing(clock)) if risen(name) else clock.state_at_rest()
    steps = round(given.duration_s * rate_hz)
    moments = np.arange(-BEFORE, steps + AFTER) / rate_hz
    direct = {part.name: float(getattr(part, "dc_v", 0.0)) for part in rest.system.primitives}
    changes = [sampled(given.waveforms[source], moments) - direct[source] for source in sources]
    told = np.zeros((steps, 1))
    done = run(machine, state, np.array(changes), clock.asked_rows, told)
    assert done == steps, f"{name}: stopped at step {done} of {steps}"
    assert state.counts[FAILED] == 0 and state.counts[NOT_FINITE] == 0
    volts = np.append(rest_of_case(name).volts(given.output), told[:, 0] + clock.asked_rest_v[0])
    return Played(
        step_s=1.0 / rate_hz,
        volts=volts,
        parts=int(state.counts[PARTS]),
        iterations=int(state.counts[ITERATIONS]),
    )


def error_v(name: str, rate_hz: float, whole: bool = False) -> Floats:
    """Engine less reference at the moments both tell."""
    given, found = case(name), played(name, rate_hz, whole)
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


def rms_error_db(name: str, rate_hz: float, whole: bool = False) -> float:
    """The root mean square of the error against that of the signal without its mean [dB]."""
    wanted = reference_v(name)
    power = float(np.mean((wanted - wanted.mean()) ** 2))
    return float(10.0 * np.log10(np.mean(error_v(name, rate_hz, whole) ** 2) / power))


def longest_alternation(volts: Floats, floor_v: float) -> int:
    """The longest run of steps that go up and down in turn by more than a floor: what ringing looks like."""
    moves = np.diff(volts)
    turns = (moves[1:] * moves[:-1] < 0.0) & (np.minimum(np.abs(moves[1:]), np.abs(moves[:-1])) > floor_v)
    longest = run_length = 0
    for turn in turns:
        run_length = run_length + 1 if turn else 0
        longest = max(longest, run_length)
    return longest


def crossings_s(volts: Floats, level_v: float, rate_hz: float) -> Floats:
    """When the voltage rises through a level, between samples by a straight line."""
    at = np.flatnonzero((volts[:-1] < level_v) & (volts[1:] >= level_v))
    return (at + (level_v - volts[at]) / (volts[at + 1] - volts[at])) / rate_hz


def main(names: list[str]) -> None:
    """Print the errors of cases, all when none is named, at 1 to 8 times 48 kHz: rms and largest [dB]."""
    for name in names or [made().name for made in CASES]:
        told = []
        for times in (1, 2, 4, 8):
            try:
                rms, largest = (one(name, 48000.0 * times) for one in (rms_error_db, error_db))
                told.append(f"{rms:7.1f} ({largest:6.1f})")
            except AssertionError as stopped:
                told.append(str(stopped))
        print(f"{name:20s}", *told)


if __name__ == "__main__":
    main(sys.argv[1:])
