"""What the rules about the echo chip ask of a circuit: its chips, what lies between their pins, its loop."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.devices.device import is_unused
from pedalwright.devices.kinds.echo_chip import FIGURES
from pedalwright.devices.ports import INPUT
from pedalwright.review.survey import Survey
from pedalwright.solve.arrays import ComplexArray
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.branch import Leaf
from pedalwright.stages.view import Amplifier

MIDDLE_HZ = 1000.0
SHEET = "maker's data sheet, Echo Processor IC, V1.6, February 2010"
MEASURED = "published measurements of capacitors around the chip, 2021"


def limit(name: str) -> float:
    """A figure of the chip by its name."""
    return FIGURES[name].value


@dataclass(frozen=True)
class Chip:
    """One echo chip of the circuit under review."""

    survey: Survey
    part: Part

    @property
    def ref(self) -> str:
        """Its designator."""
        return self.part.ref

    def net(self, pin: str) -> str:
        """The net on a pin, closed contacts joined."""
        return self.survey.view.net(self.part, pin)

    def uses(self, pin: str) -> bool:
        """Whether anything is on a pin."""
        return not is_unused(self.part, pin)

    def volts(self, pin: str) -> float:
        """The resting voltage of a pin against ground."""
        return self.survey.rest.volts(self.part.net(pin))

    def amplifier(self, inverting: str) -> str:
        """The designator of the amplifier with this inverting pin."""
        return next(one.ref for one in self.survey.view.amplifiers if self._is(one, inverting))

    def _is(self, one: Amplifier, inverting: str) -> bool:
        roles = {"16": "input-filter", "13": "output-filter", "10": "coder", "11": "decoder"}
        return one.part.ref == self.ref and one.role == roles[inverting]

    def between(self, first: str, second: str, sort: str = "C") -> tuple[Leaf, ...]:
        """The parts of one sort straight between two pins; none of the chip's own."""
        return self._reaching(self.net(first), self.net(second), sort)

    def to_ground(self, pin: str, sort: str = "C") -> tuple[Leaf, ...]:
        """The parts of one sort straight from a pin to ground."""
        return self._reaching(self.net(pin), "gnd", sort)

    def outside(self, pin: str) -> tuple[Leaf, ...]:
        """Every two-ended part on a pin but the chip's own resistors."""
        return tuple(leaf for leaf in self.survey.view.on(self.net(pin)) if leaf.ref != self.ref)

    def _reaching(self, net: str, far: str, sort: str) -> tuple[Leaf, ...]:
        leaves = self.survey.view.on(net)
        return tuple(
            leaf for leaf in leaves if leaf.sort == sort and leaf.other(net) == far and leaf.ref != self.ref
        )


def chips(survey: Survey) -> tuple[Chip, ...]:
    """The circuit's echo chips, in the order of the text."""
    return tuple(Chip(survey, part) for part in survey.view.parts_of("echo-chip"))


def total(leaves: Iterable[Leaf]) -> float:
    """The values of parts side by side, capacitors: their sum [F]."""
    return sum(leaf.value for leaf in leaves)


def from_jack(survey: Survey, net: str) -> ComplexArray:
    """Volts on a net for one volt at the input jack, over the band (frequencies,); nothing without a jack."""
    band, source = survey.band, survey.circuit.input
    if source is None or not band.knows(net):
        return np.zeros(len(band.frequency_hz), dtype=complex)
    column = band.source_column(INPUT)
    into = column[:, band.row(source.net)]
    with np.errstate(all="ignore"):
        return np.asarray(np.where(np.abs(into) > 0, column[:, band.row(net)] / into, 0.0))


def from_net(survey: Survey, start: str, net: str) -> ComplexArray:
    """Volts on a net for one volt at another, over the band (frequencies,)."""
    band = survey.band
    if not band.knows(start, net):
        return np.zeros(len(band.frequency_hz), dtype=complex)
    column = exciting_column(band, start)
    base = band.table[:, band.row(start), column]
    with np.errstate(all="ignore"):
        return np.asarray(np.where(np.abs(base) > 0, band.table[:, band.row(net), column] / base, 0.0))


def level_db(survey: Survey, gain: ComplexArray, frequency_hz: float) -> float:
    """A level at one frequency, read between the points of the band [dB]."""
    size = 20 * np.log10(np.maximum(np.abs(gain), 1e-12))
    return float(np.interp(np.log(frequency_hz), np.log(survey.band.frequency_hz), size))
