"""Whether a rest point is one a circuit would stay at, and the way off it when it is not.

A Schmitt trigger has a rest point between its two, like a pencil on its tip: true to the equations, never met
on a bench. An oscillator has no other. Both show a mode that grows.
"""

from dataclasses import replace

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.certificate import ERROR_BOUND, RESIDUAL_BOUND
from pedalwright.solve.equations import Aid, Controls, Equations
from pedalwright.solve.ladder import Settings, Solved, quality
from pedalwright.solve.newton import State, newton

NET_FARADS = 1e-15
"""given to every net, so that one without any capacitance still takes time to move"""
INFINITE = 1e-12
"""modes this much faster than the slowest are beyond what can be told from rounding"""


def growing(batch: Equations, x: FloatArray) -> FloatArray | None:
    """The direction (size,) in which the first variant leaves the rest point `x` (1, size + 1), or None when
    it stays.

    J x + C dx/dt = 0 grows where an eigenvalue of J^-1 C, which is minus a time constant, has a negative real
    part.
    """
    system = batch.system
    if not any("dc_gain" in parameters for parameters in batch.parameters):
        return None
    slow = system.derivatives(system.values[None])
    slow[0, range(system.node_count), range(system.node_count)] += NET_FARADS
    with np.errstate(all="ignore"):
        _, jacobian = batch.evaluate(x, batch.controls(x), Aid())
        try:
            constants, shapes = np.linalg.eig(np.linalg.solve(jacobian[0], slow[0]))
        except np.linalg.LinAlgError:
            return None
    told = np.abs(constants) > INFINITE * np.abs(constants).max(initial=0.0)
    wrong = told & (constants.real < -1e-6 * np.abs(constants))
    if not wrong.any():
        return None
    fastest = np.flatnonzero(wrong)[np.argmin(np.abs(constants[wrong]))]
    return np.asarray(shapes[:, fastest].real, dtype=np.float64)


def tip_over(batch: Equations, solved: Solved, direction: FloatArray, settings: Settings) -> Solved | None:
    """Another, certified rest point on either side of an unstable one, at which nothing grows; None when
    there is none.
    """
    nodes, here = batch.system.node_count, solved.state
    reach = np.abs(direction[:nodes]).max(initial=0.0)
    if not reach > 0.0:
        return None
    for side in (1.0, -1.0):
        pushed = here.x.copy()
        pushed[0, : batch.system.size] += side * batch.conditions.supply_guess_v / reach * direction
        start = State(x=pushed, w=_beyond(batch, pushed, here), settled=here.settled)
        with np.errstate(all="ignore"):
            state = newton(batch, start, Aid(), settings.steps_straight)
        x, residual, correction = quality(batch, state)
        state = replace(state, x=x)
        fine = residual[0] <= RESIDUAL_BOUND and correction[0] <= ERROR_BOUND
        if fine and growing(batch, state.x) is None:
            methods = (f"{solved.methods[0]}, then off an unstable balance",)
            return Solved(state=state, residual_a=residual, correction=correction, methods=methods)
    return None


def _beyond(batch: Equations, pushed: FloatArray, here: State) -> Controls:
    """The amplifiers evaluated where the push puts them, past their rails; everything else where it was."""
    triples = zip(batch.controls(pushed), here.w, batch.parameters, strict=True)
    return tuple(new if "dc_gain" in parameters else old for new, old, parameters in triples)
