"""If you made it one step larger or smaller: every part's neighbours tried on the full circuit, and told in
words.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.analysis.by_formula import by_formula
from pedalwright.analysis.delay_swing import DelaySwing, delay_swing
from pedalwright.analysis.measured import measures, rest_measures
from pedalwright.analysis.measures import BELOW, MOST_SENTENCES, Measure, sentences
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.moved_bias import moved_parameters
from pedalwright.analysis.records import Effect
from pedalwright.analysis.steps import neighbours, written
from pedalwright.analysis.unheard import formula_first
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.solve.band import Band
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.solve.rest import OperatingPoints, operating_points
from pedalwright.stages.stage import Stage


@dataclass(frozen=True, slots=True)
class Trial:
    """One part with one other value: which linear values of the system change, and to what."""

    part: Part
    value: float
    changes: Mapping[str, float]


def effects(analysis: Analysis, band: Band) -> Mapping[str, tuple[Effect, Effect]]:
    """(smaller, larger) for every part with a value, by designator; empty when the circuit is not
    certified.
    """
    around = {part.ref: neighbours(part) for part in analysis.circuit.parts}
    found = effects_at(analysis, band, {ref: values for ref, values in around.items() if values is not None})
    return {ref: (pair[0], pair[1]) for ref, pair in found.items()}


def effects_at(
    analysis: Analysis, band: Band, values: Mapping[str, Sequence[float]]
) -> Mapping[str, tuple[Effect, ...]]:
    """What each of these values (SI units) would do in the place of a part's own, by designator and in the
    order given; empty when the circuit is not certified.
    """
    small = analysis.small
    if small is None or not band.ok:
        return {}
    trials = [
        trial
        for part in analysis.circuit.parts
        for trial in trials_of(analysis, part, values.get(part.ref, ()))
    ]
    rests = rest_points(analysis, trials)
    bias = moved_parameters(small, rests)
    stage_of = {ref: stage for stage in analysis.stages.stages for ref in stage.refs}
    swings = {stage.name: delay_swing(analysis, stage) for stage in analysis.stages.stages}
    known: dict[str, Sequence[Measure]] = {}
    found: dict[str, list[Effect]] = {}
    for place, trial in enumerate(trials):
        stage = stage_of.get(trial.part.ref)
        changed = ChangedTable(band, {**trial.changes, **bias[place]})
        if trial.part.ref not in known:
            known[trial.part.ref] = _as_it_is(analysis, band, trial.part, stage)
        said = _said(analysis, band, trial, stage, known[trial.part.ref], changed, rests, place)
        if stage is not None and (swing := swings.get(stage.name)) is not None:
            said = (*_swung(analysis, swing, {**trial.changes, **bias[place]}, rests, place), *said)
        if not said or formula_first(analysis, stage):
            said = (*by_formula(analysis, stage, trial.part, trial.value), *said)[:MOST_SENTENCES]
        effect = Effect(value_text=written(trial.part, trial.value), changes=said, below=BELOW)
        found.setdefault(trial.part.ref, []).append(effect)
    return {ref: tuple(told) for ref, told in found.items()}


def _swung(
    analysis: Analysis, swing: DelaySwing, changes: Mapping[str, float], rests: OperatingPoints, place: int
) -> tuple[str, ...]:
    """What a part at the time pin does to the swing of the delay, in words; none where it does nothing."""
    return sentences([swing.measure(analysis.rest, 0, {})], [swing.measure(rests, place, changes)])


def trials_of(analysis: Analysis, part: Part, values: Sequence[float]) -> Iterable[Trial]:
    """The part with each of these values; none for a value that changes nothing the solver knows."""
    for value in values:
        changes = _changes(analysis, part, value)
        if changes:
            yield Trial(part, value, changes)


def _changes(analysis: Analysis, part: Part, value: float) -> Mapping[str, float]:
    """Linear values of the part's primitives that differ when its value does."""
    old = {primitive.name: primitive for primitive in device(part.kind).expand(part)}
    found = {}
    for primitive in device(part.kind).expand(replace(part, value=value)):
        before = old.get(primitive.name)
        for field in ("ohms", "farads", "henries"):
            now = getattr(primitive, field, None)
            if now is not None and before is not None and getattr(before, field) != now:
                found[primitive.name] = float(now)
    return found


def rest_points(analysis: Analysis, trials: Sequence[Trial]) -> OperatingPoints:
    """The rest points of all trials, solved together."""
    system = analysis.system
    changes: dict[str, np.ndarray] = {}
    for place, trial in enumerate(trials):
        for name, value in trial.changes.items():
            column = changes.setdefault(name, np.full(len(trials), system.values[system.element(name)]))
            column[place] = value
    return operating_points(system, changes, nominal=analysis.rest)


def _said(
    analysis: Analysis,
    band: Band,
    trial: Trial,
    stage: Stage | None,
    before: Sequence[Measure],
    changed: ChangedTable,
    rests: OperatingPoints,
    place: int,
) -> tuple[str, ...]:
    after = measures(analysis, band, trial.part, stage, changed)
    moved = rest_measures(analysis, trial.part, stage, rests, place, trial.value)
    return sentences(before, [*after, *moved])


def _as_it_is(analysis: Analysis, band: Band, part: Part, stage: Stage | None) -> Sequence[Measure]:
    """What both trials of a part are compared with."""
    rested = rest_measures(analysis, part, stage, None, 0, part.value)
    return (*measures(analysis, band, part, stage, None), *rested)
