"""Circuits of books, written in the notation, solved, and asked for what the books print.

A `Check` is one figure of one worked example: `exact` is what the values as written give (recomputed
outside this project by nodal analysis, or the published closed form), `printed` the digits of the book, held
to half a unit of the last one.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property, lru_cache
from typing import TypeVar

import numpy as np

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.primitives import Primitive
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.notation import read_text
from pedalwright.solve.grid import corners, decibels, log_frequencies, peak
from pedalwright.solve.impedance import impedance
from pedalwright.solve.linear import SmallSignal, linearise
from pedalwright.solve.poles import natural_modes
from pedalwright.solve.reduce import idealise
from pedalwright.solve.response import Drive, respond
from pedalwright.solve.rest import ROOM_K, OperatingPoint, operating_point
from pedalwright.solve.system import compile_system

REL = 1e-4
DB = 0.0005
"""of a level given with four decimals"""
BOLTZMANN, CHARGE = 1.380649e-23, 1.602176634e-19
"""SI 2019, exact"""

Given = TypeVar("Given")


@dataclass(frozen=True, kw_only=True)
class Bench:
    """One circuit and its answers. `ideal`: amplifiers without limits and bias currents, diodes kept."""

    circuit: Circuit
    ideal: bool = True
    temperature_k: float = ROOM_K

    @cached_property
    def primitives(self) -> tuple[Primitive, ...]:
        whole = expand_circuit(self.circuit)
        return idealise(whole, junctions=True) if self.ideal else whole

    @cached_property
    def rest(self) -> OperatingPoint:
        found = operating_point(compile_system(self.primitives), temperature_k=self.temperature_k)
        return found.checked()

    @cached_property
    def small(self) -> SmallSignal:
        system = compile_system(self.primitives)
        return linearise(system, self.rest if system.banks else {}, temperature_k=self.temperature_k)

    def transfer(self, hertz: float, net: str = "OUT", over: str = "IN") -> complex:
        found = respond(self.small, Drive(source="input"), np.array([hertz])).gain(net, over)
        return complex(found[0])

    def level_db(self, hertz: float, net: str = "OUT", over: str = "IN") -> float:
        return float(decibels(np.array([self.transfer(hertz, net, over)]))[0])

    def phase_deg(self, hertz: float, net: str = "OUT", over: str = "IN") -> float:
        return float(np.degrees(np.angle(self.transfer(hertz, net, over))))

    def curve_db(self, hertz: np.ndarray) -> np.ndarray:
        return decibels(respond(self.small, Drive(source="input"), hertz).gain("OUT", "IN"))

    def mode(self, place: int) -> tuple[float, float]:
        """Frequency and Q of a natural mode; a real pole counts as Q 0."""
        found = natural_modes(self.small)[place]
        return found.frequency_hz, 0.0 if found.q is None else found.q

    def corner_hz(self, low_hz: float, high_hz: float, reference_db: float, place: int = 0) -> float:
        """Where the level is 3.0103 dB below the reference."""
        grid = log_frequencies(low_hz, high_hz, 20)
        return corners(self.curve_db, grid, reference_db=reference_db)[place].frequency_hz

    def peak_hz(self, low_hz: float, high_hz: float) -> float:
        return peak(self.curve_db, log_frequencies(low_hz, high_hz, 20)).frequency_hz

    def peak_db(self, low_hz: float, high_hz: float) -> float:
        return peak(self.curve_db, log_frequencies(low_hz, high_hz, 60)).value

    def ohms(self, hertz: float, net: str = "IN") -> complex:
        return complex(impedance(self.small, net, np.array([hertz]))[0])

    def followed(self, hertz: float, net: str, into: str) -> complex:
        """The voltage at `net` over that at `into` when a current drives `into`: no source is needed."""
        found = respond(self.small, Drive(injections={into: 1.0}), np.array([hertz])).gain(net, into)
        return complex(found[0])

    def volts(self, net: str) -> float:
        return self.rest.volts(net)

    def amperes(self, name: str) -> float:
        return self.rest.amperes(name)


@lru_cache(maxsize=400)
def bench(text: str, ideal: bool = True, temperature_k: float = ROOM_K) -> Bench:
    """The bench of a text, made once."""
    return Bench(circuit=read_text(text), ideal=ideal, temperature_k=temperature_k)


@dataclass(frozen=True, kw_only=True)
class Check:
    """One figure. `within` is an absolute bound in place of the relative one."""

    source: str
    says: str
    text: str
    asks: Callable[[Bench], float]
    exact: float | None = None
    printed: str = ""
    rel: float = REL
    within: float | None = None
    ideal: bool = True
    temperature_k: float = ROOM_K

    def __str__(self) -> str:
        return f"{self.source}: {self.says}"

    def misses(self, made: Bench) -> list[str]:
        """What is not as it should be, in words; empty when all is."""
        got = self.asks(made)
        found = []
        if self.exact is not None:
            room = self.rel * abs(self.exact) if self.within is None else self.within
            if not abs(got - self.exact) <= room:
                found.append(f"{self}: {got!r} is not {self.exact!r} within {room:.3g}")
        if self.printed and not abs(got - float(self.printed)) <= half_a_digit(self.printed):
            found.append(f"{self}: {got!r} does not print as {self.printed}")
        return found

    @property
    def bench(self) -> Bench:
        return bench(self.text, self.ideal, self.temperature_k)


def half_a_digit(printed: str) -> float:
    """Half a unit of the last printed digit, and a trifle for exact halves."""
    return 0.5000001 * float(Decimal(10) ** int(Decimal(printed).as_tuple().exponent))


def given(value: Given, asks: Callable[[Bench, Given], float]) -> Callable[[Bench], float]:
    """A question about the bench at one value."""
    return lambda made: asks(made, value)


def levels(source: str, text: str, table: Mapping[float, float], *, over_db: float = 0.0) -> list[Check]:
    """Levels [dB] at frequencies [Hz], above `over_db`, to 0.0005 dB."""
    return [
        Check(
            source=source,
            says=f"level at {f:g} Hz",
            text=text,
            exact=db,
            within=DB,
            asks=given(f, lambda made, f: made.level_db(f) - over_db),
        )
        for f, db in table.items()
    ]


def modes(
    source: str, text: str, table: Iterable[tuple[float, float]], *, rel: float = REL, ideal: bool = True
) -> list[Check]:
    """Frequency and Q of the natural modes by rising frequency; Q 0 for a real pole."""
    found = []
    for place, (f0, q) in enumerate(table):
        found.append(
            Check(
                source=source,
                says=f"f0 of pole {place + 1}",
                text=text,
                exact=f0,
                rel=rel,
                ideal=ideal,
                asks=given(place, lambda made, place: made.mode(place)[0]),
            )
        )
        found.append(
            Check(
                source=source,
                says=f"Q of pole {place + 1}",
                text=text,
                exact=q,
                rel=rel,
                ideal=ideal,
                asks=given(place, lambda made, place: made.mode(place)[1]),
            )
        )
    return found


def influence(made: Bench, ref: str, asks: Callable[[Bench], float], step: float = 1e-4) -> float:
    """d ln answer / d ln value of one part."""
    up, down = (asks(moved(made, ref, 1 + sign * step)) for sign in (1, -1))
    return float((np.log(abs(up)) - np.log(abs(down))) / (2 * step))


def moved(made: Bench, ref: str, factor: float) -> Bench:
    """The same bench with one part's value changed."""
    part = made.circuit.by_ref[ref]
    assert part.value is not None
    circuit = made.circuit.with_value(ref, part.value * factor)
    return Bench(circuit=circuit, ideal=made.ideal, temperature_k=made.temperature_k)
