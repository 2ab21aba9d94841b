"""How long recognition takes on the echo pedal, as a ratio measured in one run, and against its goal.

Run it as a script; it prints and judges nothing. The ratio compares the whole set of recognisers with the
least any
recogniser must do: looking at every two-terminal part of the circuit once per stage kind.
"""

from statistics import median
from time import perf_counter

from pedalwright.analysis.memo import Analysis
from pedalwright.circuits import text
from pedalwright.notation import read_text
from pedalwright.stages.recognise import bench_for, recognise, stage_kinds

GOAL_MS = 5.0
ROUNDS = 40
CIRCUIT = "lantern-echo"


def least_work(analysis: Analysis) -> int:
    """Every two-terminal part looked at once per kind."""
    return sum(1 for _ in stage_kinds() for leaf in analysis.view.leaves if leaf.a != leaf.b)


def median_ms(work: object, *arguments: object) -> float:
    """Median time of a call in milliseconds."""
    assert callable(work)
    times = []
    for _ in range(ROUNDS):
        start = perf_counter()
        work(*arguments)
        times.append((perf_counter() - start) * 1e3)
    return median(times)


def main() -> None:
    """Print the figures."""
    circuit = read_text(text(CIRCUIT))
    known = Analysis(circuit)
    recognise(known.bench)

    def whole() -> None:
        recognise(bench_for(circuit))

    taken, least = median_ms(whole), median_ms(least_work, known)
    print(f"recognition, {CIRCUIT}, {len(circuit.parts)} parts, {len(stage_kinds())} kinds")
    print(f"  from circuit to stages {taken:.2f} ms (goal {GOAL_MS} ms)")
    print(f"  looking once {least:.2f} ms; ratio {taken / least:.0f}")


if __name__ == "__main__":
    main()
