"""What a nonlinear law is: controlling voltages in, currents (or a branch equation's term) and slopes out.

A law sees many parts of one kind at once. Controls `w` have shape (variants, parts, controls) and are
voltages between two terminals, turned round for p-type parts; outputs `i` have shape (variants, parts,
outputs), each flowing from the first to the second terminal of its pair; slopes `g` have shape (variants,
parts, outputs, controls). Parameters have shape (parts,) or (variants, parts). The terminal BRANCH is the
part's own equation, GROUND is ground.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from pedalwright.circuit.primitives import Primitive
from pedalwright.solve.arrays import FloatArray

BRANCH = "branch"
GROUND = "ground"
Pair = tuple[str, str]
Parameters = Mapping[str, FloatArray]


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What the laws depend on besides the circuit: temperature, and the aids of the solver.

    `gain_cap` limits the gain of amplifiers while the solver steps it up, `straight` takes their rails away;
    `supply_guess_v` is a first guess only.
    """

    thermal_v: float
    gain_cap: float = float("inf")
    straight: bool = False
    supply_guess_v: float = 9.0


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallTerm:
    """A named small-signal parameter: `value` picks it out of the slopes; `inverse` when it is printed as its
    inverse.
    """

    suffix: str
    rows: Pair
    columns: Pair
    value: Callable[[FloatArray], FloatArray]
    inverse: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Law:
    """One nonlinear primitive kind.

    `limit` keeps a Newton step from running away; `start` gives the first controls.
    """

    kind: type[Primitive]
    controls: tuple[Pair, ...]
    outputs: tuple[Pair, ...]
    parameters: Callable[[Primitive], dict[str, float]]
    evaluate: Callable[[FloatArray, Parameters, Conditions], tuple[FloatArray, FloatArray]]
    start: Callable[[Parameters, Conditions], FloatArray]
    limit: Callable[[FloatArray, FloatArray, Parameters, Conditions], FloatArray]
    small: tuple[SmallTerm, ...]


def no_limit(new: FloatArray, old: FloatArray, parameters: Parameters, conditions: Conditions) -> FloatArray:
    """For laws gentle enough to be followed as they are."""
    return new
