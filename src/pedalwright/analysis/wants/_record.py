"""What a wanted quantity is, and the desk on which it is measured."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from pedalwright.analysis.echo_answers import certified_loop, loop_through, state_over_dials
from pedalwright.analysis.echo_knobs import repeats_knob_parts
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.overall import overall
from pedalwright.analysis.records import Overall
from pedalwright.analysis.settings import positions
from pedalwright.analysis.time_pin_range import TimePlace, time_places
from pedalwright.circuit.part import Part
from pedalwright.echo.chip import ChipState, TimePinReading
from pedalwright.echo.cut import CutCircuit
from pedalwright.echo.loop import Loop
from pedalwright.echo.track import Track, track_of
from pedalwright.solve.band import Band, band_hz

LOOP_HZ = np.geomspace(20.0, 20e3, 61)
"""where the loop is measured: six points an octave"""


class NotKnown(Exception):
    """A quantity has no certified figure here; the text is the reason, one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One figure in the quantity's own unit, and the conditions it was measured under."""

    value: float
    basis: str


@dataclass(frozen=True, eq=False)
class Desk:
    """One circuit being measured, knobs as they stand; everything is computed when first asked for.

    `known_band` is the circuit's band where somebody has it already.
    """

    analysis: Analysis
    known_band: Band | None = None
    kept: dict[str, CutCircuit] = field(default_factory=dict, repr=False)
    tracks: dict[str, Track] = field(default_factory=dict, repr=False)

    @cached_property
    def band(self) -> Band:
        """The whole circuit over the band; raises NotKnown where it could not be certified."""
        if self.known_band is not None:
            return self.known_band
        if self.analysis.small is None:
            raise NotKnown("The resting voltages could not be certified.")
        found = Band(self.analysis.small, band_hz())
        if not found.ok:
            raise NotKnown("The response over the audio band could not be certified.")
        return found

    @cached_property
    def overall(self) -> Overall:
        """The pedal as one box."""
        return overall(self.analysis, self.band)

    @cached_property
    def chips(self) -> tuple[Part, ...]:
        """The echo chips; raises NotKnown for none, or for a circuit without certified rest."""
        found = self.analysis.view.parts_of("echo-chip")
        if not found:
            raise NotKnown("There is no echo chip in this circuit.")
        if not self.analysis.rest.certificate.ok:
            raise NotKnown("The resting voltages could not be certified.")
        return found

    @cached_property
    def states(self) -> tuple[ChipState, ...]:
        """Every chip with the knobs as they stand."""
        return tuple(state_over_dials(self.analysis, chip, (self._reading(chip.ref),)) for chip in self.chips)

    def _reading(self, ref: str) -> TimePinReading:
        """One chip's time pin over all places of knobs and switches."""
        places = [place for chip, place in self.time_places if chip == ref]
        amperes = np.array([place.amperes for place in places])
        ohms = np.array([place.ohms for place in places])
        return TimePinReading(volts=ohms * amperes, amperes=amperes, ohms=ohms)

    @cached_property
    def time_places(self) -> tuple[tuple[str, TimePlace], ...]:
        """Every chip's time pin over knobs and switches: (designator, place); certified places only."""
        found: list[tuple[str, TimePlace]] = []
        for says, one in (("", self.analysis), *self._switched()):
            for chip in self.chips if one.rest.certificate.ok else ():
                found += [(chip.ref, place.also(says)) for place in time_places(one, chip)]
        return tuple(found)

    def _switched(self) -> Iterable[tuple[str, Analysis]]:
        """The circuit with each switch in its other positions."""
        circuit = self.analysis.circuit
        for switch in circuit.switches:
            for place in positions(switch):
                if place != switch.setting:
                    moved = circuit.with_settings({switch.ref: place})
                    yield f"{switch.ref} at {place}", Analysis(moved, self.analysis.text)

    @cached_property
    def _looped(self) -> tuple[CutCircuit, Loop]:
        # Cut so that the knob that sets the repeats can be turned: most of what is asked turns it.
        knobs = repeats_knob_parts(self.analysis)
        halves = self.track(knobs[0]).halves if knobs else ()
        try:
            found, loop = loop_through(self.analysis, self.chips, self.states, LOOP_HZ, halves)
        except LookupError as reason:
            raise NotKnown(str(reason.args[0])) from reason
        except np.linalg.LinAlgError as reason:
            raise NotKnown("The circuit could not be solved.") from reason
        if not certified_loop(loop).ok:
            raise NotKnown("The echo loop could not be certified.")
        return found, loop

    def track(self, part: Part) -> Track:
        """A knob's track; made once for each knob."""
        if part.ref not in self.tracks:
            self.tracks[part.ref] = track_of(part)
        return self.tracks[part.ref]

    def turning(self, part: Part) -> CutCircuit:
        """The circuit cut so that this knob can be turned; made once for each knob."""
        halves = self.track(part).halves
        if halves == self.cut.halves:
            return self.cut
        if part.ref not in self.kept:
            self.kept[part.ref] = replace(self.cut, halves=halves)
        return self.kept[part.ref]

    @property
    def loop(self) -> Loop:
        """The echo loop over the range of hearing; raises NotKnown."""
        return self._looped[1]

    @property
    def cut(self) -> CutCircuit:
        """The circuit with its delays cut; raises NotKnown."""
        return self._looped[0]


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedQuantity:
    """One quantity a `want` may name.

    `unit` is that of the figure: ``s``, ``dB``, ``Hz``, ``Ω``, ``A``, ``V`` or empty for counts and places
    of a dial. `measure` raises NotKnown with its reason.
    """

    name: str
    title: str
    unit: str
    says: str
    measure: Callable[[Desk], Measured]
