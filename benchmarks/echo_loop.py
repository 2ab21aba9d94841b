"""How fast the echo loop is, beside plain NumPy on the same circuits in the same run. Prints; judges nothing.

First the loop of a two-chip reverb at 500 frequencies, from the circuit made linear: plain NumPy solves
the stacked matrices. Then where one knob runs the loop away in 2,000 builds: plain NumPy solves every
build at the same frequencies for each step of the same bisection; it is timed on a few builds and scaled
up.
"""

from collections.abc import Callable
from dataclasses import replace
from statistics import median
from time import perf_counter

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.circuits import text
from pedalwright.echo.builds import HALVINGS, LISTENED_HZ, SCAN, build_many
from pedalwright.echo.chip import time_pin
from pedalwright.echo.cut import CutCircuit, cut
from pedalwright.echo.loop import gain_from_db, loop_of, usual_frequencies
from pedalwright.echo.taps import taps
from pedalwright.echo.tolerance import tolerances
from pedalwright.echo.track import track_of
from pedalwright.notation import read_text

LOOP_GOAL_S, BUILDS_GOAL_S = 0.020, 2.0
BUILDS, PLAIN_BUILDS, ROUNDS = 2000, 4, 9


def bench(name: str) -> tuple[Analysis, CutCircuit, np.ndarray]:
    circuit = read_text(text(name))
    analysis = Analysis(circuit, "")
    chips = analysis.view.parts_of("echo-chip")
    assert analysis.small is not None and circuit.input is not None and circuit.output is not None
    found = taps(chips, analysis.primitives, analysis.small)
    delays = np.array([time_pin(chip, analysis.rest).delay_s[0] for chip in chips])
    return (
        analysis,
        cut(analysis.small, found, input_net=circuit.input.net, output_net=circuit.output.net),
        delays,
    )


def seconds(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    work()
    times = []
    for _ in range(rounds):
        start = perf_counter()
        work()
        times.append(perf_counter() - start)
    return median(times)


def told(what: str, ours_s: float, goal_s: float, plain_s: float) -> None:
    print(what)
    print(
        f"  {ours_s * 1e3:.1f} ms (goal {goal_s * 1e3:.0f} ms); plain NumPy {plain_s * 1e3:.1f} ms; ", end=""
    )
    print(f"{plain_s / ours_s:.1f} times")


def loop_of_two_chips() -> None:
    _, circuit, delays = bench("grainloft-reverb")
    frequencies = usual_frequencies(500)
    gains = np.full(len(delays), gain_from_db(-0.5))
    s = 2j * np.pi * frequencies

    def ours() -> object:
        return loop_of(replace(circuit), delays, gains, frequencies)

    def known() -> object:
        return circuit.corner(frequencies).matrices(gains[None])

    def plain() -> object:
        return circuit.plain(circuit.small.g, circuit.small.c, s)

    plain_s = seconds(plain)
    told(
        "loop of two chips, 500 frequencies, planned and certified each time",
        seconds(ours),
        LOOP_GOAL_S,
        plain_s,
    )
    told("the same with the plan made, not certified", seconds(known), LOOP_GOAL_S, plain_s)


def runaway_of_many_builds() -> None:
    analysis, circuit, _ = bench("lantern-echo")
    track = track_of(analysis.circuit.by_ref["REPEATS"])
    own = replace(circuit, halves=track.halves)
    shares = tolerances(analysis.circuit.parts, analysis.primitives, own.small.names, "REPEATS")
    small, s = own.small, 2j * np.pi * LISTENED_HZ

    def ours() -> object:
        return build_many(own, track, shares, count=BUILDS)

    def plain() -> object:
        rng = np.random.default_rng(1)
        for _ in range(PLAIN_BUILDS):
            changes = {
                name: np.array([small.parameter(name)]) * rng.uniform(0.9, 1.1, 1)
                for name in shares
                if name in small.names
            }
            for step in range(SCAN + HALVINGS):
                position = track.ohms_at(10.0 * step / (SCAN + HALVINGS))
                halves = {
                    half.name: np.array([ohms]) for half, ohms in zip(track.halves, position, strict=True)
                }
                one = small.changed(changes | halves)
                own.plain(one.g[0], one.c[0], s)
        return None

    plain_s = seconds(plain, 1) * BUILDS / PLAIN_BUILDS
    told(f"runaway of {BUILDS} builds of one loop", seconds(ours, 3), BUILDS_GOAL_S, plain_s)


if __name__ == "__main__":
    loop_of_two_chips()
    runaway_of_many_builds()
