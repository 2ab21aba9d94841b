"""How long `walk` on the echo pedal takes as a whole process, beside the bare start of Python with its
imports.

Run it as a script; it prints and judges nothing. Two processes are timed in turn, so that noise meets both
alike: the
walk, and Python importing only numpy and lark, which any tool of this kind must.
"""

import sys
from pathlib import Path
from statistics import median
from subprocess import run
from tempfile import TemporaryDirectory
from time import perf_counter

from pedalwright.circuits import text

GOAL_S = 0.6
ROUNDS = 9
CIRCUIT = "lantern-echo"


def seconds(command: list[str]) -> float:
    """Wall time of one process."""
    start = perf_counter()
    run(command, check=True, capture_output=True)
    return perf_counter() - start


def main() -> None:
    """Print the figures."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "echo.pedal"
        file.write_text(text(CIRCUIT), encoding="utf-8")
        walk = [sys.executable, "-m", "pedalwright", "walk", str(file)]
        bare = [sys.executable, "-c", "import numpy, lark"]
        pairs = [(seconds(walk), seconds(bare)) for _ in range(ROUNDS)]
    walked, started = (median(times) for times in zip(*pairs, strict=True))
    print(f"walk, {CIRCUIT}, whole process")
    print(f"  {walked:.2f} s (goal {GOAL_S} s)")
    print(f"  Python with numpy and lark {started:.2f} s; ratio {walked / started:.1f}")


if __name__ == "__main__":
    main()
