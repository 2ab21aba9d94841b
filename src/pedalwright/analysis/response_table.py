"""Level and phase between any two nets, and the impedance at a net, for documents: exact or refused."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import log10

import numpy as np
from numpy.typing import NDArray

from pedalwright.analysis.driving import driven_alone, driven_at
from pedalwright.analysis.levels import REFERENCE_HZ
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import NetMistake, net_named, spoken
from pedalwright.analysis.records import Certified
from pedalwright.analysis.response_band.records import LevelBand
from pedalwright.circuit.circuit import GROUND
from pedalwright.devices.ports import INPUT, OUTPUT_LOAD
from pedalwright.solve.certificate import RESIDUAL_BOUND, Certificate, NotCertified
from pedalwright.solve.corners import Corners, find_corners
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.response import Drive, respond

FloatArray = NDArray[np.float64]
ComplexArray = NDArray[np.complex128]

LOWEST_HZ, HIGHEST_HZ, POINTS = 20.0, 20_000.0, 121
FEWEST_POINTS, MOST_POINTS = 5, 5001
BAND_LIMITS_HZ = (1e-3, 1e7)
NOTABLE = 0.01
"""share of the gain by which other ways must change it before they are mentioned"""
SILENT = 1e-12
"""a net that moves less than this share of what drives it stands still"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """The frequencies of a question, evenly spaced by ratio."""

    low_hz: float = LOWEST_HZ
    high_hz: float = HIGHEST_HZ
    points: int = POINTS

    def frequencies(self) -> FloatArray:
        """The frequencies (points,) [Hz]; raises ValueError with a sentence for a band that cannot be."""
        lowest, highest = BAND_LIMITS_HZ
        if not lowest <= self.low_hz < self.high_hz <= highest:
            raise ValueError("The band goes from a lower to a higher frequency, within 1 mHz and 10 MHz.")
        if not FEWEST_POINTS <= self.points <= MOST_POINTS:
            raise ValueError(f"There can be {FEWEST_POINTS} to {MOST_POINTS} points, not {self.points}.")
        return np.geomspace(self.low_hz, self.high_hz, self.points)


USUAL = Asked()


@dataclass(frozen=True, kw_only=True, eq=False)
class ResponseTable:
    """The gain from one net to another. `gain` (frequencies,) is complex, volts over volts."""

    from_net: str
    to_net: str
    driven_by: str
    """what moves the circuit, in words: the gain is that of both nets under this drive"""
    frequency_hz: FloatArray
    gain: ComplexArray
    corners: Corners | None
    certified: Certified
    notes: tuple[str, ...] = ()
    band: LevelBand | None = None
    """how far builds may be from it, where that was asked for; the same frequencies"""

    @property
    def level_db(self) -> FloatArray:
        """Level in decibels (frequencies,); minus infinity where nothing arrives."""
        with np.errstate(divide="ignore"):
            return np.asarray(20 * np.log10(np.abs(self.gain)))

    @property
    def phase_deg(self) -> FloatArray:
        """Phase in degrees (frequencies,), without jumps, beginning within half a turn of zero."""
        return np.asarray(np.degrees(np.unwrap(np.angle(self.gain))))


@dataclass(frozen=True, kw_only=True, eq=False)
class ImpedanceTable:
    """The impedance between a net and ground. `impedance_ohms` (frequencies,) is complex."""

    net: str
    lifted: str
    """what was unplugged for it, in words; empty when nothing was"""
    frequency_hz: FloatArray
    impedance_ohms: ComplexArray
    certified: Certified
    notes: tuple[str, ...] = ()


def response_table(
    analysis: Analysis, *, from_net: str | None = None, to_net: str | None = None, asked: Asked = USUAL
) -> ResponseTable:
    """The gain between two nets, those of the jacks when None; nets or pins by name.

    Raises NetMistake for a name that is none or a jack that is not there, ValueError for a band that cannot
    be, NotCertified when the answer is not known well enough.
    """
    source, goal = ends_of(analysis, from_net, to_net)
    frequency_hz = asked.frequencies()
    driven = driven_at(analysis, source, frequency_hz)
    answer = respond(driven.small, driven.drive, frequency_hz, open_delays=True)
    gain = answer.gain(goal, over=source)
    if not np.all(np.isfinite(gain)):
        raise NetMistake(f"Nothing can move {spoken(source)}, so there is no gain from it.")
    silent = bool(np.max(np.abs(gain)) < SILENT)
    return ResponseTable(
        from_net=spoken(source),
        to_net=spoken(goal),
        driven_by=driven.words,
        frequency_hz=frequency_hz,
        gain=np.zeros_like(gain) if silent else gain,
        corners=None if silent else _corners(frequency_hz, gain),
        certified=_certified(f"response from {spoken(source)} to {spoken(goal)}", answer.certificate),
        notes=(
            *_about_delays(analysis),
            *((f"No signal from {spoken(source)} arrives at {spoken(goal)}.",) if silent else ()),
            *_other_ways(analysis, source, goal, frequency_hz, gain),
        ),
    )


def _other_ways(
    analysis: Analysis, source: str, goal: str, frequency_hz: FloatArray, gain: ComplexArray
) -> Iterable[str]:
    """A warning when the jack's signal also reaches `goal` by ways that do not pass `source`."""
    jack = analysis.circuit.input
    if jack is None or jack.net in (source, goal) or source == goal:
        return
    driven = driven_alone(analysis, _small(analysis), source)
    alone = respond(driven.small, driven.drive, frequency_hz, open_delays=True).gain(goal, over=source)
    place = int(np.argmin(np.abs(frequency_hz - REFERENCE_HZ)))
    if abs(gain[place] - alone[place]) > NOTABLE * max(abs(gain[place]), SILENT):
        level = decibels_of(alone[place])
        yield (
            f"Part of what is at {spoken(goal)} comes from the jack by other ways than {spoken(source)}. "
            f"Driven at {spoken(source)} alone ({driven.words}), the level at "
            f"{frequency_hz[place]:.0f} Hz is {level}."
        )


def decibels_of(gain: complex) -> str:
    """A gain in decibels for reading."""
    return f"{20 * log10(abs(gain)):+.1f} dB" if abs(gain) > SILENT else "nothing"


def impedance_table(analysis: Analysis, net: str, asked: Asked = USUAL) -> ImpedanceTable:
    """The impedance at a net with every source dead; at a jack, with what is plugged in there taken out.

    Raises as `response_table` does.
    """
    named = net_named(analysis.circuit, net)
    if named == GROUND:
        raise NetMistake(f"Impedances are measured against {GROUND}; name another net.")
    frequency_hz, small = asked.frequencies(), _small(analysis)
    plugged, lifted = _plugged_in(analysis, named)
    seen = small.without(plugged) if plugged else small
    answer = respond(seen, Drive(injections={named: 1.0}), frequency_hz, open_delays=True)
    return ImpedanceTable(
        net=spoken(named),
        lifted=lifted,
        frequency_hz=frequency_hz,
        impedance_ohms=answer.volts(named),
        certified=_certified(f"impedance at {spoken(named)}", answer.certificate),
        notes=_about_delays(analysis),
    )


def ends_of(analysis: Analysis, from_net: str | None, to_net: str | None) -> tuple[str, str]:
    """The two nets a question is about, those of the jacks when None. Raises NetMistake."""
    return _named(analysis, from_net, "input"), _named(analysis, to_net, "output")


def _named(analysis: Analysis, word: str | None, port: str) -> str:
    if word is not None:
        return net_named(analysis.circuit, word)
    jack = analysis.circuit.input if port == "input" else analysis.circuit.output
    if jack is None:
        way = "--from" if port == "input" else "--to"
        raise NetMistake(f"The text names no {port}; say which net with {way} NET.")
    return jack.net


def _small(analysis: Analysis) -> SmallSignal:
    if analysis.small is None:
        raise NotCertified(analysis.rest.certificate)
    return analysis.small


def _plugged_in(analysis: Analysis, net: str) -> tuple[tuple[str, ...], str]:
    """The primitives of what is plugged in at a net, and what that is in words."""
    circuit = analysis.circuit
    at_input = circuit.input is not None and circuit.input.net == net
    at_output = circuit.output is not None and circuit.output.net == net
    owner = INPUT if at_input else OUTPUT_LOAD if at_output else None
    words = "the source at the input jack" if at_input else "the load at the output jack" if at_output else ""
    found = (part for part in analysis.primitives if part.owner == owner)
    # Only what touches the net comes off: what is left of the source needs its own ground to stand on.
    return tuple(
        part.name for part in found if net in (getattr(part, "a", ""), getattr(part, "b", ""))
    ), words


def _about_delays(analysis: Analysis) -> tuple[str, ...]:
    has_chip = any(analysis.view.family[part.ref] == "echo-chip" for part in analysis.circuit.parts)
    return (
        ("The delayed sound is not in these figures: they are those of the direct paths.",)
        if has_chip
        else ()
    )


def _corners(frequency_hz: FloatArray, gain: ComplexArray) -> Corners | None:
    """Corners counted from the highest level in the band: half its power."""
    return find_corners(frequency_hz, gain, float(frequency_hz[np.argmax(np.abs(gain))]))


def _certified(what: str, certificate: Certificate) -> Certified:
    return Certified(
        what=what,
        residual=certificate.residual_a,
        bound=RESIDUAL_BOUND,
        condition=certificate.condition,
        method=certificate.method,
        ok=certificate.ok,
    )
