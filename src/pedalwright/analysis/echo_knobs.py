"""What time and repeats knobs do to an echo, over the whole dial."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from pedalwright.analysis.echo_records import RepeatsKnob, TimeKnob
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.echo.builds import LISTENED_HZ, build_many, chip_gains
from pedalwright.echo.chip import TimePinReading, time_pin
from pedalwright.echo.cut import Corner, CutCircuit
from pedalwright.echo.delay_law import supply_shift_s
from pedalwright.echo.figures import value
from pedalwright.echo.stability import peaks, runaway
from pedalwright.echo.tolerance import tolerance_of, tolerances
from pedalwright.echo.track import HIGHEST, LOWEST, Track, track_of
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.rest import operating_points

DIAL = np.linspace(LOWEST, HIGHEST, 41)
FAN_BUILDS = 200
MOVED = 1.05
"""a knob that moves a delay by less does so by accident"""
FELT_DB = 1.0
"""a knob that changes the loop by less is not what sets the repeats"""


def time_knob_parts(analysis: Analysis) -> tuple[Part, ...]:
    """Knobs with the role of time knob."""
    return _with_role(analysis, "delay-time-network", "time knob")


def repeats_knob_parts(analysis: Analysis) -> tuple[Part, ...]:
    """Knobs with the role of repeats knob; where there is none, see `strongest_knob`."""
    return _with_role(analysis, "feedback-path", "repeats knob")


def _with_role(analysis: Analysis, kind: str, role: str) -> tuple[Part, ...]:
    refs = [ref for stage in analysis.stages.stages if stage.kind == kind for ref in stage.with_role(role)]
    return tuple(analysis.circuit.by_ref[ref] for ref in dict.fromkeys(refs))


def swept_time_pin(analysis: Analysis, chip: Part, track: Track, factor: float = 1.0) -> TimePinReading:
    """What a chip's time pin sees over the dial of a knob whose track is off by a factor."""
    known = set(analysis.system.names)
    ohms = track.ohms_at(DIAL) * factor
    changes: Mapping[str, FloatArray] = {
        half.name: ohms[:, place] for place, half in enumerate(track.halves) if half.name in known
    }
    return time_pin(chip, operating_points(analysis.system, changes, nominal=analysis.rest))


def time_knobs(analysis: Analysis, chips: Iterable[Part]) -> Iterable[TimeKnob]:
    """Every time knob with every chip whose delay it moves."""
    for part in time_knob_parts(analysis):
        track, share = track_of(part), tolerance_of(part) or 0.0
        for chip in chips:
            typical = swept_time_pin(analysis, chip, track)
            if np.nanmax(typical.delay_s, initial=0.0) > MOVED * np.nanmin(typical.delay_s, initial=np.inf):
                yield _time_knob(analysis, part, chip, track, share, typical)


def _time_knob(
    analysis: Analysis, part: Part, chip: Part, track: Track, share: float, typical: TimePinReading
) -> TimeKnob:
    ends = [swept_time_pin(analysis, chip, track, factor).delay_s for factor in (1 - share, 1 + share)]
    supply_v = analysis.rest.volts(chip.net("1")) - analysis.rest.volts(chip.net("4"))
    shift, spread = float(supply_shift_s(supply_v)), value("unit_spread")
    return TimeKnob(
        knob=part.ref,
        chip=chip.ref,
        now=track.now,
        positions=DIAL,
        delay_s=typical.delay_s,
        low_s=np.minimum(*ends) * (1 - spread) - shift,
        high_s=np.maximum(*ends) * (1 + spread) + shift,
        track_tolerance=share,
    )


def strongest_knob(analysis: Analysis, circuit: CutCircuit, gains: FloatArray) -> tuple[Part, ...]:
    """Where no repeats knob was recognised: the knob that changes what comes back the most, if any does."""
    felt: list[tuple[float, Part]] = []
    for part in analysis.circuit.knobs:
        track = track_of(part)
        corner = replace(circuit, halves=track.halves).corner(LISTENED_HZ)
        found = _typical_gains(corner, track, gains, DIAL[::8])
        span_db = 20 * np.log10((max(found) + 1e-9) / (min(found) + 1e-9))
        if span_db > FELT_DB:
            felt.append((float(span_db), part))
    return (max(felt, key=lambda one: one[0])[1],) if felt else ()


def _typical_gains(corner: Corner, track: Track, gains: FloatArray, positions: FloatArray) -> FloatArray:
    """The most that comes back at each position."""
    found = (corner.ways(gains[None], track.grown(at)[None]) for at in positions)
    return np.array([float(peaks(one, corner.frequency_hz)[0][0]) for one in found])


def repeats_knob(
    analysis: Analysis, circuit: CutCircuit, part: Part, gains: FloatArray, delays_s: FloatArray, count: int
) -> RepeatsKnob:
    """Where a repeats knob runs the loop away, typical and over many builds."""
    track = track_of(part)
    own = replace(circuit, halves=track.halves)
    shares = tolerances(analysis.circuit.parts, analysis.primitives, own.small.names, part.ref)
    many = build_many(own, track, shares, count=count)
    corner = own.corner(LISTENED_HZ)
    low, high = _fan(own, track, shares)
    return RepeatsKnob(
        knob=part.ref,
        now=track.now,
        runaway=runaway(own, track, gains, delays_s),
        positions=DIAL,
        gain=_typical_gains(corner, track, gains, DIAL),
        low=low,
        high=high,
        builds=count,
        position_percentiles=many.position_percentiles(),
        margin_percentiles_db=many.margin_percentiles(),
        share_running_away=many.runs_away,
        share_running_away_now=many.runs_away_now,
        build_misfit=many.misfit,
    )


def _fan(circuit: CutCircuit, track: Track, shares: Mapping[str, float]) -> tuple[FloatArray, FloatArray]:
    """The gain once round that 5 and 95 % of some builds stay below, over the dial."""
    low, high = np.percentile(built_gains(circuit, track, shares, DIAL, FAN_BUILDS), (5, 95), axis=1)
    return low, high


def built_gains(
    circuit: CutCircuit, track: Track, shares: Mapping[str, float], positions: FloatArray, count: int
) -> FloatArray:
    """The most that comes back once round in so many builds with parts off their values (positions, count);
    the same builds for the same count.
    """
    rng = np.random.default_rng(2)
    small = circuit.small
    changes = {
        name: small.parameter(name) * (1 + share * rng.uniform(-1, 1, count))
        for name, share in shares.items()
        if name != track.ref
    }
    corner = circuit.corner(LISTENED_HZ, small.changed(changes))
    gains = chip_gains(count, len(circuit.taps), rng)
    factor = 1 + shares.get(track.ref, 0.0) * rng.uniform(-1, 1, count)
    found = [
        peaks(corner.ways(gains, track.grown(np.full(count, at), factor)), LISTENED_HZ)[0] for at in positions
    ]
    return np.array(found)
