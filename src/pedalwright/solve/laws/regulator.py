"""A series regulator: the smaller of its set voltage and input less dropout, never below zero, smoothly
joined.
"""

from pedalwright.circuit.primitives import Primitive, RegulatedOutput
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.laws.exponential import soft_positive
from pedalwright.solve.laws.law import BRANCH, GROUND, Conditions, Law, Parameters, SmallTerm, no_limit

KNEE_V = 0.02
"""width of the rounded corner where regulation is lost; house choice"""


def _parameters(part: Primitive) -> dict[str, float]:
    assert isinstance(part, RegulatedOutput)
    return {"volts": part.volts, "dropout_v": part.dropout_v}


def _evaluate(w: FloatArray, p: Parameters, conditions: Conditions) -> tuple[FloatArray, FloatArray]:
    offered, offered_slope = soft_positive(w[..., 0] - p["dropout_v"], KNEE_V)
    missing, missing_slope = soft_positive(p["volts"] - offered, KNEE_V)
    term = missing - p["volts"]
    slope = -missing_slope * offered_slope
    return term[..., None], slope[..., None, None]


def _start(p: Parameters, conditions: Conditions) -> FloatArray:
    return (p["volts"] + p["dropout_v"] + 1.0)[..., None]


LAW = Law(
    kind=RegulatedOutput,
    controls=(("input", "ground_pin"),),
    outputs=((BRANCH, GROUND),),
    parameters=_parameters,
    evaluate=_evaluate,
    start=_start,
    limit=no_limit,
    small=(
        SmallTerm(
            suffix="line",
            rows=(BRANCH, GROUND),
            columns=("input", "ground_pin"),
            value=lambda g: g[..., 0, 0],
        ),
    ),
)
