"""How fast a thousand builds are, beside a loop that solves them one by one. Prints; asserts nothing.

The circuit is the package's echo pedal, its rest point known. The loop solves the same equations with the
same solver and the same starting point, one build at a time.
"""

import statistics
import time
from collections.abc import Callable

import numpy as np

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.voltages import compare_readings, resting_bands, voltage_table
from pedalwright.analysis.voltages.population import solve
from pedalwright.analysis.voltages.spreads import SEED, Draws, drawn

BUILDS = 1000
REPEATS = 5
PASTED = "VIN 8.93 U2: 1=4.97 2=2.48 3=0 6 2,29V U1 pin 1 - 4.2 pin 7: 4.1"


def seconds(work: Callable[[], object], repeats: int = REPEATS) -> float:
    """The median of some runs, after one that does not count."""
    work()
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def one_by_one(analysis: Analysis) -> np.ndarray:
    """Every build by itself."""
    builds = drawn(analysis, Draws(SEED, BUILDS), {})
    alone = [
        solve(analysis.system, builds.some(place, place + 1), analysis.rest.x) for place in range(BUILDS)
    ]
    return np.concatenate([people.x for people in alone])


def main() -> None:
    for name in ("lantern-echo", "grainloft-reverb", "plumtree-fuzz", "duckpond-chorus"):
        analysis = read_text(circuits.text(name))
        size = analysis.system.size
        together = seconds(lambda analysis=analysis: resting_bands(analysis, builds=BUILDS))
        whole = seconds(lambda analysis=analysis: voltage_table(analysis, builds=BUILDS))
        print(f"{name}: {size} unknowns, {BUILDS} builds")
        print(f"  bands alone             {together * 1e3:8.1f} ms")
        print(f"  the whole table         {whole * 1e3:8.1f} ms")
    analysis = read_text(circuits.text("lantern-echo"))
    together = seconds(lambda: resting_bands(analysis, builds=BUILDS))
    alone = seconds(lambda: one_by_one(analysis), repeats=1)
    print(f"lantern-echo, {BUILDS} builds one by one: {alone * 1e3:.0f} ms")
    print(f"  {alone / together:.0f} times as long as all together")
    table = voltage_table(analysis)
    print(f"a pasted list compared: {seconds(lambda: compare_readings(table, PASTED)) * 1e3:.1f} ms")


if __name__ == "__main__":
    main()
