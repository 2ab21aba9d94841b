"""Figures and sentences of transistor amplifiers and followers, for bipolar and field-effect parts alike."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import pi, prod

from pedalwright.formulas import mosfet
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.resting_source import impedance_ohms, thevenin
from pedalwright.stages.stage import Number, Stage
from pedalwright.stages.transistor_network import TransistorNetwork
from pedalwright.stages.transistor_rest import (
    SATURATED_V,
    THERMAL_V,
    Rest,
    beta_of,
    channel_card,
    rest_by_hand,
    resting_a,
)
from pedalwright.stages.transistor_shape import control_word, ends_of, network_of_stage
from pedalwright.units.values import print_value

BOYLESTAD = "R. Boylestad and L. Nashelsky, Electronic Devices and Circuit Theory, ch. 4 and 5"
MALVINO = "A. Malvino and D. Bates, Electronic Principles, ch. 8"
JFET_BOOK = "R. Boylestad and L. Nashelsky, Electronic Devices and Circuit Theory, ch. 7 (square law)"
OHMS_LAW = "Ohm's law"
OFF_A = 1e-7
"""below this a transistor in a pedal counts as off (house rule, no source)"""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """Everything the sentences of one stage need, reckoned once."""

    bench: Bench
    network: TransistorNetwork
    rest: Rest | None
    current_a: float | None
    """resting current of the full circuit, else by hand"""

    @property
    def bipolar(self) -> bool:
        """A bipolar transistor leads the stage."""
        return self.network.cluster.lead.family == "bipolar"

    @property
    def siemens(self) -> float | None:
        """1/re as the book has it, IE / 26 mV, or the square law's slope at rest."""
        lead = self.network.cluster.lead
        if not self.current_a or self.fully_on or self.cut_off:
            return None
        if self.bipolar:
            junctions = 2 if self.network.cluster.shape == "darlington" else 1
            emitter_a = self.current_a * (1.0 + 1.0 / self.beta)
            return emitter_a / (junctions * THERMAL_V)
        return mosfet.transconductance_s(self.current_a, factor_a_per_v2=channel_card(lead).beta)

    @property
    def re_ohms(self) -> float | None:
        """1/gm in ohms."""
        return 1.0 / self.siemens if self.siemens else None

    @property
    def load_ohms(self) -> float | None:
        """The stage's own load at 1 kHz, in ohms."""
        return self._size("top", self.network.cluster.top)

    @property
    def emitter_ohms(self) -> float:
        """What is left in the emitter or source at 1 kHz, in ohms: nothing when it stands on a steady net."""
        return self._size("bottom", self.network.cluster.bottom) or 0.0

    def _size(self, place: str, net: str) -> float | None:
        found = impedance_ohms(self.bench, self.network.at(place), net)
        return None if found is None else abs(found)

    @property
    def gain(self) -> float | None:
        """The textbook gain at 1 kHz with the stage's own load, with its sign."""
        if self.re_ohms is None:
            return None
        if self.network.output_at_bottom:
            return self.emitter_ohms / (self.re_ohms + self.emitter_ohms) if self.emitter_ohms else 1.0
        if self.load_ohms is None:
            return None
        if self.bench.classes.is_still(self.network.cluster.control):
            return self.load_ohms / self.re_ohms
        return -self.load_ohms / (self.re_ohms + self.emitter_ohms)

    @property
    def cut_off(self) -> bool:
        """At rest no current to speak of flows: the transistor waits to be driven."""
        return self.current_a is not None and self.current_a < OFF_A

    @property
    def fully_on(self) -> bool:
        """At rest there is too little voltage across the transistor for the textbook's figures to hold."""
        cluster = self.network.cluster
        if self.bench.rest is None or cluster.shape == "cascode":
            return self.rest is not None and self.rest.saturated
        last = cluster.transistors[-1]
        top, bottom, control = (self.bench.volts(net) or 0.0 for net in (last.top, last.bottom, last.control))
        across = last.polarity * (top - bottom)
        if self.bipolar:
            return across < SATURATED_V
        return across < last.polarity * (control - bottom) - channel_card(last).threshold_v

    @property
    def beta(self) -> float:
        """Current gain of a bipolar transistor; of a compound pair, the product."""
        cluster = self.network.cluster
        pair = cluster.transistors if cluster.shape == "darlington" else (cluster.lead,)
        return prod(beta_of(self.bench, item) for item in pair)

    @property
    def input_ohms(self) -> float | None:
        """Resistance into the base, bias resistors not counted: beta (re + RE); into the emitter, re beside
        RE.
        """
        if not self.bipolar or self.re_ohms is None:
            return None
        if self.bench.classes.is_still(self.network.cluster.control):
            return 1.0 / (1.0 / self.re_ohms + (1.0 / self.emitter_ohms if self.emitter_ohms else 0.0))
        return self.beta * (self.re_ohms + self.emitter_ohms)

    @property
    def standing(self) -> tuple[float, float] | None:
        """Resting voltages of collector (drain) and emitter (source): full circuit, else by hand."""
        cluster = self.network.cluster
        top, bottom = self.bench.volts(cluster.top), self.bench.volts(cluster.bottom)
        if top is not None and bottom is not None:
            return top, bottom
        return (self.rest.top_v, self.rest.bottom_v) if self.rest else None

    @property
    def swing_v(self) -> tuple[float, float] | None:
        """How far the collector can move: towards its return, and towards the emitter, in volts."""
        if self.rest is None or self.standing is None:
            return None
        top, bottom = self.standing
        last = self.network.cluster.transistors[-1]
        solved = self.bench.volts(last.bottom), self.bench.volts(last.control)
        if solved[0] is None or solved[1] is None:
            least = least_across_v(self, self.rest.control_v - self.rest.bottom_v)
        else:
            bottom, least = solved[0], least_across_v(self, solved[1] - solved[0])
        return abs(self.rest.top_return_v - top), max(abs(top - bottom) - least, 0.0)


def least_across_v(reading: Reading, control_v: float) -> float:
    """The voltage below which a transistor amplifies no more, with its control `control_v` above its emitter
    or source [V]: saturation, or the edge of a channel's flat region.
    """
    last = reading.network.cluster.transistors[-1]
    if last.family == "bipolar":
        return SATURATED_V
    return max(last.polarity * control_v - channel_card(last).threshold_v, 0.0)


def read(stage: Stage, bench: Bench) -> Reading:
    """The reading of a recognised stage."""
    network = network_of_stage(stage, bench)
    rest = rest_by_hand(bench, network)
    measured = resting_a(bench, network.cluster.transistors[-1])
    return Reading(
        bench=bench, network=network, rest=rest, current_a=measured or (rest.current_a if rest else None)
    )


def transistor_numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """Resting voltages and current, gain, input resistance, swing and the corners of the bypass
    capacitors.
    """
    reading = read(stage, bench)
    found = [*_rest_numbers(reading), *_signal_numbers(reading), *_corner_numbers(reading)]
    return tuple(number for number in found if number.closed is not None or number.full is not None)


def _rest_numbers(reading: Reading) -> Iterable[Number]:
    cluster, bench, rest = reading.network.cluster, reading.bench, reading.rest
    top, bottom = ends_of(cluster)
    if rest is not None and rest.saturated:
        rest = None
    source = (MALVINO if rest and rest.way == "divider" else BOYLESTAD) if reading.bipolar else JFET_BOOK
    by_hand = (
        (control_word(cluster), cluster.control, rest.control_v if rest else None),
        (bottom, cluster.bottom, rest.bottom_v if rest else None),
        (top, cluster.top, rest.top_v if rest else None),
    )
    for word, net, closed in by_hand:
        if not bench.classes.is_still(net):
            measured = bench.volts(net)
            yield Number(
                name=f"{word} voltage at rest", unit="V", closed=closed, full=measured, source=source
            )
    yield Number(
        name=f"{top} current at rest",
        unit="A",
        closed=rest.current_a if rest else None,
        full=resting_a(bench, cluster.transistors[-1]),
        source=source,
    )


def _signal_numbers(reading: Reading) -> Iterable[Number]:
    source = BOYLESTAD if reading.bipolar else JFET_BOOK
    bottom = ends_of(reading.network.cluster)[1]
    gm = reading.bench.parameter(f"{reading.network.cluster.lead.ref}/gm")
    yield Number(
        name=f"{bottom}'s own resistance",
        unit="ohm",
        closed=reading.re_ohms,
        full=1.0 / gm if gm and reading.siemens and reading.network.cluster.shape == "single" else None,
        source="re = 26 mV / I; " + source if reading.bipolar else "1/gm; " + source,
    )
    way = "emitter" if reading.bench.classes.is_still(reading.network.cluster.control) else "base"
    note = "at 1 kHz, with the stage's own load only"
    yield Number(name="mid-band gain", unit="x", closed=reading.gain, full=None, source=source, note=note)
    yield Number(
        name="input resistance", unit="ohm", closed=reading.input_ohms, full=None, source=source,
        note=f"into the {way}, bias resistors not counted",
    )  # fmt: skip
    if not reading.network.output_at_bottom and reading.rest and reading.rest.load_ohms:
        yield from _swing_number(reading)


def _swing_number(reading: Reading) -> Iterable[Number]:
    rest = reading.rest
    if rest is None or rest.saturated:
        return
    least = least_across_v(reading, rest.control_v - rest.bottom_v)
    by_hand = min(abs(rest.top_return_v - rest.top_v), max(abs(rest.top_v - rest.bottom_v) - least, 0.0))
    measured = min(reading.swing_v) if reading.swing_v and reading.bench.rest is not None else None
    top, _ = ends_of(reading.network.cluster)
    yield Number(
        name=f"largest swing at the {top}", unit="V", closed=by_hand, full=measured, source=OHMS_LAW,
        note="peak, towards the nearer end",
    )  # fmt: skip


def _corner_numbers(reading: Reading) -> Iterable[Number]:
    _, bottom = ends_of(reading.network.cluster)
    for leaf in reading.network.leaves:
        corner = corner_hz(reading, leaf)
        if corner is None:
            continue
        place = reading.network.places[leaf.name]
        if place == "bottom" and not reading.network.output_at_bottom:
            name = f"bass corner of the {bottom} bypass {leaf.ref}"
        else:
            name = f"treble corner of {leaf.ref}"
        yield Number(name=name, unit="Hz", closed=corner, full=None, source="f = 1/(2 pi R C)")


def corner_hz(reading: Reading, leaf: Leaf) -> float | None:
    """The corner of a capacitor from emitter or collector to steady nets: 1/(2 pi R C), R what it sees."""
    place = reading.network.places[leaf.name]
    if leaf.sort != "C" or place not in ("top", "bottom"):
        return None
    ohms = _seen_ohms(reading, leaf, place)
    return 1.0 / (2 * pi * ohms * leaf.value) if ohms else None


def _seen_ohms(reading: Reading, leaf: Leaf, place: str) -> float | None:
    """The resistance a capacitor sees, the emitter showing re at its net; other capacitors open."""
    network, bench = reading.network, reading.bench
    parts = [other for other in network.at(place) if other.name != leaf.name]
    if place == "bottom":
        if reading.re_ohms is None:
            return None
        own = Leaf(ref="", name="re", sort="R", a=network.cluster.bottom, b="gnd", value=reading.re_ohms)
        parts.append(own)
    ends = [net for net in (leaf.a, leaf.b) if not bench.classes.is_still(net)]
    ohms = [found[1] for net in ends if (found := thevenin(bench, parts, net)) is not None]
    return sum(ohms) if len(ohms) == len(ends) else None


def amps(value: float) -> str:
    """1.1 mA."""
    return print_value(value, "A")
