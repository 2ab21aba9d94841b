"""An envelope at the time pin: what one volt of it, from whatever drives the pin, does to delay and pitch.

How high an envelope really gets is not known before the time domain, so all is for one volt upward. It rises
straight in `RISE_S` and falls with the time constant `FALL_S` (house figures: a plucked string's attack, and
the fall of a usual envelope follower; no source).
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.knob_swing import OSCILLATORS, Swing, sine_of_circuit, triangle_of_circuit
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.echo.chip import reading, time_pin
from pedalwright.echo.figures import value
from pedalwright.echo.loop import Loop
from pedalwright.echo.modulation import ClockStops, Moved, Reach, moved_once, reach
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.band import Band
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.stage import Stage

RISE_S, FALL_S = 10e-3, 300e-3
STEP_S, STEPS = 0.5e-3, 2**15
"""16 s: long against the fall and against the capacitors that lead an envelope to the pin"""
SLOWEST_HZ, PER_DECADE = 1e-3, 24
MOVES_S = 1e-6
"""a delay that swings by less stands still"""
FOLLOWS = 1e-3
"""a net that moves by this share of an oscillator's wave belongs to the oscillator"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EnvelopeAnswer:
    """One chip's delay moved by one volt upward at `net`, over time from its beginning.

    `moved` is None where the clock would stop; `at_limit_s` is how long the chip cannot follow.
    """

    chip: str
    net: str
    rise_s: float
    fall_s: float
    rest_s: float
    moved: Moved | None
    reach: Reach
    at_limit_s: float


def envelope_v() -> tuple[FloatArray, FloatArray]:
    """Time [s] and the envelope of one volt [V], both (STEPS,)."""
    time_s = STEP_S * np.arange(STEPS, dtype=np.float64)
    fall = np.exp(-np.maximum(time_s - RISE_S, 0.0) / FALL_S)
    return np.asarray(time_s), np.asarray(np.where(time_s < RISE_S, time_s / RISE_S, fall))


def envelope_answers(analysis: Analysis, chips: tuple[Part, ...], loop: Loop) -> Iterable[EnvelopeAnswer]:
    """Every chip whose time pin is led to a driven net that no slow oscillator moves."""
    driven = [
        (chip, net)
        for chip in chips
        if chip.ref in loop.chips
        for stage in analysis.stages.stages
        if stage.kind == "delay-time-network" and stage.output == chip.net("6")
        for net in _drivers(analysis, stage)
    ]
    if not driven or analysis.small is None:
        return
    count = int(PER_DECADE * np.log10(0.5 / STEP_S / SLOWEST_HZ)) + 1
    band = Band(analysis.small, np.geomspace(SLOWEST_HZ, 0.5 / STEP_S, count))
    if not band.ok:
        return
    swing = triangle_of_circuit(analysis) or sine_of_circuit(analysis)
    for chip, net in driven:
        if band.knows(net) and not _follows(band, swing, net):
            told = _moved(analysis, chip, net, _transfer(band, net, chip.net("6")))
            if told.moved is None or told.moved.swing_s > MOVES_S:
                yield told


def _drivers(analysis: Analysis, stage: Stage) -> Iterable[str]:
    """Nets that drive a time network from outside: outputs, and jacks other than those of the signal."""
    oscillators = {one.output for one in analysis.stages.stages if one.kind in OSCILLATORS}
    jacks = {net for part in analysis.circuit.parts if part.kind == "jack" for net in part.nets}
    inner = {net for name, net in stage.nets.items() if name != "time"}
    found = dict.fromkeys((*stage.inputs, *sorted(inner & jacks)))
    return (net for net in found if net not in oscillators and net != stage.output)


def _follows(band: Band, swing: Swing | None, net: str) -> bool:
    """Whether a net is the slow oscillator's own or led from it."""
    if swing is None or not band.knows(swing.net):
        return False
    return bool(np.abs(_transfer(band, swing.net, net)).max() > FOLLOWS)


def _transfer(band: Band, start: str, end: str) -> ComplexArray:
    """How far one net moves for one volt at another (frequencies,)."""
    column = exciting_column(band, start)
    with np.errstate(all="ignore"):
        found = band.table[:, band.row(end), column] / band.table[:, band.row(start), column]
    return np.asarray(np.nan_to_num(found))


def _moved(analysis: Analysis, chip: Part, net: str, transfer: ComplexArray) -> EnvelopeAnswer:
    seen = time_pin(chip, analysis.rest)
    rest_s = float(seen.delay_s[0])
    time_s, volts = envelope_v()
    moves_v = _through(volts, transfer)
    wanted = reading(seen.volts[0] + moves_v, seen.amperes[0] - moves_v / value("time_pin_ohms")).delay_s
    limits = reach(wanted)
    moved = None
    if not limits.stalls:
        try:
            moved = moved_once(time_s, rest_s / wanted - 1.0, delay_s=rest_s)
        except ClockStops:
            moved = None
    return EnvelopeAnswer(
        chip=chip.ref,
        net=net,
        rise_s=RISE_S,
        fall_s=FALL_S,
        rest_s=rest_s,
        moved=moved,
        reach=limits,
        at_limit_s=limits.at_limit * STEP_S * STEPS,
    )


def _through(volts: FloatArray, transfer: ComplexArray) -> FloatArray:
    """A waveform after a network whose gain is known at frequencies evenly spaced by ratio; between them a
    cubic spline.
    """
    from scipy.interpolate import CubicSpline

    known_hz = np.geomspace(SLOWEST_HZ, 0.5 / STEP_S, len(transfer))
    wanted_hz = np.maximum(np.fft.rfftfreq(len(volts), STEP_S), SLOWEST_HZ)
    gain = CubicSpline(np.log(known_hz), transfer)(np.log(wanted_hz))
    passed = np.fft.irfft(np.fft.rfft(volts) * gain, len(volts))
    # It stood still before it began.
    return np.asarray(passed - passed[0])
