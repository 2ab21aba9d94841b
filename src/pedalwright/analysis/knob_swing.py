"""Slow oscillators under a knob: their rate, and how far they move the time pin, in cents."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import lru_cache, partial

import numpy as np

from pedalwright.analysis.knob_evenness import Scale
from pedalwright.analysis.knob_heard import Quantity, chips_of
from pedalwright.analysis.knob_sweep import Swept
from pedalwright.analysis.knob_track import Halves
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.devices.kinds._knob import END_OHMS
from pedalwright.echo.chip import reading, time_pin
from pedalwright.echo.figures import value
from pedalwright.echo.modulation import ClockStops, moved_periodically, sine, through, triangle
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.band import Band
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.bench import Bench
from pedalwright.stages.recognise import bench_for, kind_of
from pedalwright.stages.slow_oscillator import TriangleLoop, triangle_loops

HARMONICS = 15
POINTS = 1024
RATE_KINDS = (
    "integrator",
    "schmitt-trigger",
    "comparator",
    "relaxation-oscillator",
    "phase-shift-oscillator",
)
"""stages in which a knob may set an oscillator's rate"""
PHASE_SHIFT = "phase-shift-oscillator"
OSCILLATORS = ("relaxation-oscillator", PHASE_SHIFT)
PER_VOLT = "the oscillator's height is not known before the time domain, so the figure is for each volt of it"


@dataclass(frozen=True, slots=True, kw_only=True)
class Swing:
    """A slow oscillator's wave at `net`: `peak_v` is half its height [V].

    Where the height is not `known` before the time domain, `peak_v` is one volt and everything is for each
    volt.
    """

    net: str
    rate_hz: float
    peak_v: float
    shape: FloatArray
    known: bool


def triangle_of_circuit(analysis: Analysis) -> Swing | None:
    """The circuit's triangle oscillator with the knobs as they stand, its height from the trigger's
    thresholds; None when there is none that runs.
    """
    loop = _loop(bench_for(analysis.circuit))
    if loop is None or not analysis.rest.certificate.ok:
        return None
    amplifiers = {one.name: one for one in analysis.primitives if isinstance(one, ClippingAmplifier)}
    trigger, integrator = amplifiers.get(loop.trigger), amplifiers.get(loop.integrator)
    if trigger is None or integrator is None:
        return None
    high = analysis.rest.volts(trigger.positive_rail) - trigger.high_headroom_v
    low = analysis.rest.volts(trigger.negative_rail) + trigger.low_headroom_v
    peak = loop.triangle_ohms / loop.square_ohms * (high - low) / 2
    return Swing(
        net=integrator.output, rate_hz=loop.frequency_hz, peak_v=peak, shape=triangle(POINTS), known=True
    )


def sine_of_circuit(analysis: Analysis) -> Swing | None:
    """The circuit's phase-shift oscillator, taken as a sine of one volt; None when there is none."""
    rate_hz = _stage_hz(analysis)
    stages = [one for one in analysis.stages.stages if one.kind == PHASE_SHIFT and one.output]
    if not stages or rate_hz is None:
        return None
    return Swing(net=stages[0].output, rate_hz=rate_hz, peak_v=1.0, shape=sine(POINTS), known=False)


def _loop(bench: Bench) -> TriangleLoop | None:
    return next((loop for loop in triangle_loops(bench) if loop.runs), None)


def of_oscillators(analysis: Analysis, band: Band, part: Part) -> Iterable[Quantity]:
    """The oscillator's rate where the knob moves it, the pitch it makes of the delayed sound, and how far it
    swings at the wiper.
    """
    rate = _rate(analysis, part)
    if rate is not None:
        yield Quantity(
            name="rate of the slow oscillator",
            unit="Hz",
            sort="rate",
            scale=Scale.OCTAVES,
            noticed=0.25,
            read=rate,
            costly=True,
        )
    swing = triangle_of_circuit(analysis) or sine_of_circuit(analysis)
    if swing is None:
        return
    each = "" if swing.known else " for each volt of the oscillator"
    for chip in chips_of(analysis, band):
        several = len(chips_of(analysis, band)) > 1
        yield Quantity(
            name=f"pitch swing of {chip.ref if several else 'the delayed sound'}{each}",
            unit="cents",
            sort="pitch",
            scale=Scale.EVEN,
            noticed=1.0,
            read=_pitch(analysis, chip, swing, rate),
            costly=True,
            note="the larger of the two extremes of one period" if swing.known else PER_VOLT,
        )
    if rate is None and swing.known:
        yield from _at_wiper(band, part, swing)


def _at_wiper(band: Band, part: Part, swing: Swing) -> Iterable[Quantity]:
    column, net = exciting_column(band, swing.net), part.net("2")
    if not band.knows(net):
        return

    def read(sweep: Swept) -> FloatArray:
        low = sweep.again(np.array([swing.rate_hz]), [column])
        with np.errstate(all="ignore"):
            sizes = np.abs(low.moved(column, net) / low.moved(column, swing.net))[:, 0]
        return np.asarray(sizes * swing.peak_v)

    yield Quantity(
        name=f"swing of the slow oscillator at {spoken(net)}",
        unit="V",
        sort="swing",
        scale=Scale.EVEN,
        noticed=0.05,
        read=read,
        note="peak, of the oscillator's fundamental",
    )


def _rate(analysis: Analysis, part: Part) -> Callable[[Swept], FloatArray] | None:
    """The rate from the oscillator's closed form with the knob in other places; None when it does not move
    it.
    """
    role = analysis.stages.roles.get(part.ref)
    if role is None or role.kind not in RATE_KINDS:
        return None
    for one in (_triangle_hz, _stage_hz):
        ends = [one(_moved(analysis, part, *pair)) for pair in _ends(part)]
        if None not in ends and ends[0] != ends[1]:
            known = lru_cache(maxsize=4)(partial(_rates, analysis, part, one))
            return lambda sweep, known=known: known(sweep.halves)  # type: ignore[misc]
    return None


def _ends(part: Part) -> tuple[tuple[float, float], tuple[float, float]]:
    far = (part.value or 0.0) - END_OHMS
    return (END_OHMS, far), (far, END_OHMS)


def _rates(
    analysis: Analysis, part: Part, rate: Callable[[Analysis], float | None], halves: Halves
) -> FloatArray:
    pairs = zip(halves.lower.tolist(), halves.upper.tolist(), strict=True)
    found = [rate(_moved(analysis, part, low, high)) for low, high in pairs]
    return np.array([np.nan if one is None else one for one in found])


def _moved(analysis: Analysis, part: Part, lower: float, upper: float) -> Analysis:
    """The circuit with the halves of one track at these resistances."""
    track = lower + upper
    share = (lower - END_OHMS) / (track - 2 * END_OHMS)
    turned = replace(part, value=track, law="linear", setting=float(np.clip(10 * share, 0.0, 10.0)))
    return Analysis(analysis.circuit.with_parts({part.ref: turned}))


def _triangle_hz(analysis: Analysis) -> float | None:
    loop = _loop(bench_for(analysis.circuit))
    return None if loop is None else loop.frequency_hz


def _stage_hz(analysis: Analysis) -> float | None:
    """The frequency an oscillator's own stage tells, by the full circuit where it is known."""
    for stage in analysis.stages.stages:
        if stage.kind in OSCILLATORS:
            for number in kind_of(stage).numbers(stage, analysis.bench):
                if number.name == "frequency":
                    return number.full if number.full is not None else number.closed
    return None


def _pitch(
    analysis: Analysis, chip: Part, swing: Swing, rate: Callable[[Swept], FloatArray] | None
) -> Callable[[Swept], FloatArray]:
    def read(sweep: Swept) -> FloatArray:
        rates = np.full(sweep.halves.count, swing.rate_hz) if rate is None else rate(sweep)
        seen = time_pin(chip, sweep.rests)
        moves = _pin_transfer(sweep, chip, swing, rates)
        places = zip(rates, seen.volts, seen.amperes, moves, strict=True)
        return np.array([_cents(swing.shape, *place) for place in places])

    return read


def _pin_transfer(sweep: Swept, chip: Part, swing: Swing, rates: FloatArray) -> ComplexArray:
    """How far the time pin moves for each harmonic of the wave (positions, harmonics) [V]."""
    order = np.arange(1, HARMONICS + 1, 2)
    column, pin = exciting_column(sweep.band, swing.net), chip.net("6")
    if np.all(rates == rates[0]):
        low = sweep.again(rates[0] * order, [column])
        at_pin, at_start = low.moved(column, pin), low.moved(column, swing.net)
    else:
        both = sweep.at_own(rates[:, None] * order, column, [pin, swing.net])
        at_pin, at_start = both[..., 0], both[..., 1]
    # Triangle and sine have odd harmonics only.
    found = np.zeros((len(rates), HARMONICS), dtype=complex)
    with np.errstate(all="ignore"):
        found[:, ::2] = swing.peak_v * at_pin / at_start
    return found


def _cents(shape: FloatArray, rate_hz: float, volts: float, amperes: float, transfer: ComplexArray) -> float:
    """The largest pitch deviation of one period [cent]; nan where the clock would stop."""
    if not (np.isfinite(rate_hz) and np.isfinite(transfer).all()):
        return float("nan")
    moves = through(shape, transfer)
    now = reading(volts + moves, amperes - moves / value("time_pin_ohms"))
    rest_s = float(reading(np.array([volts]), np.array([amperes])).delay_s[0])
    if not np.all(np.isfinite(now.delay_s)):
        return float("nan")
    try:
        heard = moved_periodically(rest_s / now.delay_s - 1.0, rate_hz=rate_hz, delay_s=rest_s)
    except ClockStops:
        return float("nan")
    return max(heard.up_cents, -heard.down_cents)
