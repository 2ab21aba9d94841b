"""The reference runs of the cases: made on the spot when quick, else read from the folder `data`.

``python -m tests.solve.time.keeping [NAME ...]`` makes the kept ones again.
"""

import sys
import time
from functools import cache
from pathlib import Path

import numpy as np

from pedalwright.solve.rest import OperatingPoint, operating_point
from pedalwright.solve.system import compile_system
from tests.solve.time.cases import CASES
from tests.solve.time.one_case import Case
from tests.solve.time.reference import USUAL, Circuit, Tolerances
from tests.solve.time.reference_laws import Floats

DATA = Path(__file__).parent / "data"


@cache
def case(name: str) -> Case:
    """The case of a name; KeyError when there is none."""
    return {found.name: found for found in (make() for make in CASES)}[name]


@cache
def rest_of_case(name: str) -> OperatingPoint:
    """The rest point where a case begins, with every source at its direct value."""
    return operating_point(compile_system(case(name).parts))


def computed(name: str, tolerances: Tolerances = USUAL) -> Floats:
    """The output (moments,) [V] of a case, integrated now."""
    given = case(name)
    circuit = Circuit(given.parts)
    start = circuit.states_of(rest_of_case(name))
    found = circuit.run(
        start, given.waveforms, given.times_s, [given.output], breaks_s=given.breaks_s, tolerances=tolerances
    )
    return found.volts[:, 0]


@cache
def reference_v(name: str) -> Floats:
    """The output (moments,) [V] of a case: integrated, or as kept."""
    if case(name).quick:
        return computed(name)
    with np.load(DATA / f"{name}.npz") as kept:
        return np.array(kept["volts"])


def main(names: list[str]) -> None:
    """Compute and keep cases, all that are kept when none is named."""
    for name in names or [made.name for made in (make() for make in CASES) if not made.quick]:
        begin = time.perf_counter()
        volts = computed(name)
        print(f"{name}: {time.perf_counter() - begin:.1f} s, {volts.min():.6f} to {volts.max():.6f} V")
        if not case(name).quick:
            np.savez_compressed(DATA / f"{name}.npz", volts=volts)


if __name__ == "__main__":
    main(sys.argv[1:])
