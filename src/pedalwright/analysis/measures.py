"""What is measured of a circuit before and after a change, and the sentences a change deserves."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import isfinite, log

from pedalwright.units.values import print_value


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """One measured figure of a `subject`, at a place or pitch told by `where` (may be empty).

    `sort` is ``level`` (dB), ``corner`` (Hz), ``rest`` (V), ``ohms``, ``current`` (A) or ``time`` (s).
    """

    subject: str
    where: str
    sort: str
    value: float


@dataclass(frozen=True, slots=True)
class _Change:
    before: Measure
    after: Measure

    @property
    def weight(self) -> float:
        """How many times the smallest noticed change this change is; 0 when either figure is not known."""
        before, after = self.before.value, self.after.value
        if not (isfinite(before) and isfinite(after)):
            return 0.0
        if self.before.sort in ("level", "rest"):
            return abs(after - before) / NOTICED[self.before.sort]
        if before <= 0 or after <= 0:
            return 0.0
        return abs(log(after / before)) / NOTICED[self.before.sort]


NOTICED = {"level": 0.1, "corner": 0.03, "rest": 0.02, "ohms": 0.05, "current": 0.05, "time": 0.03}
"""the smallest change worth a sentence: decibels, volts, and shares of corners, impedances and currents
(house rule)
"""
BELOW = "0.1 dB, 3 % of a corner or a time, 20 mV at rest, 5 % of an impedance or current"
MOST_SENTENCES = 3
ALIKE_DB = 0.3
"""levels that move together within this, and within half of the largest move, are told in one sentence"""


def sentences(before: Sequence[Measure], after: Sequence[Measure]) -> tuple[str, ...]:
    """The weightiest changes in words, one a subject; figures are matched by subject and place."""
    later = {(measure.subject, measure.where, measure.sort): measure for measure in after}
    changes: dict[tuple[str, str], list[_Change]] = {}
    for measure in before:
        match = later.get((measure.subject, measure.where, measure.sort))
        if match is not None:
            changes.setdefault((measure.subject, measure.sort), []).append(_Change(measure, match))
    return tuple(_told(changes))


def _told(changes: Mapping[tuple[str, str], list[_Change]]) -> Iterable[str]:
    groups = sorted(changes.values(), key=lambda group: -max(change.weight for change in group))
    for group in groups[:MOST_SENTENCES]:
        strongest = max(group, key=lambda change: change.weight)
        if strongest.weight >= 1.0:
            yield (
                _level_sentence(group, strongest)
                if strongest.before.sort == "level"
                else _sentence(strongest)
            )


def _level_sentence(group: Sequence[_Change], strongest: _Change) -> str:
    shifts = [change.after.value - change.before.value for change in group]
    together = len(group) > 1 and max(shifts) - min(shifts) <= min(ALIKE_DB, max(map(abs, shifts)) / 2)
    told = group[len(group) // 2] if together else strongest
    before, after = told.before, told.after
    way = "rises" if after.value > before.value else "falls"
    where = "at every pitch" if together else before.where
    size = abs(after.value - before.value)
    span = f"{decibels(before.value)} to {decibels(after.value)} dB"
    return f"{before.subject} {way} by {size:.1f} dB {where} ({span})"


def decibels(level: float) -> str:
    """A level with its sign, to a tenth; nothing has no sign."""
    text = f"{level:+.1f}"
    return "0.0" if text in ("+0.0", "-0.0") else text


def _sentence(change: _Change) -> str:
    before, after = change.before, change.after
    if before.sort == "rest":
        return f"{before.subject} rests at {after.value:.2f} V instead of {before.value:.2f} V"
    unit = {"corner": "Hz", "ohms": "Ω", "current": "A", "time": "s"}[before.sort]
    verb = "moves from" if before.sort == "corner" else "changes from"
    where = f" {before.where}" if before.where else ""
    old, new = print_value(before.value, unit), print_value(after.value, unit)
    return f"{before.subject}{where} {verb} {old} to {new}"
