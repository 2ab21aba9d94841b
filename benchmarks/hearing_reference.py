"""What SciPy makes of the circuits that are heard: their linear part, and their full equations by solve_ivp.

Gives figures to hearing.py; run by itself it does nothing. The full equations are the second opinion of the
tests, at the loosest tolerance that still keeps the error 80 dB below the signal.
"""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from time import perf_counter

import numpy as np
from scipy.signal import butter, dlsim, lfilter, sosfilt

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from pedalwright.circuit.primitives import DelayedCopy, Primitive, VoltageSource
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import read_text
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from tests.solve.time.reference import Circuit, Refused, Tolerances

GOAL = 1e-4
"""80 dB below the signal"""
TIGHT = Tolerances(1e-7, 1e-8)
LOOSE = (1e-3, 3e-4, 1e-4, 3e-5, 1e-5, 3e-6, 1e-6)
Wave = Callable[[float], float]


@dataclass(frozen=True)
class Exact:
    """One run of solve_ivp: how long a second of sound takes, at which tolerance, its error and effort."""

    seconds_a_second: float
    relative: float
    error: float
    calls_a_second: float


def silent_chips(parts: tuple[Primitive, ...]) -> list[Primitive]:
    """The primitives with the chips' delayed outputs standing still: solve_ivp cannot look back in time."""

    def one(part: Primitive) -> Primitive:
        if not isinstance(part, DelayedCopy):
            return part
        return VoltageSource(
            owner=part.owner, name=part.name, plus=part.output, minus=part.reference, dc_v=0.0
        )

    return [one(part) for part in parts]


def by_solve_ivp(text: str, wave: Wave, seconds: float) -> Exact:
    """The circuit's full equations for a stretch of sound, tightly once, then as loosely as will do."""
    circuit_text = read_text(text)
    assert circuit_text.output is not None
    parts = silent_chips(expand_circuit(circuit_text))
    circuit = Circuit(parts)
    start = circuit.states_of(operating_point(compile_system(parts)))
    moments = np.arange(round(seconds * 48000) + 1) / 48000.0
    net = circuit_text.output.net

    def run(tolerances: Tolerances) -> tuple[np.ndarray, float, int]:
        begin = perf_counter()
        found = circuit.run(start, {"input": wave}, moments, [net], tolerances=tolerances)
        return found.volts[:, 0], perf_counter() - begin, found.evaluations

    exact, took_s, calls = run(TIGHT)
    for relative in LOOSE:
        try:
            volts, new_s, new_calls = run(Tolerances(relative, relative / 10.0))
        except Refused:  # its long steps led where no solution is found
            continue
        error = float(np.std(volts - exact) / np.std(exact))
        if error < GOAL:
            return Exact(new_s / seconds, relative, error, new_calls / seconds)
    return Exact(took_s / seconds, TIGHT.relative, 0.0, calls / seconds)


def linear_seconds(states: int, samples: np.ndarray) -> dict[str, float]:
    """How long SciPy takes to filter samples with as many states, in seconds; dlsim on a tenth, scaled up."""
    sections = butter(states, 0.2, output="sos")
    numerator, denominator = np.ones(states + 1) / (states + 1), np.append(1.0, np.zeros(states))
    rng = np.random.default_rng(1)
    a = np.linalg.qr(rng.standard_normal((states, states)))[0] * 0.9
    space = (a, rng.standard_normal((states, 1)), rng.standard_normal((1, states)), np.zeros((1, 1)), 1.0)
    few = samples[: len(samples) // 10]
    return {
        "sosfilt": _seconds(lambda: sosfilt(sections, samples)),
        "lfilter": _seconds(lambda: lfilter(numerator, denominator, samples)),
        "dlsim": 10.0 * _seconds(lambda: dlsim(space, few), 1),
    }


def _seconds(work: Callable[[], object], rounds: int = 3) -> float:
    times = []
    for _ in range(rounds):
        begin = perf_counter()
        work()
        times.append(perf_counter() - begin)
    return min(times)
