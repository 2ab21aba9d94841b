"""How long the reader takes for 60 lines, as a ratio measured in one run, and against its goal.

Run it as a script; it prints and judges nothing, for wall time depends on the machine and on what else it
does. The ratio compares reading with the least any reader must do: splitting the same lines into words.
"""

import sys
from statistics import median
from subprocess import run
from time import perf_counter

from pedalwright.notation import examine
from pedalwright.notation.grammar import parse_line

LINES = 60
GOAL_MS = 5.0
ROUNDS = 60
HEAD = """\
pedal  Bench
supply VIN 9V wall
input  IN pickup
output OUT 1M
part   U1 dual-opamp TL072 v+=VA v-=gnd
part   U2 echo-chip supply=V5
part   U3 regulator 5V in=VA out=V5 gnd=gnd
knob   TIME 50k linear at 5
VIN > D1 1N5817 > R1 33 > VA > C1 100u (electrolytic, 16V) > gnd
U2.6 > R2 2k2 > TIME.3
TIME.2 > TIME.1 > gnd
want   delay.min < 60ms
"""
STAGE = """\
section Stage {0}
N{0} > C{1} 47n > R{1} 220k > M{0}
M{0} > R{2} 470k || C{2} 22p > N{3}   # feedback
N{0} > R{4} 1M > gnd
"""


def sixty_lines() -> str:
    """A text of `LINES` lines: ports and chips, then one stage after the other."""
    stages = (STAGE.format(n, 3 * n + 10, 3 * n + 11, n + 1, 3 * n + 12) for n in range(LINES))
    return "\n".join((HEAD + "".join(stages)).split("\n")[:LINES]) + "\n"


def read_anew(text: str) -> None:
    """Read as if no line had been seen before."""
    parse_line.cache_clear()
    examine(text)


def split_only(text: str) -> int:
    """The least work: every line into words."""
    return sum(len(line.split("#", 1)[0].split()) for line in text.split("\n"))


def median_ms(work: object, text: str) -> float:
    """Median time of `work(text)` in milliseconds."""
    assert callable(work)
    times = []
    for _ in range(ROUNDS):
        start = perf_counter()
        work(text)
        times.append((perf_counter() - start) * 1e3)
    return median(times)


def first_ms() -> float:
    """Importing the reader and reading once, in a fresh process."""
    code = (
        "import sys, time; text = sys.stdin.read(); start = time.perf_counter();"
        "from pedalwright.notation import examine; examine(text); print((time.perf_counter() - start) * 1e3)"
    )
    done = run([sys.executable, "-c", code], input=sixty_lines(), capture_output=True, text=True, check=True)
    return float(done.stdout)


def main() -> None:
    """Print the figures."""
    text = sixty_lines()
    reading = examine(text)
    assert reading.circuit is not None, reading.remarks
    anew, again, split = (median_ms(work, text) for work in (read_anew, examine, split_only))
    parts, first = len(reading.circuit.parts), min(first_ms() for _ in range(3))
    print(f"reading {LINES} lines, {parts} parts, no line seen before: {anew:.2f} ms (goal {GOAL_MS} ms)")
    print(f"reading them again, as after an edit: {again:.2f} ms; ratio {again / anew:.2f}")
    print(f"splitting the same lines into words: {split:.3f} ms; ratio {anew / split:.0f}")
    print(f"first reading of a process, imports and parser included: {first:.0f} ms")


if __name__ == "__main__":
    main()
