"""What the stage's own formulas say of another value, for parts whose work shows in no gain and no resting
voltage.
"""

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite, log

from pedalwright.analysis.measures import decibels
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf
from pedalwright.stages.recognise import kind_of
from pedalwright.stages.stage import Number, Stage
from pedalwright.stages.view import View
from pedalwright.units.values import print_value

NOTICED = 0.03
"""share by which a figure must move to be told (house rule)"""
NOTICED_DB = 0.1
"""the same for levels, in decibels"""
MOST = 2
FOREMOST = "frequency"
"""what an oscillator is there for"""
UNIT = {"ohm": "Ω", "x": "times"}


def by_formula(analysis: Analysis, stage: Stage | None, part: Part, value: float) -> tuple[str, ...]:
    """The stage's closed-form figures that a new value of one part moves, in words; none when the stage has
    none.
    """
    if stage is None:
        return ()
    kind = kind_of(stage)
    before = {number.name: number for number in kind.numbers(stage, analysis.bench)}
    if not any(number.closed is not None for number in before.values()):
        return ()
    bench = Bench(
        View(analysis.circuit.with_value(part.ref, value)),
        analysis.bench.classes,
        analysis.bench.rest,
        analysis.bench.small,
    )
    after = kind.numbers(_with_value(stage, part, value), bench)
    ordered = sorted(after, key=lambda number: number.name != FOREMOST)
    told = [_told(before[number.name], number) for number in ordered if number.name in before]
    return tuple([sentence for sentence in told if sentence][:MOST])


def _told(before: Number, after: Number) -> str:
    if before.closed is None or after.closed is None or before.unit == "":
        return ""
    old, new = before.closed, after.closed
    if not (isfinite(old) and isfinite(new)) or not _is_noticed(old, new, before.unit):
        return ""
    said, before_text, after_text = (
        f"by the formula, the {before.name}",
        *(_written(x, before.unit) for x in (old, new)),
    )
    if before.name.endswith(" at"):
        return f"{said} {after_text} instead of {before_text}"
    return f"{said} changes from {before_text} to {after_text}"


def _is_noticed(old: float, new: float, unit: str) -> bool:
    """Levels are told apart by their difference, everything else by its share."""
    if unit == "dB":
        return abs(new - old) >= NOTICED_DB
    return old * new > 0 and abs(log(new / old)) >= NOTICED


def _written(value: float, unit: str) -> str:
    return f"{decibels(value)} dB" if unit == "dB" else print_value(value, UNIT.get(unit, unit))


def _with_value(stage: Stage, part: Part, value: float) -> Stage:
    """The stage with one part's value changed wherever its branches hold it."""
    scale = value / part.value if part.value else 1.0
    branches: Mapping[str, tuple[Branch, ...]] = {
        name: tuple(_scaled(branch, part.ref, scale) for branch in group)
        for name, group in stage.branches.items()
    }
    return replace(stage, branches=branches)


def _scaled(branch: Branch, ref: str, scale: float) -> Branch:
    if isinstance(branch, Leaf):
        return replace(branch, value=branch.value * scale) if branch.ref == ref else branch
    return replace(branch, links=tuple(_scaled(link, ref, scale) for link in branch.links))
