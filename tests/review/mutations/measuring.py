"""Does a mistake matter? Measured on the circuit alone; nothing here knows the review.

A mistake matters when, with the knobs as they stand or any one of them at either end,

- the text is refused, or the resting voltages can no longer be certified;
- the level at the output differs by more than 3 dB somewhere from 80 Hz to 5 kHz, where either circuit is
  less than 40 dB below its loudest;
- an amplifier's output, or the output jack, rests more than 0.5 V elsewhere, of 9 V;
- a part is over its rating that was not: see `strains`; also with the supply turned round;
- hum from a supply at 100 Hz reaches the output 6 dB stronger, and less than 60 dB below the supply;
- the sum of the harmonics of a 0.3 V tone at 220 Hz differs by more than 3 dB (without an echo chip);
- an echo is lost or its delay differs by a fifth, its level or what comes back by 3 dB, or its clock's start
  becomes unsure;
- a slow oscillator stops, starts, or runs at twice or half its rate;
- a jack or a switch that had a way to ground for direct current has none: it pops.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.levels import first_repeats_db
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.settings import positions
from pedalwright.analysis.walk_echo import walk_echo
from pedalwright.circuit.circuit import GROUND, Circuit
from pedalwright.circuit.primitives import VoltageSource
from pedalwright.devices.ports import INPUT
from pedalwright.solve.band import Band, band_hz
from pedalwright.stages.recognise import kind_of

from .rating import strains

FloatArray = NDArray[np.float64]
CHANGED_DB = 3.0
FROM_HZ, TO_HZ = 80.0, 5000.0
QUIET_DB = 40.0
MOVED_V, USUAL_V = 0.5, 9.0
HUM_DB, HUM_HEARD_DB, HUM_HZ = 6.0, -60.0, 100.0
TONE_HZ, TONE_V, RATE_HZ = 220.0, 0.3, 48_000
SETTLED, PLAYED = 19_200, 9_600
"""frames: 0.4 s to settle, then 44 periods that are looked at"""
DELAY_SHARE, RATE_FACTOR = 0.2, 2.0
NOTHING_DB = -200.0
OSCILLATORS = ("relaxation-oscillator", "phase-shift-oscillator", "integrator", "schmitt-trigger")


@dataclass(frozen=True)
class Measured:
    """One circuit on the bench; every figure is computed when asked for and kept."""

    circuit: Circuit

    @cached_property
    def poses(self) -> Mapping[str, Analysis]:
        """As it stands, each knob at either end, each switch in its other positions."""
        found = {"as it stands": Analysis(self.circuit)}
        for part in (*self.circuit.knobs, *self.circuit.switches):
            places = positions(part) if part.kind == "switch" else (0.0, 10.0)
            for place in places:
                found[f"{part.ref} at {place}"] = Analysis(self.circuit.with_settings({part.ref: place}))
        return found

    @cached_property
    def level_db(self) -> Mapping[str, FloatArray | None]:
        """Level at the output jack for one volt at the source, in every pose; None where not certified."""
        return {says: _level_db(one) for says, one in self.poses.items()}

    @cached_property
    def rest_v(self) -> Mapping[str, float] | None:
        """Resting volts of amplifier outputs and of the output jack, for a supply of 9 V; None where not
        certified. (A pedal fed with more rests higher, and is none the worse for it.)
        """
        here = self.poses["as it stands"]
        if not here.rest.certificate.ok:
            return None
        fed_v = max((abs(supply.volts) for supply in self.circuit.supplies), default=USUAL_V)
        return {name: here.rest.volts(net) * USUAL_V / fed_v for name, net in _outputs(self.circuit)}

    @cached_property
    def strained(self) -> frozenset[str]:
        """What is over its rating, in any pose, and with the supply turned round."""
        found = {what for one in self.poses.values() for what in strains(one)}
        return frozenset(found | {f"{what}, supply turned round" for what in strains(_turned(self.circuit))})

    @cached_property
    def hum_db(self) -> float:
        """The most that any supply moves the output at 100 Hz, against the supply."""
        return _hum_db(self.poses["as it stands"])

    @cached_property
    def tone_v(self) -> FloatArray | None:
        """Amplitudes of the first ten harmonics at the output [V]; None with an echo chip."""
        return _tone_v(self.circuit)

    @cached_property
    def echoes(self) -> Mapping[str, float | str | None]:
        """Delay, level and loop of every echo chip, and how sure its clock starts, in every pose."""
        return {f"{name}, {says}": one for says, pose in self.poses.items() for name, one in _echoes(pose)}

    @cached_property
    def rates_hz(self) -> tuple[float, ...]:
        """The rates of slow oscillators, ascending."""
        return tuple(sorted(_rates_hz(self.poses["as it stands"])))

    @cached_property
    def open_jacks(self) -> frozenset[str]:
        """The ports and switch contacts from which no direct current can get to a held net."""
        return frozenset(_without_path(self.circuit))


def _level_db(analysis: Analysis) -> FloatArray | None:
    output = analysis.circuit.output
    if analysis.small is None or output is None or analysis.circuit.input is None:
        return None
    band = _band(analysis)
    if band is None or not band.knows(output.net):
        return None
    wanted = (band.frequency_hz >= FROM_HZ) & (band.frequency_hz <= TO_HZ)
    return _db(np.abs(band.source_column(INPUT)[wanted, band.row(output.net)]))


def _band(analysis: Analysis) -> Band | None:
    if analysis.small is None:
        return None
    if "band" not in analysis.kept:
        try:
            band = Band(analysis.small, band_hz())
            analysis.kept["band"] = band if band.ok else None
        except np.linalg.LinAlgError:
            analysis.kept["band"] = None
    found = analysis.kept["band"]
    return found if isinstance(found, Band) else None


def _db(values: FloatArray) -> FloatArray:
    return np.asarray(20 * np.log10(np.maximum(values, 1e-10)))


def _outputs(circuit: Circuit) -> Iterable[tuple[str, str]]:
    for part in circuit.parts:
        for pin, net in part.pins:
            if pin.endswith("out") or pin in ("c", "d"):
                yield f"{part.ref}.{pin}", net
    if circuit.output is not None:
        yield "the output", circuit.output.net


def _turned(circuit: Circuit) -> Analysis:
    supplies = tuple(
        replace(one, volts=-one.volts, low_v=-one.volts, high_v=-one.volts) for one in circuit.supplies
    )
    return Analysis(replace(circuit, supplies=supplies))


def _hum_db(analysis: Analysis) -> float:
    band, output = _band(analysis), analysis.circuit.output
    if band is None or output is None or not band.knows(output.net):
        return NOTHING_DB
    feeds = {supply.net for supply in analysis.circuit.supplies}
    sources = [one for one in analysis.primitives if isinstance(one, VoltageSource) and one.plus in feeds]
    at = int(np.argmin(np.abs(band.frequency_hz - HUM_HZ)))
    moved = [abs(band.source_column(one.name)[at, band.row(output.net)]) for one in sources]
    return float(_db(np.array([max(moved, default=0.0)]))[0])


def _tone_v(circuit: Circuit) -> FloatArray | None:
    from pedalwright.sound.player import Player
    from pedalwright.sound.unusable import UnusableSound

    if circuit.input is None or circuit.output is None:
        return None
    if any(part.kind == "echo-chip" for part in circuit.parts):
        return None
    try:
        player = Player.of(circuit)
        times_s = np.arange(SETTLED + PLAYED) / RATE_HZ
        played = player.play(TONE_V * np.sin(2 * np.pi * TONE_HZ * times_s))[-PLAYED:]
    except (UnusableSound, ValueError, ArithmeticError, np.linalg.LinAlgError):
        return None
    spectrum = np.abs(np.fft.rfft(played)) * 2 / PLAYED
    period = round(TONE_HZ * PLAYED / RATE_HZ)
    return np.asarray(spectrum[period : 11 * period : period])


def _echoes(analysis: Analysis) -> Iterable[tuple[str, float | str | None]]:
    band = _band(analysis)
    if not any(part.kind == "echo-chip" for part in analysis.circuit.parts) or band is None:
        return
    told, _ = walk_echo(analysis, band, {})
    if told is None or told.refusals:
        return
    for chip in told.chips:
        yield f"{chip.chip} delay", chip.delay_s
        yield f"{chip.chip} start", chip.start
    for knob in told.knobs:
        yield f"{knob.knob} comes back", knob.comes_back
    for ref, level in first_repeats_db(analysis, band):
        yield f"{ref} level", level


def _rates_hz(analysis: Analysis) -> Iterable[float]:
    for stage in analysis.stages.stages:
        if stage.kind in OSCILLATORS:
            numbers = kind_of(stage).numbers(stage, analysis.bench)
            yield from (one.closed for one in numbers if one.unit == "Hz" and one.closed and one.closed > 0)


PASSING = ("resistor", "knob", "trim", "inductor", "fuse")


def _without_path(circuit: Circuit) -> Iterable[str]:
    """Jacks and switch contacts with no way for direct current to ground or to an amplifier's output."""
    reached = {GROUND, *(supply.net for supply in circuit.supplies)}
    held = [net for part in circuit.parts for pin, net in part.pins if pin.endswith("out")]
    reached |= {*held}
    links = [set(part.nets) for part in circuit.parts if part.kind in PASSING]
    while any(link & reached and not link <= reached for link in links):
        reached |= {net for link in links if link & reached for net in link}
    for word, port in (("input", circuit.input), ("output", circuit.output)):
        if port is not None and port.net not in reached:
            yield word
    for part in circuit.switches:
        yield from (f"{part.ref}.{pin}" for pin, net in part.pins if net not in reached)
