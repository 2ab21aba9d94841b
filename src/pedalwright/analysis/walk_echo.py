"""The echo as the walk-through tells it: delay, repeats, runaway and mix, at the price of a few dozen
milliseconds.

The same loop as `pedalwright.analysis.echo_answers`, at fewer frequencies and over fewer builds; where the
whole answer is wanted, the verb `repeats` gives it.
"""

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from pedalwright.analysis.echo_answers import (
    LOOKED_AT,
    certified_loop,
    last_heard,
    least_ohms,
    loop_through,
    state_over_dials,
    swept_over_dials,
)
from pedalwright.analysis.echo_knobs import built_gains, repeats_knob_parts, strongest_knob
from pedalwright.analysis.levels import FAINT, arriving
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.records import Certified, WalkEcho, WalkEchoChip, WalkEchoKnob, WalkEchoMix
from pedalwright.echo.chip import ChipState, TimePinReading
from pedalwright.echo.cut import Corner, CutCircuit
from pedalwright.echo.figures import value
from pedalwright.echo.loop import MIDDLE_HZ, Loop
from pedalwright.echo.repeats import levels_at, polarity
from pedalwright.echo.stability import SEARCHED_HZ, SEARCHED_POINTS, Peak, first_crossing, peaks
from pedalwright.echo.tolerance import tolerances
from pedalwright.echo.track import HIGHEST, LOWEST, Track, track_of
from pedalwright.solve.band import Band
from pedalwright.stages.stage import Stage, Transfer
from pedalwright.stages.wording import plain_resistance

GRID_HZ = np.geomspace(100.0, 10e3, 41)
"""1 kHz is one of them"""
BUILDS = 200
PLACES = np.linspace(LOWEST, HIGHEST, 11)
LEAK = 1e-3
"""what comes back 60 dB softer leaks back, and is no repeat (house rule)"""
MOVED = 1.05
"""a time knob that moves a delay by less does so by accident"""
CLEARLY = 10.0
"""of dry sound and repeats, what is so many times the other is told as that alone"""


def walk_echo(
    analysis: Analysis, band: Band | None, transfers: Mapping[str, Transfer | None]
) -> tuple[WalkEcho | None, tuple[Certified, ...]]:
    """The echo of a circuit for its walk-through, and how far it can be trusted; None without an echo chip.

    Never raises for a circuit that was read: what cannot be had is a refusal with its reason.
    """
    chips = analysis.view.parts_of("echo-chip")
    if not chips:
        return None, ()
    if not analysis.rest.certificate.ok or analysis.small is None:
        return _refused("No echo is told: the resting voltages are not certified."), ()
    swept = [swept_over_dials(analysis, chip) for chip in chips]
    states = tuple(state_over_dials(analysis, *pair) for pair in zip(chips, swept, strict=True))
    try:
        circuit, loop = loop_through(analysis, chips, states, GRID_HZ)
    except np.linalg.LinAlgError:
        return _refused("No echo is told: the circuit could not be solved."), ()
    except LookupError as reason:
        return _refused(f"No echo is told: {reason.args[0]}"), ()
    certified = certified_loop(loop)
    if not certified.ok:
        return _refused(f"No echo is told: the loop is {loop.certificate.says()}."), (certified,)
    told = tuple(_chip(analysis, *pair, loop) for pair in zip(states, swept, strict=True))
    mixes = tuple(_mixes(analysis, band, transfers)) if band is not None else ()
    return _told(loop, told, tuple(_knobs(analysis, circuit, loop)), mixes), (certified,)


def _refused(reason: str) -> WalkEcho:
    return WalkEcho(
        reference_hz=MIDDLE_HZ,
        chips=(),
        knobs=(),
        mixes=(),
        first_s=None,
        against_dry_db=None,
        side=None,
        comes_again=False,
        heard=None,
        last_heard_s=None,
        refusals=(reason,),
    )


def _told(
    loop: Loop,
    chips: tuple[WalkEchoChip, ...],
    knobs: tuple[WalkEchoKnob, ...],
    mixes: tuple[WalkEchoMix, ...],
) -> WalkEcho:
    arrivals, place = levels_at(loop, LOOKED_AT), loop.at(MIDDLE_HZ)
    dry = float(abs(loop.h0[place]))
    has_both = bool(arrivals) and dry > FAINT
    last = last_heard(arrivals)
    return WalkEcho(
        reference_hz=MIDDLE_HZ,
        chips=chips,
        knobs=knobs,
        mixes=mixes,
        first_s=arrivals[0][0] if arrivals else None,
        against_dry_db=arrivals[0][1] - 20 * float(np.log10(dry)) if has_both else None,
        side=_side(loop, place) if has_both else None,
        comes_again=_comes_again(loop),
        heard=last[0] if last else None,
        last_heard_s=last[1] if last else None,
    )


def _comes_again(loop: Loop) -> bool:
    """Whether what is led back could ever be heard, rather than leak."""
    return bool(np.abs(loop.a).max(initial=0.0) > LEAK)


def _side(loop: Loop, place: int) -> int | None:
    """The sign of the earliest chip's first repeat against the dry sound; None where it passes two chips
    first.
    """
    chip = int(np.argmin(loop.delays_s))
    once = loop.c[:, chip] * loop.b[:, chip]
    if abs(once[place]) <= FAINT:
        return None
    return polarity(loop.frequency_hz, once, place) * polarity(loop.frequency_hz, loop.h0, place)


def _chip(
    analysis: Analysis, state: ChipState, swept: tuple[TimePinReading, ...], loop: Loop
) -> WalkEchoChip:
    ends, least = _delay_range(swept), least_ohms(swept)
    peak_v = None
    if analysis.circuit.input is not None and state.ref in loop.chips:
        gain = abs(loop.b[loop.at(MIDDLE_HZ), loop.chips.index(state.ref)])
        peak_v = float(gain) * analysis.circuit.input.level_v
    room = None if not peak_v else float(20 * np.log10(value("output_swing_v") / peak_v))
    return WalkEchoChip(
        chip=state.ref,
        delay_s=state.delay_s,
        low_s=state.low_s,
        high_s=state.high_s,
        within_table=state.within_table,
        shortest_s=ends[0] if ends else None,
        longest_s=ends[1] if ends else None,
        time_ohms=state.time_ohms,
        least_ohms=state.time_ohms if least is None else least,
        start=state.start.name.lower(),
        coder_peak_v=peak_v,
        coder_room_db=room,
    )


def _delay_range(swept: tuple[TimePinReading, ...]) -> tuple[float, float] | None:
    """Shortest and longest delay over the turn of the time knobs, each alone."""
    found = [one.delay_s[np.isfinite(one.delay_s)] for one in swept]
    moved = [delays for delays in found if len(delays) and delays.max() > MOVED * delays.min()]
    if not moved:
        return None
    return min(float(one.min()) for one in moved), max(float(one.max()) for one in moved)


def _knobs(analysis: Analysis, circuit: CutCircuit, loop: Loop) -> Iterable[WalkEchoKnob]:
    parts = repeats_knob_parts(analysis)
    if not parts and _comes_again(loop):
        parts = strongest_knob(analysis, circuit, loop.gains)
    for part in parts:
        track = track_of(part)
        yield _knob(analysis, replace(circuit, halves=track.halves), track, loop)


def _knob(analysis: Analysis, circuit: CutCircuit, track: Track, loop: Loop) -> WalkEchoKnob:
    corner = circuit.corner(np.geomspace(*SEARCHED_HZ, SEARCHED_POINTS))

    def at(position: float) -> Peak:
        ways = corner.ways(loop.gains[None], track.grown(position)[None])
        gain, frequency = peaks(ways, corner.frequency_hz)
        return Peak(gain=float(gain[0]), frequency_hz=float(frequency[0]))

    now, full, position = at(track.now), at(HIGHEST), first_crossing(at)
    shares = tolerances(analysis.circuit.parts, analysis.primitives, circuit.small.names, track.ref)
    built = built_gains(circuit, track, shares, np.array([track.now, HIGHEST]), BUILDS)
    shares_now, shares_full = (built >= 1.0).mean(axis=1)
    return WalkEchoKnob(
        knob=track.ref,
        position=track.now,
        comes_back=now.gain,
        peak_hz=now.frequency_hz,
        margin_db=now.margin_db,
        fully_up=full.gain,
        fully_up_margin_db=full.margin_db,
        runs_away_from=position,
        howl_hz=None if position is None else at(position).frequency_hz,
        builds=BUILDS,
        share_running_away=float(shares_full),
        share_running_away_now=float(shares_now),
        wet_change_db=_wet_change_db(circuit.corner(np.array([MIDDLE_HZ])), track, loop),
    )


def _wet_change_db(corner: Corner, track: Track, loop: Loop) -> float | None:
    """By how much the way from the decoders to the output changes over the dial; None where none leads
    there.
    """
    if not corner.circuit.output_net:
        return None
    found = [
        float(np.abs(corner.matrices(loop.gains[None], track.grown(float(at))[None]).c).max())
        for at in PLACES
    ]
    if max(found) <= FAINT:
        return None
    return float(20 * np.log10(max(found) / max(min(found), 1e-9)))


def _mixes(analysis: Analysis, band: Band, transfers: Mapping[str, Transfer | None]) -> Iterable[WalkEchoMix]:
    """Stages of the signal path at which dry sound and repeats come in side by side."""
    for name in analysis.path.main:
        stage, transfer = analysis.stages.stage(name), transfers.get(name)
        if transfer is None or len(transfer.inputs) < 2:
            continue
        gains = transfer.gains(np.array([2j * np.pi * MIDDLE_HZ]))
        weights = {net: float(abs(gain[0])) for net, gain in zip(transfer.inputs, gains, strict=True)}
        levels = {net: arriving(analysis, band, net) for net in transfer.inputs}
        dry = [net for net, (direct, late) in levels.items() if direct > max(FAINT, CLEARLY * late)]
        wet = [net for net, (direct, late) in levels.items() if late > max(FAINT, CLEARLY * direct)]
        if dry and wet:
            yield _mix(stage, dry[0], wet[0], weights, levels)


def _mix(
    stage: Stage, dry: str, wet: str, weights: Mapping[str, float], levels: Mapping[str, tuple[float, float]]
) -> WalkEchoMix:
    dry_parts, dry_ohms = _arm(stage, dry)
    wet_parts, wet_ohms = _arm(stage, wet)
    return WalkEchoMix(
        stage=stage.name,
        dry_net=dry,
        wet_net=wet,
        dry_parts=dry_parts,
        wet_parts=wet_parts,
        dry_ohms=dry_ohms,
        wet_ohms=wet_ohms,
        dry_weight=weights[dry],
        wet_weight=weights[wet],
        dry_level_db=float(20 * np.log10(levels[dry][0])),
        wet_level_db=float(20 * np.log10(levels[wet][1])),
    )


def _arm(stage: Stage, net: str) -> tuple[tuple[str, ...], float | None]:
    """The resistors through which a net comes into a mixer, and their resistance; nothing where the stage has
    no such row.
    """
    rows = stage.branches.get("input", ())
    if len(rows) != len(stage.inputs) or net not in stage.inputs:
        return (), None
    row = rows[stage.inputs.index(net)]
    ohms = plain_resistance(row)
    found = tuple(dict.fromkeys(leaf.ref for leaf in row.leaves() if leaf.sort == "R"))
    return (found, ohms) if found and np.isfinite(ohms) else ((), None)
