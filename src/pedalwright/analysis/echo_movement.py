"""What an echo does beyond repeating: several chips as a reverberation, a slow oscillator at the time pin."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.echo import delay_law
from pedalwright.echo.chip import reading, time_pin
from pedalwright.echo.figures import value
from pedalwright.echo.loop import MIDDLE_HZ, Loop
from pedalwright.echo.modulation import (
    Character,
    ClockStops,
    Moved,
    Reach,
    character,
    moved_periodically,
    reach,
    through,
)
from pedalwright.echo.repeats import polarity
from pedalwright.echo.reverb import (
    MODES_PER_HZ_AND_SECOND,
    Advice,
    advise,
    arrivals_s,
    echo_density,
    least_separate_arrivals,
    mode_density,
    rt60_per_octave_s,
    separate_arrivals,
)
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.band import Band
from pedalwright.solve.gains import exciting_column
from pedalwright.units.preferred import Series, members_between

COUNTED_S = (0.1, 0.3, 0.5, 1.0)
HARMONICS = 15
TRIED_OHMS = (2.2e3, 50e3)
"""resistors tried at the time pins: none below what starts safely, none above what stays quiet"""
BESIDE = 10 ** (-40 / 20)
"""dry sound less than this share of the delayed is none: 40 dB below it (house rule)"""
MOVES_S = 1e-6
"""a delay that swings by less stands still"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReverbAnswer:
    """Several chips as a reverberation, delays as they stand, as though each fed all.

    `counts` holds (time [s], echoes arrived by then, echoes a second then); `modes_per_hz` is wanted to be
    `MODES_PER_HZ_AND_SECOND` for every second of `rt60_s`, the RT60 at 1 kHz: the longest that `modes_per_hz`
    is enough for is `enough_for_s`. `separate` echoes are heard one by one in the first half second,
    `least_separate` with the worst chips; `advice` are resistors that would spread them better, None where
    none were found.
    """

    chips: tuple[str, ...]
    delays_s: tuple[float, ...]
    counts: tuple[tuple[float, int, float], ...]
    modes_per_hz: float
    enough_for_s: float
    rt60_s: float
    separate: int
    least_separate: int
    advice: Advice | None
    octaves_s: tuple[tuple[float, float], ...]
    """(centre [Hz], RT60 [s]) of each octave band; infinite where the sound does not fall"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ModulationAnswer:
    """One chip's delay moved by the circuit's slow oscillator, over one period.

    Where the oscillator's height is not `known` before the time domain all is for one volt of it.
    `moved` and `character` are None where the clock would stop.
    """

    chip: str
    rate_hz: float
    known: bool
    rest_s: float
    moved: Moved | None
    character: Character | None
    reach: Reach


def reverb_answer(loop: Loop) -> ReverbAnswer | None:
    """The reverberation of several chips that feed back; None for one chip, or without a way round."""
    delays = tuple(float(delay) for delay in loop.delays_s)
    if len(delays) < 2 or not loop.recirculates:
        return None
    octaves = rt60_per_octave_s(loop.frequency_hz, loop.a, delays)
    modes, least = mode_density(delays), least_separate_arrivals(delays)
    counts = ((at, len(arrivals_s(delays, at)), echo_density(delays, at)) for at in COUNTED_S)
    return ReverbAnswer(
        chips=loop.chips,
        delays_s=delays,
        counts=tuple(counts),
        modes_per_hz=modes,
        enough_for_s=modes / MODES_PER_HZ_AND_SECOND,
        rt60_s=octaves[MIDDLE_HZ],
        separate=separate_arrivals(delays),
        least_separate=least,
        advice=_advice(delays, least),
        octaves_s=tuple(octaves.items()),
    )


def _advice(delays_s: tuple[float, ...], least: int) -> Advice | None:
    """The resistors whose worst chips keep the most echoes apart, where that is more than now."""
    ohms = members_between(*TRIED_OHMS, Series.E12)
    found = advise(delays_s, ohms, lambda resistance: float(delay_law.delay_s(resistance)))
    return found[0] if found and found[0].least_separate > least else None


def modulation_answers(analysis: Analysis, chips: tuple[Part, ...], loop: Loop) -> Iterable[ModulationAnswer]:
    """Every chip whose time pin the circuit's slow oscillator moves."""
    # Imported here: only a circuit with an oscillator needs it.
    from pedalwright.analysis.knob_swing import Swing, sine_of_circuit, triangle_of_circuit

    swing: Swing | None = triangle_of_circuit(analysis) or sine_of_circuit(analysis)
    if swing is None or analysis.small is None:
        return
    order = np.arange(1.0, HARMONICS + 1, 2, dtype=np.float64)
    band = Band(analysis.small, np.asarray(swing.rate_hz * order, dtype=np.float64))
    if not band.ok or not band.knows(swing.net):
        return
    column = exciting_column(band, swing.net)
    for chip in chips:
        if chip.ref not in loop.chips:
            continue
        # A triangle and a sine have odd harmonics only.
        transfer = np.zeros(HARMONICS, dtype=complex)
        at_pin, at_start = (band.table[:, band.row(net), column] for net in (chip.net("6"), swing.net))
        transfer[::2] = swing.peak_v * at_pin / at_start
        told = _moved(analysis, chip, through(swing.shape, transfer), swing.rate_hz, loop, known=swing.known)
        if told.moved is None or told.moved.swing_s > MOVES_S:
            yield told


def _moved(
    analysis: Analysis, chip: Part, moves_v: FloatArray, rate_hz: float, loop: Loop, *, known: bool
) -> ModulationAnswer:
    seen = time_pin(chip, analysis.rest)
    rest_s = float(seen.delay_s[0])
    wanted = reading(seen.volts[0] + moves_v, seen.amperes[0] - moves_v / value("time_pin_ohms")).delay_s
    moved = None
    if np.all(np.isfinite(wanted)):
        try:
            moved = moved_periodically(rest_s / wanted - 1.0, rate_hz=rate_hz, delay_s=rest_s)
        except ClockStops:
            moved = None
    return ModulationAnswer(
        chip=chip.ref,
        rate_hz=rate_hz,
        known=known,
        rest_s=rest_s,
        moved=moved,
        character=None if moved is None else _character(moved, chip, loop),
        reach=reach(wanted),
    )


def _character(moved: Moved, chip: Part, loop: Loop) -> Character:
    place, number = loop.at(MIDDLE_HZ), loop.chips.index(chip.ref)
    once = loop.c[:, number] * loop.b[:, number]
    wet, dry = float(abs(once[place])), float(abs(loop.h0[place]))
    sides = polarity(loop.frequency_hz, once, place) * polarity(loop.frequency_hz, loop.h0, place)
    heard = dry if dry > BESIDE * wet else 0.0
    return character(moved, wet=wet, dry=heard, inverted=heard > 0 and sides < 0)
