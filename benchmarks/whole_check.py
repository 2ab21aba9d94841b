"""How long `check` on the echo pedal takes as a whole process, beside the bare start of Python with its
imports, and which rules cost most.

Run it as a script; it prints and judges nothing. Two processes are timed in turn, so that noise meets both
alike: the check, and Python importing only numpy and lark, which any tool of this kind must. The rules are
then timed in this process, one after the other over one survey: what several share is charged to the first.
"""

import sys
from contextlib import suppress
from pathlib import Path
from statistics import median
from subprocess import run
from tempfile import TemporaryDirectory
from time import perf_counter

from pedalwright.analysis.memo import Analysis
from pedalwright.circuits import text
from pedalwright.notation import read_text
from pedalwright.review.catalogue import rules
from pedalwright.review.rule import CannotSay
from pedalwright.review.survey import Survey

GOAL_S = 0.7
ROUNDS = 9
CIRCUIT = "lantern-echo"
COSTLIEST = 12


def seconds(command: list[str]) -> float:
    """Wall time of one process; a status of 1 is an answer, too."""
    start = perf_counter()
    status = run(command, check=False, capture_output=True).returncode
    taken = perf_counter() - start
    if status > 1:
        raise RuntimeError(f"{command} ended with {status}")
    return taken


def costs() -> list[tuple[float, str]]:
    """Seconds that each rule takes on the echo pedal, the costliest first."""
    analysis = Analysis(read_text(text(CIRCUIT)), text(CIRCUIT))
    analysis.stages  # noqa: B018  (recognised before anything is timed)
    survey = Survey(analysis)
    found = []
    for rule in rules():
        start = perf_counter()
        with suppress(CannotSay):
            tuple(rule.look(survey))
        found.append((perf_counter() - start, f"{rule.code} {rule.name}"))
    return sorted(found, reverse=True)


def main() -> None:
    """Print the figures."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / "echo.pedal"
        file.write_text(text(CIRCUIT), encoding="utf-8")
        check = [sys.executable, "-m", "pedalwright", "check", str(file)]
        bare = [sys.executable, "-c", "import numpy, lark"]
        pairs = [(seconds(check), seconds(bare)) for _ in range(ROUNDS)]
    checked, started = (median(times) for times in zip(*pairs, strict=True))
    print(f"check, {CIRCUIT}, whole process, {len(rules())} rules")
    print(f"  {checked:.2f} s (goal {GOAL_S} s)")
    print(f"  Python with numpy and lark {started:.2f} s; ratio {checked / started:.1f}")
    every = costs()
    print(f"rules alone, first run in this process: {sum(cost for cost, _ in every):.2f} s; the costliest:")
    for cost, name in every[:COSTLIEST]:
        print(f"  {1000 * cost:5.0f} ms  {name}")


if __name__ == "__main__":
    main()
