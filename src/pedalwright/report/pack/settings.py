"""Knob settings to begin with, each computed for this circuit: what to set, and what it then does."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.knob_records import Heard, KnobAnswer
from pedalwright.analysis.levels import REFERENCE_HZ
from pedalwright.analysis.memo import Analysis
from pedalwright.devices.ports import INPUT
from pedalwright.report.figures import figure
from pedalwright.report.knobs_sentences import said
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.hearing import MOVING

FloatArray = NDArray[np.float64]

BEATS_A_MINUTE = 120
TEMPI = (("a dotted eighth", 0.75), ("a quarter", 1.0))
"""lengths in beats"""
MANY_REPEATS = 30.0
"""more repeats than this no longer sound like repeats (house rule)"""
TENTHS_OF_THE_DIAL = np.round(np.arange(0, 10.05, 0.1), 1)
WHOLE = tuple(float(turn) for turn in range(11))
PITCHES_HZ = np.geomspace(82.4, 5000.0, 9)
"""the range of a guitar in which flat is looked for"""
MOST_KNOBS, ROUNDS = 5, 2
MOST_SOFTER_DB, MATTERS_DB = 12.0, 0.3
"""a setting so much softer than the text's is not proposed; a knob that wins less is left (house rule)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """What it is for, the knobs that differ from the text's settings, and what it gives."""

    name: str
    turns: Mapping[str, float]
    gives: str


def suggested(dossier: Dossier) -> tuple[Setting, ...]:
    """Settings worth trying; none where nothing can be computed."""
    answers = [answer for answer in dossier.knobs if answer.kind == "knob" and answer.heard]
    moving = tuple(_moving(answers))
    if moving:
        return moving
    echo = tuple(_echo(answers))
    return echo or tuple(_levels(dossier))


def _echo(answers: list[KnobAnswer]) -> Iterable[Setting]:
    time = _with(answers, "delay")
    if time is not None:
        answer, heard = time
        delays = _along(answer, heard)
        yield _at(
            answer, heard, "shortest echo", int(np.argmin(np.where(np.isfinite(delays), delays, np.inf)))
        )
        for name, beats in TEMPI:
            seconds = beats * 60 / BEATS_A_MINUTE
            if np.nanmin(delays) <= seconds <= np.nanmax(delays):
                place = int(np.nanargmin(np.abs(delays - seconds)))
                yield _at(answer, heard, f"{name} at {BEATS_A_MINUTE} beats a minute", place)
    repeats = _with(answers, "repeats")
    if repeats is not None:
        answer, heard = repeats
        counts = _along(answer, heard)
        fading = np.flatnonzero(np.isfinite(counts) & (counts <= MANY_REPEATS))
        if len(fading):
            yield _at(answer, heard, "many repeats, still fading", int(fading[np.argmax(counts[fading])]))


def _with(answers: list[KnobAnswer], sort: str) -> tuple[KnobAnswer, Heard] | None:
    """The first knob whose leading figure is of that sort, with some of its values known."""
    found = ((answer, answer.heard[0]) for answer in answers if answer.heard[0].sort == sort)
    return next(((one, heard) for one, heard in found if np.isfinite(heard.values).any()), None)


def _along(answer: KnobAnswer, heard: Heard) -> FloatArray:
    """The figure at every tenth of the dial's marks."""
    return np.interp(TENTHS_OF_THE_DIAL, answer.dial, heard.values)


def _at(answer: KnobAnswer, heard: Heard, name: str, place: int) -> Setting:
    value = float(_along(answer, heard)[place])
    what = heard.name.removeprefix("the ")
    return Setting(
        name=name,
        turns={answer.ref: float(TENTHS_OF_THE_DIAL[place])},
        gives=f"{what}: {said(value, heard.unit)}",
    )


def _moving(answers: list[KnobAnswer]) -> Iterable[Setting]:
    """Slowest and fastest, shallowest and deepest of what moves by itself."""
    for answer in answers:
        heard = answer.heard[0]
        if heard.sort in MOVING and np.isfinite(heard.values).any():
            names = ("slowest", "fastest") if heard.sort == "rate" else ("least movement", "most movement")
            values = _along(answer, heard)
            yield _at(answer, heard, names[0], int(np.nanargmin(values)))
            yield _at(answer, heard, names[1], int(np.nanargmax(values)))


@dataclass
class _Bench:
    """Levels at the output for knob settings, each solved once."""

    analysis: Analysis
    known: dict[tuple[tuple[str, float], ...], FloatArray | None] = field(default_factory=dict)

    def levels_db(self, turns: Mapping[str, float]) -> FloatArray | None:
        """Output over the source's own voltage (pitches,) [dB], None where it is not certified or silent."""
        key = tuple(sorted(turns.items()))
        if key not in self.known:
            self.known[key] = _solved(Analysis(self.analysis.circuit.with_settings(dict(turns))))
        return self.known[key]


def _solved(analysis: Analysis) -> FloatArray | None:
    source, output, small = analysis.circuit.input, analysis.circuit.output, analysis.small
    if source is None or output is None or small is None:
        return None
    hz = np.append(PITCHES_HZ, REFERENCE_HZ)
    matrix = small.g + 2j * np.pi * hz[:, None, None] * small.c
    drive = np.zeros((len(hz), small.size, 1), dtype=complex)
    drive[:, small.system.branches[INPUT]] = 1.0
    try:
        found = np.linalg.solve(matrix, drive)[:, :, 0]
    except np.linalg.LinAlgError:
        return None
    row = small.row(output.net)
    out = np.abs(found[:, row]) if row < small.size else np.zeros(len(hz))
    return np.asarray(20 * np.log10(out)) if np.all(out > 0) else None


def _levels(dossier: Dossier) -> Iterable[Setting]:
    """The places that reach each goal best, searched knob by knob."""
    knobs = [part for part in dossier.circuit.knobs if part.kind == "knob"]
    bench = _Bench(dossier.analysis)
    start = {part.ref: float(part.setting or 0.0) for part in knobs}
    now = bench.levels_db(start)
    if not knobs or len(knobs) > MOST_KNOBS or now is None or dossier.walk.overall.gain_db is None:
        return
    for goal in GOALS:
        turns = _searched(bench, start, goal)
        found = bench.levels_db(turns)
        if found is not None and goal.score(found) - goal.score(now) > goal.worth_db:
            yield Setting(name=goal.name, turns=turns, gives=goal.says(goal.score(found)))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Goal:
    """What a setting is searched for: the higher the score of the levels, the better; `worth_db` is what it
    must win over the settings of the text.
    """

    name: str
    score: Callable[[FloatArray], float]
    says: Callable[[float], str]
    worth_db: float


def _flatness(levels_db: FloatArray) -> float:
    return -float(np.ptp(levels_db[:-1]))


def _gain(levels_db: FloatArray) -> float:
    return float(levels_db[-1])


def _bass(levels_db: FloatArray) -> float:
    return float(levels_db[0] - levels_db[-1])


def _treble(levels_db: FloatArray) -> float:
    return float(levels_db[-2] - levels_db[-1])


GOALS = (
    _Goal(
        name="flattest",
        score=_flatness,
        says=lambda found: f"{-found:.1f} dB between highest and lowest from the low E to 5 kHz",
        worth_db=1.0,
    ),
    _Goal(
        name="most gain",
        score=_gain,
        says=lambda found: f"level of the output at {figure(REFERENCE_HZ, 'Hz')}: {figure(found, 'dB')}",
        worth_db=1.0,
    ),
    _Goal(
        name="fullest bass",
        score=_bass,
        says=lambda found: f"the low E {figure(found, 'dB')} against {figure(REFERENCE_HZ, 'Hz')}",
        worth_db=3.0,
    ),
    _Goal(
        name="brightest",
        score=_treble,
        says=lambda found: f"5 kHz {figure(found, 'dB')} against {figure(REFERENCE_HZ, 'Hz')}",
        worth_db=3.0,
    ),
)
"""what is worth a line besides the settings of the text (house rule)"""


def _searched(bench: _Bench, start: Mapping[str, float], goal: _Goal) -> dict[str, float]:
    """One knob after the other to its best whole mark, twice round; a knob that hardly matters stays."""
    best = dict(start)
    now = bench.levels_db(start)
    least_db = -np.inf if now is None else _gain(now) - MOST_SOFTER_DB
    for _ in range(ROUNDS):
        for ref in start:
            scores = {
                turn: _score(bench.levels_db({**best, ref: turn}), goal, least_db)
                for turn in (best[ref], *WHOLE)
            }
            found = max(scores, key=lambda turn: round(scores[turn], 6))
            if scores[found] > scores[best[ref]] + MATTERS_DB:
                best[ref] = found
    return best


def _score(levels_db: FloatArray | None, goal: _Goal, least_db: float) -> float:
    """How well levels reach a goal; what is much softer than the text's setting does not count."""
    if levels_db is None or _gain(levels_db) < least_db:
        return -np.inf
    return goal.score(levels_db)
