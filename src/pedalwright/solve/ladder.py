"""The ways to a rest point, tried one after another on the variants that still lack one.

Newton with limited steps, amplifiers first without rails; the amplifiers' gain in steps; a falling
conductance from every net to ground; rising sources; and inertia that is taken away (pseudo-transient). Each
way is a generator of aids and gain caps; every way ends with the equations as they stand, which alone decide.
"""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pedalwright.solve.arrays import FloatArray, IndexArray
from pedalwright.solve.certificate import ERROR_BOUND, RESIDUAL_BOUND
from pedalwright.solve.equations import Aid, Equations
from pedalwright.solve.newton import State, newton

FULL = float("inf")
GAIN_STEPS = (30.0, 3000.0, FULL)


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How hard to try. Every loop is bounded, so every solution ends."""

    steps_straight: int = 25
    steps_each: int = 60
    conductance_decades: int = 12
    source_steps: int = 20
    inertia_steps: int = 120
    steps_of_inertia: int = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One rung: its name in certificates and what it does to the variants given."""

    name: str
    run: Callable[[Equations, State, Settings], State]


def _by_gain(equations: Equations, start: State, settings: Settings, aid: Aid) -> State:
    state = start
    for cap in GAIN_STEPS if _has_amplifier(equations) else (FULL,):
        state = newton(equations.with_gain_cap(cap), state, aid, settings.steps_each)
    return state


def _has_amplifier(equations: Equations) -> bool:
    return any("dc_gain" in parameters for parameters in equations.parameters)


def _warm(equations: Equations, start: State, settings: Settings) -> State:
    return newton(equations, start, Aid(), settings.steps_each)


def _straight(equations: Equations, start: State, settings: Settings) -> State:
    if not _has_amplifier(equations):
        return newton(equations, start, Aid(), settings.steps_each)
    state = newton(equations.straightened(), start, Aid(), settings.steps_straight)
    return newton(equations, state, Aid(), settings.steps_straight)


def _plain(equations: Equations, start: State, settings: Settings) -> State:
    return _by_gain(equations, start, settings, Aid())


def _conductance(equations: Equations, start: State, settings: Settings) -> State:
    state = start
    cap = GAIN_STEPS[0]
    for decade in range(settings.conductance_decades):
        aid = Aid(conductance_s=10.0 ** (-2 - decade))
        state = newton(equations.with_gain_cap(cap), state, aid, settings.steps_each)
    return _by_gain(equations, state, settings, Aid())


def _sources(equations: Equations, start: State, settings: Settings) -> State:
    state = start
    for step in range(1, settings.source_steps + 1):
        aid = Aid(source_scale=step / settings.source_steps)
        state = newton(equations.with_gain_cap(GAIN_STEPS[0]), state, aid, settings.steps_each)
    return _by_gain(equations, state, settings, Aid())


def _inertia(equations: Equations, start: State, settings: Settings) -> State:
    state = start
    for pull in np.geomspace(1e7, 1e-9, settings.inertia_steps):
        aid = Aid(pull=float(pull), anchor=state.x.copy())
        state = newton(equations, state, aid, settings.steps_of_inertia)
    return newton(equations, state, Aid(), settings.steps_each)


WARM = Way(name="newton from the nominal point", run=_warm)
COLD: tuple[Way, ...] = (
    Way(name="newton", run=_straight),
    Way(name="gain steps", run=_plain),
    Way(name="conductance steps", run=_conductance),
    Way(name="source steps", run=_sources),
    Way(name="pseudo-transient", run=_inertia),
)


def first_state(equations: Equations) -> State:
    """All unknowns zero, the laws where they like to start."""
    x: FloatArray = np.zeros((equations.count, equations.system.size + 1))
    return State(x=x, w=equations.start(), settled=np.zeros(equations.count, dtype=bool))


@dataclass(frozen=True, kw_only=True, eq=False)
class Solved:
    """The best found for every variant, certified or not."""

    state: State
    residual_a: FloatArray
    correction: FloatArray
    methods: tuple[str, ...]


def climb(batch: Equations, start: State, ways: tuple[Way, ...], settings: Settings) -> Solved:
    """Try one way after another on the variants that are not yet certified; keep the best of each variant."""
    x, w = start.x.copy(), tuple(array.copy() for array in start.w)
    residual = np.full(batch.count, np.inf)
    correction = np.full(batch.count, np.inf)
    methods = ["nothing"] * batch.count
    left, iterations = np.arange(batch.count), 0
    for way in ways:
        if not len(left):
            break
        here = batch if len(left) == batch.count else batch.take(left)
        begin = start if way is WARM else first_state(here)
        # What overflows on the way shows in the certificate, not as a warning.
        with np.errstate(all="ignore"):
            state = way.run(here, begin, settings)
        iterations += state.iterations
        polished, found, step = quality(here, state)
        better = step < correction[left]
        chosen = left[better]
        x[chosen], residual[chosen], correction[chosen] = polished[better], found[better], step[better]
        for array, new in zip(w, state.w, strict=True):
            array[chosen] = new[better]
        _name(methods, chosen, way.name)
        left = left[~((residual[left] <= RESIDUAL_BOUND) & (correction[left] <= ERROR_BOUND))]
    settled = (residual <= RESIDUAL_BOUND) & (correction <= ERROR_BOUND)
    state = State(x=x, w=w, settled=settled, iterations=iterations)
    return Solved(state=state, residual_a=residual, correction=correction, methods=tuple(methods))


def quality(batch: Equations, state: State) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Unknowns after one last step, their relative residual, and the relative size of that step (variants,).

    The last two are infinite where there is no number.
    """
    with np.errstate(all="ignore"):
        x, residual, correction = batch.polished(state.x)
    bad = ~(np.isfinite(residual) & np.isfinite(correction))
    return x, np.where(bad, np.inf, residual), np.where(bad, np.inf, correction)


def _name(methods: list[str], chosen: IndexArray, name: str) -> None:
    for place in chosen:
        methods[place] = name
