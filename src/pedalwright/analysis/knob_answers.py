"""What every knob of a circuit does from 0 to 10, in the unit it is heard in."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

import numpy as np

from pedalwright.analysis.knob_advice import (
    CURVE_POINTS,
    TURNS,
    Advice,
    Figure,
    advise,
    better_law,
    confirmed,
)
from pedalwright.analysis.knob_echo import of_echo
from pedalwright.analysis.knob_evenness import TENTHS, Scale, perceived, spreading
from pedalwright.analysis.knob_heard import (
    Quantity,
    glancing_band,
    of_rest,
    of_signals,
    of_stage,
    usual_band,
)
from pedalwright.analysis.knob_records import Heard, KnobAnswer, Tolerance
from pedalwright.analysis.knob_sweep import Swept, swept
from pedalwright.analysis.knob_swing import RATE_KINDS, of_oscillators
from pedalwright.analysis.knob_track import Halves, halves_at, joined, law_of, wiring_of
from pedalwright.analysis.levels import REFERENCE_HZ
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.band import Band
from pedalwright.solve.certificate import RESIDUAL_BOUND
from pedalwright.stages.recognise import kind_named
from pedalwright.stages.stage import Stage

STEPS, FEWEST_STEPS, MOST_STEPS = 41, 11, 401
TRACK_TOLERANCE = 0.2
"""of a track's whole resistance: 20 % is usual (six measured parts: Holmes and van Walstijn, DAFx-19)"""
MOST_HEARD = 6
FEW_POINTS = 10
BADLY_SPREAD = 0.45
"""evenness below which a glance looks for a better law (house rule)"""
Completing = Callable[[Analysis, Part, Swept, Quantity, Heard], Heard]
FIRST = {
    "time knob": ("delay",),
    "stopper resistor": ("delay",),
    "repeats knob": ("repeats",),
    "rate knob": ("rate",),
    "depth knob": ("pitch", "swing"),
    "frequency knob": ("centre", "corner"),
    "bias trim": ("bias",),
}
"""what a knob of a role is there for; every other is told by levels first"""
USUAL = ("level",)
LAST = ("bias", "swing")
"""told first only when nothing that is heard changes"""


class KnobMistake(ValueError):
    """A knob that is none, or a number of positions that cannot be."""


def knobs(analysis: Analysis, names: Sequence[str] = (), steps: int = STEPS) -> tuple[KnobAnswer, ...]:
    """An answer for every knob and trim, or for those named, in the order of the text.

    `steps` positions are solved over the dial, and every whole number of it. Raises KnobMistake for a name
    that is no knob, or for fewer than 11 or more than 401 steps.
    """
    if not FEWEST_STEPS <= steps <= MOST_STEPS:
        raise KnobMistake(f"There can be {FEWEST_STEPS} to {MOST_STEPS} positions, not {steps}.")
    known = [part.ref for part in analysis.circuit.knobs]
    for name in names:
        if name not in known:
            there = f"there are {', '.join(known)}." if known else "this circuit has none."
            raise KnobMistake(f"There is no knob or trim named '{name[:40]}'; {there}")
    band = usual_band(analysis)
    chosen = [part for part in analysis.circuit.knobs if not names or part.ref in names]
    return tuple(_answer(analysis, band, part, _dial(steps)) for part in chosen)


def glance(analysis: Analysis, names: Sequence[str] = ()) -> tuple[KnobAnswer, ...]:
    """The same at eleven positions and fewer frequencies, for a quick look: without tolerance, and advice on
    the law alone, for knobs that spread their effect badly.
    """
    chosen = [part for part in analysis.circuit.knobs if not names or part.ref in names]
    band = glancing_band(analysis) if chosen else None
    return tuple(_answer(analysis, band, part, _dial(FEWEST_STEPS), glancing=True) for part in chosen)


def _dial(steps: int) -> FloatArray:
    positions = np.concatenate([np.linspace(0, TENTHS, steps), np.arange(TENTHS + 1)])
    return np.unique(np.round(positions, 12))


def _answer(
    analysis: Analysis, band: Band | None, part: Part, dial: FloatArray, *, glancing: bool = False
) -> KnobAnswer:
    if band is None:
        why = "The circuit as it stands could not be certified, so nothing is told of this knob."
        return _told(analysis, part, dial, None, (), (why,))
    stage = _stage_of(analysis, part)
    swings = not glancing or any(one.kind in RATE_KINDS for one in analysis.stages.stages)
    quantities = tuple(_candidates(analysis, band, part, stage, swings=swings))
    halves = halves_at(part.value or 0.0, law_of(part), dial / TENTHS)
    columns = {column for one in quantities for column in one.columns}
    sweep = swept(analysis, part, halves, band, columns)
    whole = _law_alone if glancing else _whole
    heard = _heard(analysis, part, sweep, dial, quantities, _wanted(analysis, part), whole)
    if not heard:
        fallback = tuple(of_stage(band, stage))
        again = sweep.again(band.frequency_hz, {column for one in fallback for column in one.columns})
        heard = _heard(analysis, part, again, dial, fallback, USUAL, whole)
    return _told(analysis, part, dial, sweep, heard, tuple(_refusals(sweep, heard)))


def _candidates(
    analysis: Analysis, band: Band, part: Part, stage: Stage | None, *, swings: bool
) -> Iterable[Quantity]:
    yield from of_signals(analysis, band)
    yield from of_echo(analysis, band)
    if swings:
        yield from of_oscillators(analysis, band, part)
    yield from of_rest(analysis, part, stage)


def _wanted(analysis: Analysis, part: Part) -> tuple[str, ...]:
    role = analysis.stages.roles.get(part.ref)
    return FIRST.get(role.role, USUAL) if role is not None else USUAL


def _heard(
    analysis: Analysis,
    part: Part,
    sweep: Swept,
    dial: FloatArray,
    quantities: Sequence[Quantity],
    wanted: tuple[str, ...],
    whole: Completing,
) -> tuple[Heard, ...]:
    """The figures that change by as much as is worth telling, what the knob is there for first; `whole`
    completes that one.
    """
    found = [(one, _plain(one, sweep, dial)) for one in quantities]
    worth = [pair for pair in found if pair[1].weight >= 1.0]
    worth.sort(key=lambda pair: (*_rank(pair[0], wanted), -_rough(pair[1].weight), -_reference(pair[0])))
    # What rests somewhere else is worth telling of a trim, and where nothing can be heard.
    if part.kind != "trim" and any(one.sort not in LAST for one, _ in worth):
        worth = [pair for pair in worth if pair[0].sort != "bias"]
    kept = [pair for place, pair in enumerate(worth) if not _is_told(pair[1], worth[:place])][:MOST_HEARD]
    if not kept:
        return ()
    first = whole(analysis, part, sweep, *kept[0])
    return (first, *(one for _, one in kept[1:]))


def _rank(one: Quantity, wanted: tuple[str, ...]) -> tuple[int, int]:
    return (wanted.index(one.sort) if one.sort in wanted else len(wanted), 1 if one.sort in LAST else 0)


def _rough(weight: float) -> float:
    """Weights within some ten per cent count as alike."""
    return float(np.round(np.log(weight) * 5))


def _reference(one: Quantity) -> bool:
    """Among alike levels the one at 1 kHz stands for all."""
    return one.at_hz == (REFERENCE_HZ,)


def _is_told(one: Heard, before: Sequence[tuple[Quantity, Heard]]) -> bool:
    """Whether a level or a resting voltage moves as one told before does."""
    limit = {"level": 1.0, "bias": 0.02}.get(one.sort)
    return limit is not None and any(
        _apart(one, other) < limit for _, other in before if other.sort == one.sort
    )


def _apart(one: Heard, other: Heard) -> float:
    """How unlike two figures move, apart from a constant."""
    first, second = (perceived(each.values, Scale(each.scale)) for each in (one, other))
    shape = first - second
    known = shape[np.isfinite(shape)]
    return float(known.max() - known.min()) if len(known) else np.inf


def _plain(one: Quantity, sweep: Swept, dial: FloatArray) -> Heard:
    values = np.where(sweep.ok, one.read(sweep), np.nan)
    spread = spreading(dial, perceived(values, one.scale)) if not np.isnan(values).any() else None
    return Heard(
        name=one.name,
        unit=one.unit,
        sort=one.sort,
        scale=one.scale.value,
        note=one.note,
        values=values,
        at_0=float(values[0]),
        at_noon=float(np.interp(TENTHS / 2, dial, values)),
        at_10=float(values[-1]),
        weight=_weight(values, one),
        spreading=spread,
    )


def _weight(values: FloatArray, one: Quantity) -> float:
    seen = perceived(values[~np.isnan(values)], one.scale) if not np.isnan(values).all() else np.zeros(1)
    return float((seen.max() - seen.min()) / one.noticed)


def _whole(analysis: Analysis, part: Part, sweep: Swept, one: Quantity, heard: Heard) -> Heard:
    """The leading figure with tolerance and advice."""
    track, certain = part.value or 0.0, _figure(analysis, part, sweep, one, checked=True)
    advice: Advice | None = None
    if heard.spreading is not None:
        found = advise(
            track,
            law_of(part),
            wiring_of(analysis.view, part),
            _figure(analysis, part, sweep, one, checked=False),
            one.scale,
            present_evenness=heard.spreading.evenness,
            points=FEW_POINTS if one.costly else CURVE_POINTS,
        )
        advice = confirmed(found, track, certain, one.scale)
    return replace(heard, tolerance=_tolerance(part, certain), advice=advice)


def _law_alone(analysis: Analysis, part: Part, sweep: Swept, one: Quantity, heard: Heard) -> Heard:
    """The leading figure with another law for its track, where it is spread badly."""
    if heard.spreading is None or heard.spreading.evenness >= BADLY_SPREAD:
        return heard
    figure = _figure(analysis, part, sweep, one, checked=True)
    found = better_law(part.value or 0.0, law_of(part), figure, one.scale, heard.spreading.evenness)
    return replace(heard, advice=found)


def _figure(analysis: Analysis, part: Part, sweep: Swept, one: Quantity, *, checked: bool) -> Figure:
    """The leading figure for any halves of the track, at no more frequencies than it needs."""
    small = sweep.band.small
    band = sweep.band if one.at_hz is None else Band(small, np.array(one.at_hz))

    def figure(halves: Halves) -> FloatArray:
        other = swept(analysis, part, halves, band, one.columns, checked=checked)
        return np.where(other.ok, one.read(other), np.nan)

    return figure


def _tolerance(part: Part, figure: Figure) -> Tolerance:
    track = part.value or 0.0
    factors = (1 - TRACK_TOLERANCE, 1 + TRACK_TOLERANCE)
    cases = joined([halves_at(track * factor, law_of(part), TURNS) for factor in factors])
    smaller, larger = figure(cases).reshape(2, len(TURNS))
    return Tolerance(smaller=smaller, larger=larger)


def _stage_of(analysis: Analysis, part: Part) -> Stage | None:
    role = analysis.stages.roles.get(part.ref)
    return analysis.stages.stage(role.stage) if role is not None and role.stage else None


def _refusals(sweep: Swept, heard: tuple[Heard, ...]) -> Iterable[str]:
    missing = int((~sweep.ok).sum())
    if missing:
        yield f"{missing} of {len(sweep.ok)} positions could not be certified; nothing is told of them."
    if not heard:
        yield "Nothing that is measured changes by as much as is worth telling while this knob is turned."


def _told(
    analysis: Analysis,
    part: Part,
    dial: FloatArray,
    sweep: Swept | None,
    heard: tuple[Heard, ...],
    refusals: tuple[str, ...],
) -> KnobAnswer:
    role, stage = analysis.stages.roles.get(part.ref), _stage_of(analysis, part)
    ok = sweep.ok if sweep is not None else np.zeros(len(dial), dtype=bool)
    known = sweep.residual[ok] if sweep is not None else np.zeros(0)
    return KnobAnswer(
        ref=part.ref,
        kind=part.kind,
        ohms=part.value or 0.0,
        law=law_of(part),
        wiring=wiring_of(analysis.view, part).value,
        role=role.role if role is not None else "",
        stage_title=kind_named(stage.kind).title if stage is not None else "",
        setting=5.0 if part.setting is None else float(part.setting),
        line=part.span.line,
        dial=dial,
        certified=ok,
        residual=float(known.max(initial=0.0)),
        bound=RESIDUAL_BOUND,
        heard=heard,
        refusals=refusals,
    )
