"""How long the noise of a circuit takes: the level alone, everything `noise` tells, and the verb as a whole
process beside the bare start of Python with its imports. Prints; judges nothing.
"""

import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median
from subprocess import run
from tempfile import TemporaryDirectory
from time import perf_counter

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise import noise_answers, played_noise

CIRCUITS = ("lantern-echo", "grainloft-reverb", "kilnhouse-drive")
ROUNDS = 5


def seconds(work: Callable[[], object]) -> float:
    """The median of some runs, after one that does not count."""
    work()
    times = []
    for _ in range(ROUNDS):
        begun = perf_counter()
        work()
        times.append(perf_counter() - begun)
    return median(times)


def solved(name: str) -> Analysis:
    """A circuit with its rest point and stages known."""
    analysis = read_text(circuits.text(name))
    analysis.stages  # noqa: B018  (recognised before anything is timed)
    return analysis


def main() -> None:
    """Print the figures."""
    for name in CIRCUITS:
        analysis = solved(name)
        print(f"{name}: {analysis.system.size} unknowns")
        print(f"  the level alone         {1e3 * seconds(partial(played_noise, analysis)):8.1f} ms")
        print(f"  with parts and cures    {1e3 * seconds(partial(noise_answers, analysis)):8.1f} ms")
    with TemporaryDirectory() as folder:
        file = Path(folder) / "echo.pedal"
        file.write_text(circuits.text(CIRCUITS[0]), encoding="utf-8")
        verb = [sys.executable, "-m", "pedalwright", "noise", str(file)]
        bare = [sys.executable, "-c", "import numpy, lark"]
        whole = seconds(lambda: run(verb, check=True, capture_output=True))
        started = seconds(lambda: run(bare, check=True, capture_output=True))
    print(f"noise, {CIRCUITS[0]}, whole process: {whole:.2f} s")
    print(f"  Python with numpy and lark {started:.2f} s; ratio {whole / started:.1f}")


if __name__ == "__main__":
    main()
