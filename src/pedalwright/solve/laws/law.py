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


def own_slope(suffix: str, pair: Pair, output: int = 0, control: int = 0) -> SmallTerm:
    """A conductance between two terminals: the slope of their own current against their own voltage."""
    return SmallTerm(suffix=suffix, rows=pair, columns=pair, value=lambda g: g[..., output, control])


def transistor_slopes(
    *, through: Pair, near: Pair, far: Pair, suffixes: tuple[str, str, str, str]
) -> tuple[SmallTerm, ...]:
    """The hybrid-pi of a law whose controls are the pairs `near` and `far`, its outputs `through` and both.

    Suffixes name transconductance, output conductance, and the conductances of the near and far pair.
    """
    steering, output, near_name, far_name = suffixes
    return (
        SmallTerm(suffix=steering, rows=through, columns=near, value=lambda g: g[..., 0, 0] + g[..., 0, 1]),
        SmallTerm(suffix=output, rows=through, columns=through, value=lambda g: -g[..., 0, 1]),
        own_slope(near_name, near, output=1, control=0),
        own_slope(far_name, far, output=2, control=1),
    )
