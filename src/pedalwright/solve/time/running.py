"""Running a machine over many steps without anything else going on, compiled.

For circuits that only have inputs.
"""

from pedalwright.solve.arrays import FloatArray, IndexArray
from pedalwright.solve.compiled import compiled
from pedalwright.solve.time.steps import step
from pedalwright.solve.time.tables import Machine, State

BEFORE, AFTER = 1, 2
"""samples a polynomial needs before its step, and after it"""


@compiled
def cubic(u0: float, u1: float, u2: float, u3: float, into: FloatArray, drive: int) -> None:
    """The polynomial through four samples (Lagrange), into a row.

    For the step from the second to the third.
    """
    into[drive, 0] = u1
    into[drive, 1] = -u0 / 3.0 - 0.5 * u1 + u2 - u3 / 6.0
    into[drive, 2] = 0.5 * (u0 + u2) - u1
    into[drive, 3] = (u3 - u0) / 6.0 + 0.5 * (u1 - u2)


@compiled
def run(m: Machine, s: State, signals: FloatArray, asked: IndexArray, told: FloatArray) -> int:
    """Steps driven by `signals` (drives, steps + 3), writing what the rows `asked` are after each into `told`
    (steps, asked). Sample k + 1 is the drive where step k begins. Gives how many steps were made.
    """
    for n in range(len(told)):
        for d in range(m.drives):
            cubic(signals[d, n], signals[d, n + 1], signals[d, n + 2], signals[d, n + 3], s.drive, d)
        if not step(m, s):
            return n
        for k in range(len(asked)):
            told[n, k] = s.rows[asked[k]]
    return len(told)
