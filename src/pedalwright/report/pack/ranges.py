"""How far a part may be from its value: the widest range in which nothing that is heard moves much."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.effects import Trial, rest_points, trials_of
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.moved_bias import moved_parameters
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.steps import SERIES_OF_KIND
from pedalwright.analysis.time_pin_range import time_places
from pedalwright.analysis.unheard import is_unheard
from pedalwright.circuit.part import Part
from pedalwright.echo.chip import time_pin
from pedalwright.report.figures import figure
from pedalwright.report.pack.trying import DEEP_DB, HEARD_HZ, LISTENING_HZ, Heard, Rig
from pedalwright.solve.certificate import NotCertified
from pedalwright.solve.rest import OperatingPoints
from pedalwright.stages.recognise import kind_of
from pedalwright.units.preferred import step

LEVEL_DB, CORNER_SHARE, DELAY_SHARE, REST_SHARE = 1.0, 0.2, 0.05, 0.05
"""how much a level, a corner, a delay, and of the supply a resting voltage may move (house rule)"""
DECADE = 10.0
"""no further than this from the value on either side"""
SURE_OHMS = 2000.0
"""with less at its time pin an echo chip may fail to start (common practice, no source)"""
OTHER_GROUPS = ("supply", "bias")
TIME_STAGE = "delay-time-network"
PITCHES = dict(zip(LISTENING_HZ, ("at the lowest string", "at 1 kHz", "at 5 kHz"), strict=True))
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, kw_only=True)
class Range:
    """From `low` to `high` (SI) nothing heard moves by more than the rule allows; `below` and `above` say
    what does at the next value, empty where a decade away is still within.
    """

    part: Part
    low: float
    high: float
    below: str
    above: str


def allowed_ranges(rig: Rig, parts: Sequence[Part]) -> tuple[Range, ...]:
    """The range of each resistor or capacitor, in the order given."""
    ladders = [ladder for part in parts if (ladder := _ladder(rig, part)) is not None]
    _bring_to_rest(rig, ladders)
    return tuple(_range(ladder) for ladder in ladders)


@dataclass
class _Ladder:
    """Values outwards from a part's own, on both sides: the trials, and why each does not do (empty: it
    does).
    """

    part: Part
    smaller: list[tuple[Trial, str]]
    larger: list[tuple[Trial, str]]

    @property
    def sides(self) -> tuple[list[tuple[Trial, str]], list[tuple[Trial, str]]]:
        return self.smaller, self.larger


def _ladder(rig: Rig, part: Part) -> _Ladder | None:
    if not part.value or not rig.ways:
        return None
    sides = []
    for way in (-1, 1):
        trials = list(trials_of(rig.analysis, part, _values(part, way)))
        if not trials:
            return None
        sides.append(_until_told(trials, _told(rig, rig.heard(rig.of_trials(trials)))))
    return _Ladder(part=part, smaller=sides[0], larger=sides[1])


def _values(part: Part, way: int) -> list[float]:
    series, value = SERIES_OF_KIND[part.kind], part.value or 0.0
    found: list[float] = []
    last = value
    while (last := step(last, series, way)) and 1 / DECADE - 1e-9 <= last / value <= DECADE + 1e-9:
        found.append(last)
    return found


def _until_told(trials: Sequence[Trial], told: Sequence[str]) -> list[tuple[Trial, str]]:
    """The steps up to the first that does not do, that one with them."""
    found = []
    for trial, why in zip(trials, told, strict=True):
        found.append((trial, why))
        if why:
            break
    return found


def _told(rig: Rig, heard: Heard) -> list[str]:
    """For every value the first thing that moves too much; empty where nothing does."""
    return [_first(rig, heard, place) for place in range(len(heard.spots_db))]


def _first(rig: Rig, heard: Heard, place: int) -> str:
    now = rig.now_heard
    loud = now.spots_db[0] > rig.now.max(axis=1)[:, None] - DEEP_DB
    moved = np.where(loud, heard.spots_db[place] - now.spots_db[0], 0.0)
    if np.abs(moved).max() > LEVEL_DB:
        way, pitch = divmod(int(np.argmax(np.abs(moved))), len(LISTENING_HZ))
        said = "rises" if moved[way, pitch] > 0 else "falls"
        size = abs(moved[way, pitch])
        return f"{rig.ways[way].name} {said} by {size:.1f} dB {PITCHES[LISTENING_HZ[pitch]]}"
    corners = (
        ("bass", heard.low_hz[place], now.low_hz[0]),
        ("treble", heard.high_hz[place], now.high_hz[0]),
    )
    for name, new, old in corners:
        for way, one in enumerate(rig.ways):
            if _corner_moves(float(old[way]), float(new[way])):
                ends = f"{figure(float(old[way]), 'Hz')} to {figure(float(new[way]), 'Hz')}"
                return f"{name} corner of {one.name}: {ends}"
    return ""


def _corner_moves(old: float, new: float) -> bool:
    """By more than a fifth, where it can be heard before or after."""
    low, high = HEARD_HZ
    heard = low <= old <= high or low <= new <= high
    return heard and not 1 - CORNER_SHARE <= new / old <= 1 + CORNER_SHARE


def _bring_to_rest(rig: Rig, ladders: Sequence[_Ladder]) -> None:
    """Every step that does, solved at rest with what its currents move; steps beyond one that fails go."""
    steps = [
        (side, place)
        for ladder in ladders
        for side in ladder.sides
        for place, (_, why) in enumerate(side)
        if not why
    ]
    if not steps:
        return
    trials = [side[place][0] for side, place in steps]
    rests = rest_points(rig.analysis, trials)
    bias = moved_parameters(rig.band.small, rests)
    stopped = _at_rest(rig.analysis, rests)
    timed = set(_time_refs(rig.analysis))
    for number, (side, place) in enumerate(steps):
        why = stopped[number]
        if not why and trials[number].part.ref in timed:
            why = _of_time(rig.analysis, trials[number])
        if not why and bias[number]:
            why = _told(rig, rig.heard(rig.exactly(trials[number], dict(bias[number]))))[0]
        if why:
            side[place] = (side[place][0], why)


def _at_rest(analysis: Analysis, rests: OperatingPoints) -> list[str]:
    """For every trial what moves too much at rest: a stage's output, or a delay."""
    supply = max((one.volts for one in analysis.circuit.supplies), default=0.0)
    nets = dict.fromkeys(one.output for one in analysis.stages.stages)
    outputs = [net for net in nets if net in analysis.system.rows]
    told = ["" if ok else "the resting voltages could not be certified" for ok in rests.ok]
    for net in outputs:
        moved = np.abs(rests.volts(net) - analysis.rest.volts(net))
        for place in np.flatnonzero(moved > REST_SHARE * supply) if supply else ():
            told[place] = told[place] or f"{spoken(net)} rests {moved[place]:.2f} V elsewhere"
    for chip in analysis.view.parts_of("echo-chip"):
        now = float(time_pin(chip, analysis.rest).delay_s[0])
        for number, delay in enumerate(time_pin(chip, rests).delay_s):
            if not told[number] and abs(delay / now - 1) > DELAY_SHARE:
                told[number] = f"the delay of {chip.ref}: {figure(now, 's')} to {figure(float(delay), 's')}"
    return told


def _time_refs(analysis: Analysis) -> Iterable[str]:
    """Resistors of the networks at the chips' time pins."""
    for stage in analysis.stages.stages:
        if stage.kind == TIME_STAGE:
            yield from (ref for ref in stage.refs if ref in analysis.circuit.by_ref)


def _of_time(analysis: Analysis, trial: Trial) -> str:
    """What a resistor at a time pin does at the ends of the dial."""
    other = Analysis(analysis.circuit.with_value(trial.part.ref, trial.value))
    for chip in analysis.view.parts_of("echo-chip"):
        try:
            was, now = time_places(analysis, chip), time_places(other, chip)
        except NotCertified:
            return "the delay could not be certified"
        least, before = (min(place.ohms for place in places) for places in (now, was))
        if least < min(SURE_OHMS, before):
            return f"pin 6 of {chip.ref} sees {figure(least, 'ohm')}: its clock may not start"
        for word, pick in (("shortest", min), ("longest", max)):
            old, new = (pick(place.delay_s for place in places) for places in (was, now))
            if abs(new / old - 1) > DELAY_SHARE:
                return f"the {word} delay of {chip.ref}: {figure(old, 's')} to {figure(new, 's')}"
    return ""


def _range(ladder: _Ladder) -> Range:
    ends, whys = [], []
    for side in ladder.sides:
        reach = float(ladder.part.value or 0.0)
        why = ""
        for trial, told in side:
            if told:
                why = told
                break
            reach = trial.value
        ends.append(reach)
        whys.append(why)
    return Range(part=ladder.part, low=ends[0], high=ends[1], below=whys[0], above=whys[1])


def worth_ranging(analysis: Analysis) -> tuple[Part, ...]:
    """Resistors and capacitors of the stages the sound goes through, and of those that set a delay, in the
    order of the text. What keeps the supply, the rest, an oscillator's time or the inside of an echo chip
    is judged by other figures.
    """
    refs = {
        ref
        for stage in analysis.stages.stages
        if stage.kind == TIME_STAGE
        or (kind_of(stage).group not in OTHER_GROUPS and not is_unheard(analysis, stage))
        for ref in stage.refs
    }
    return tuple(
        part
        for part in analysis.circuit.parts
        if part.ref in refs and part.kind in ("resistor", "capacitor") and part.value
    )
