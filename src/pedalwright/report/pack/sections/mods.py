"""Section 13: changes worth trying, each computed on the whole circuit, the most audible first."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.effects import Trial, effects_at, trials_of
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.records import Level
from pedalwright.analysis.steps import SERIES_OF_KIND, written
from pedalwright.analysis.unheard import TIMEKEEPERS, is_unheard
from pedalwright.circuit.part import Part
from pedalwright.devices.ports import INPUT
from pedalwright.report.blocks import Paragraph, Table, Tone
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.ranges import TIME_STAGE, worth_ranging
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.pack.trying import HEARD_HZ, FloatArray, Heard, Rig
from pedalwright.report.walk_document import stage_headings
from pedalwright.units.preferred import nearest_by_ratio

FACTOR = 2.0
"""half and twice: a change anyone hears where the part matters at all"""
MOST_ROWS = 24
AUDIBLE_DB, AUDIBLE_OCTAVES = 0.5, 0.2
"""a step of a level, and of a corner, that is just worth a try (house rule)"""
TOLD_DB = 0.1
"""a level that rises by less takes no headroom worth telling"""
MOST_CHANGES = 2
"""of one line, the weightiest"""
OF_TIMING = 10.0
"""how audible a delay, a rate or a swing at half or twice is taken to be (house rule)"""
CONTROLS = ("knob", "trim")
NONE = "-"


@dataclass(frozen=True, slots=True, kw_only=True)
class _Mod:
    """One part at another value: how audible it is (1: just worth a try), and what to watch."""

    part: Part
    value: float
    weight: float
    watch: str


def build(dossier: Dossier) -> Chapter:
    """Half and twice the value of the parts the sound goes through, where that is heard."""
    rig = dossier.rig
    if rig is None:
        return chapter()
    tried = (*_mods(dossier, rig), *_timing(dossier))
    mods = sorted(tried, key=lambda mod: -mod.weight)[:MOST_ROWS]
    rows = tuple(_rows(dossier, rig, mods))
    if not rows:
        return chapter()
    return chapter(
        [
            Paragraph(
                "Each line changes one part and nothing else, and is computed on the whole circuit with "
                "the knobs as in this document; the most audible stand first. Two changes at once need not "
                "add up: compute them together."
            ),
            Table(
                caption="Half and twice the value, as near as it can be bought",
                columns=("part", "is", "try", "stage", "what it does", "watch"),
                rows=rows,
            ),
            Paragraph(
                "Supply and bias are left out: what they hold keeps the rest working. Keep at least the "
                "voltage and power ratings of the parts list.",
                Tone.QUIET,
            ),
        ]
    )


def _rows(dossier: Dossier, rig: Rig, mods: list[_Mod]) -> Iterable[tuple[str, ...]]:
    tried: dict[str, list[float]] = {}
    for mod in mods:
        tried.setdefault(mod.part.ref, []).append(mod.value)
    found = effects_at(dossier.analysis, rig.band, tried)
    headings = stage_headings(dossier.walk)
    for mod in mods:
        ref = mod.part.ref
        effect = found[ref][tried[ref].index(mod.value)]
        said = "; ".join(change.rstrip(". ") for change in effect.changes[:MOST_CHANGES])
        if said:
            heading = headings[dossier.told[ref][0].name] if ref in dossier.told else NONE
            yield ref, written(mod.part, mod.part.value or 0.0), effect.value_text, heading, said, mod.watch


def _mods(dossier: Dossier, rig: Rig) -> Iterable[_Mod]:
    heard_parts = worth_ranging(dossier.analysis) if rig.ways else ()
    for part in heard_parts:
        values = [value for value in _values(part) if value != part.value]
        trials = list(trials_of(dossier.analysis, part, values))
        if not trials:
            continue
        levels = rig.of_trials(trials)
        heard = rig.heard(levels)
        rooms = _rooms(dossier, rig, trials)
        for place, trial in enumerate(trials):
            sets_time = _sets_time(dossier, part)
            weight = max(_weight(rig, heard, place), OF_TIMING if sets_time else 0.0)
            if weight >= 1.0:
                said = (*_time(sets_time), rooms[place], _loop(dossier, rig, levels, place))
                watch = "; ".join(filter(None, said)) or NONE
                yield _Mod(part=part, value=trial.value, weight=weight, watch=watch)


def _timing(dossier: Dossier) -> Iterable[_Mod]:
    """Parts of what swings or keeps time by itself: no level tells of them, their own figures do."""
    stages = [
        stage
        for stage in dossier.analysis.stages.stages
        if stage.kind not in TIMEKEEPERS and is_unheard(dossier.analysis, stage)
    ]
    for ref in dict.fromkeys(ref for stage in stages for ref in stage.refs):
        part = dossier.circuit.by_ref.get(ref)
        if part is not None and part.kind in SERIES_OF_KIND and part.value and part.kind not in CONTROLS:
            for value in _values(part):
                if value != part.value:
                    yield _Mod(part=part, value=value, weight=OF_TIMING, watch=NONE)


def _values(part: Part) -> tuple[float, float]:
    series = SERIES_OF_KIND[part.kind]
    value = part.value or 0.0
    return nearest_by_ratio(value / FACTOR, series), nearest_by_ratio(value * FACTOR, series)


def _weight(rig: Rig, heard: Heard, place: int) -> float:
    """The largest change heard, in steps just worth a try."""
    now = rig.now_heard
    level = float(np.abs(heard.spots_db[place] - now.spots_db[0]).max()) / AUDIBLE_DB
    low, high = HEARD_HZ
    corners = [
        abs(np.log2(new / old)) / AUDIBLE_OCTAVES
        for new, old in zip(
            (*heard.low_hz[place], *heard.high_hz[place]), (*now.low_hz[0], *now.high_hz[0]), strict=True
        )
        if low <= new <= high or low <= old <= high
    ]
    return max(level, *corners) if corners else level


def _sets_time(dossier: Dossier, part: Part) -> bool:
    return part.ref in dossier.told and dossier.told[part.ref][0].kind == TIME_STAGE


def _time(sets_time: bool) -> Iterable[str]:
    if sets_time:
        yield "never below 1 kΩ in all at pin 6"


def _rooms(dossier: Dossier, rig: Rig, trials: list[Trial]) -> list[str]:
    """For every value what headroom the loudest playing then has where it has least of those that lose some;
    only for parts that are one value for the solver.
    """
    levels = [
        level
        for stage in dossier.walk.stages
        for level in stage.levels
        if level.headroom_db is not None and level.headroom_db > 0 and rig.band.knows(level.net)
    ]
    if not levels or dossier.circuit.input is None or len(trials[0].changes) != 1:
        return [""] * len(trials)
    name = next(iter(trials[0].changes))
    values = [trial.changes[name] for trial in trials]
    rows = np.array([rig.band.row(level.net) for level in levels])
    columns = np.full(len(rows), rig.band.small.system.branches[INPUT])
    place = int(np.argmin(np.abs(rig.band.frequency_hz - levels[0].frequency_hz)))
    now = 20 * np.log10(np.abs(rig.band.table[place, rows, columns]) + 1e-300)
    moved = rig.levels(name, values, rows, columns)[:, :, place] - now
    return [_room(levels, moved[one]) for one in range(len(values))]


def _room(levels: list[Level], moved: FloatArray) -> str:
    left = np.array([level.headroom_db or 0.0 for level in levels]) - moved
    worst = int(np.argmin(np.where(moved > TOLD_DB, left, np.inf)))
    if moved[worst] <= TOLD_DB:
        return ""
    net = spoken(levels[worst].net)
    if left[worst] < 0:
        return f"{net} clips at the loudest playing"
    return f"{left[worst]:.1f} dB of headroom left at {net}"


def _loop(dossier: Dossier, rig: Rig, levels: FloatArray, place: int) -> str:
    """How near the repeats then come to running away, with their knob fully up."""
    around = [one for one, way in enumerate(rig.ways) if way.is_round]
    knobs = dossier.echo.repeats_knobs if dossier.echo is not None else ()
    if not around or not knobs:
        return ""
    rise = float((levels[place, around].max(axis=1) - rig.now[around].max(axis=1)).max())
    full = 20 * np.log10(knobs[0].runaway.full.gain) + rise
    if rise > 0.1 and full >= 0:
        return f"repeats run away with {knobs[0].knob} up"
    return ""


SECTION = PackSection(name="mods", place=13, heading="Changes worth trying", build=build)
