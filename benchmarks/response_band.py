"""How fast the tolerance band of a response is, beside a loop that answers its builds one by one.

Prints; asserts nothing.

The circuits are the package's, their rest points known. The loop brings the same builds to rest together, and
makes each linear and answers it by itself.
"""

import statistics
import time
from collections.abc import Callable

import numpy as np

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.response_band.bands import response_band
from pedalwright.analysis.response_band.builds import Builds, capacitances
from pedalwright.analysis.response_table import Asked
from pedalwright.analysis.voltages.bands import build_many
from pedalwright.analysis.voltages.spreads import SEED, Draws
from pedalwright.devices.ports import INPUT
from pedalwright.solve.answer import answer_many
from pedalwright.solve.response import Drive, drive_vector

BUILDS = 400
ASKED = Asked(points=60)
REPEATS = 5


def seconds(work: Callable[[], object], repeats: int = REPEATS) -> float:
    """The median of some runs, after one that does not count."""
    work()
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return statistics.median(times)


def one_by_one(analysis: Analysis) -> None:
    """Every build made linear and answered by itself."""
    assert analysis.small is not None
    people = build_many(analysis, {}, builds=BUILDS, seed=SEED)
    builds = Builds(
        people=people, changes={**people.versions.changes, **capacitances(analysis, Draws(SEED, BUILDS))}
    )
    drive, s = drive_vector(analysis.small, Drive(source=INPUT)), 2j * np.pi * ASKED.frequencies()
    for place in range(BUILDS):
        answer_many(analysis.small, builds.linear(analysis.small, slice(place, place + 1)), drive, s)


def main() -> None:
    for name in ("lantern-echo", "grainloft-reverb", "plumtree-fuzz", "three-shelves-tone"):
        analysis = read_text(circuits.text(name))
        size = analysis.system.size
        together = seconds(lambda analysis=analysis: response_band(analysis, asked=ASKED, builds=BUILDS))
        alone = seconds(lambda analysis=analysis: one_by_one(analysis), repeats=1)
        print(f"{name}: {size} unknowns, {BUILDS} builds, {ASKED.points} frequencies")
        print(f"  all together            {together * 1e3:8.1f} ms")
        print(f"  one by one              {alone * 1e3:8.1f} ms, {alone / together:.1f} times as long")


if __name__ == "__main__":
    main()
