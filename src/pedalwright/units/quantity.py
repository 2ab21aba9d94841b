"""What a number can be a number of: its unit, the prefixes used with it, and its believable range."""

from dataclasses import dataclass
from enum import Enum

POWER_OF_TEN = {
    "f": -15,
    "p": -12,
    "n": -9,
    "u": -6,
    "m": -3,
    "L": -3,
    "R": 0,
    "k": 3,
    "M": 6,
    "G": 9,
    "T": 12,
}
"""Prefix letter to power of ten. IEC 60062 adds L (milliohm) and R (ohm) for resistors (from memory)."""

PREFIX_WORDS = {
    "f": "femto",
    "p": "pico",
    "n": "nano",
    "u": "micro",
    "m": "milli",
    "k": "kilo",
    "M": "mega",
    "G": "giga",
    "T": "tera",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityFacts:
    """Facts of one quantity.

    `prefixes` are the letters accepted when reading, `printed_prefixes` the ones chosen from when printing;
    `point_letters` may stand in the place of the decimal point with no prefix (4R7, 5V1).
    `smallest` and `largest` bound the magnitude of a value other than zero, in the base unit.
    """

    noun: str
    unit: str
    ascii_unit: str
    spellings: frozenset[str]
    prefixes: str = ""
    printed_prefixes: str = ""
    point_letters: str = ""
    smallest: float = 1e-30
    largest: float = 1e15
    signed: bool = False
    example: str


def _spelled(*spellings: str) -> frozenset[str]:
    return frozenset(spelling.lower() for spelling in spellings)


class Quantity(Enum):
    """The quantities a circuit text speaks of. Values are in base units: ohms, farads, volts, seconds."""

    RESISTANCE = QuantityFacts(
        noun="resistance", unit="Ω", ascii_unit="ohm", spellings=_spelled("R", "Ω", "ohm", "ohms"),
        prefixes="mLkMGT", printed_prefixes="kMGT", point_letters="RΩ",
        smallest=1e-6, largest=1e14, example="4k7",
    )  # fmt: skip
    CAPACITANCE = QuantityFacts(
        noun="capacitance", unit="F", ascii_unit="F", spellings=_spelled("F", "farad", "farads"),
        prefixes="fpnum", printed_prefixes="pnum", point_letters="F",
        smallest=1e-18, largest=1e4, example="2n2",
    )  # fmt: skip
    INDUCTANCE = QuantityFacts(
        noun="inductance", unit="H", ascii_unit="H", spellings=_spelled("H", "henry", "henries"),
        prefixes="pnum", printed_prefixes="pnum", point_letters="H",
        smallest=1e-15, largest=1e6, example="10m",
    )  # fmt: skip
    VOLTAGE = QuantityFacts(
        noun="voltage", unit="V", ascii_unit="V", spellings=_spelled("V", "volt", "volts"),
        prefixes="pnumkM", printed_prefixes="pnumk", point_letters="V",
        largest=1e7, signed=True, example="9V",
    )  # fmt: skip
    CURRENT = QuantityFacts(
        noun="current", unit="A", ascii_unit="A", spellings=_spelled("A", "amp", "amps", "ampere", "amperes"),
        prefixes="fpnumk", printed_prefixes="fpnumk", point_letters="A",
        largest=1e6, signed=True, example="20mA",
    )  # fmt: skip
    FREQUENCY = QuantityFacts(
        noun="frequency", unit="Hz", ascii_unit="Hz", spellings=_spelled("Hz"),
        prefixes="umkMG", printed_prefixes="kMG", largest=1e12, example="1.5kHz",
    )  # fmt: skip
    TIME = QuantityFacts(
        noun="time", unit="s", ascii_unit="s", spellings=_spelled("s", "sec", "second", "seconds"),
        prefixes="fpnum", printed_prefixes="pnum", largest=1e9, example="60ms",
    )  # fmt: skip
    POWER = QuantityFacts(
        noun="power", unit="W", ascii_unit="W", spellings=_spelled("W", "watt", "watts"),
        prefixes="pnumkM", printed_prefixes="pnumk", point_letters="W", largest=1e9, example="250mW",
    )  # fmt: skip
    CONDUCTANCE = QuantityFacts(
        noun="conductance", unit="S", ascii_unit="S", spellings=_spelled("S", "siemens", "mho"),
        prefixes="pnumk", printed_prefixes="pnumk", largest=1e9, example="2mS",
    )  # fmt: skip
    TEMPERATURE = QuantityFacts(
        noun="temperature", unit="°C", ascii_unit="degC", spellings=_spelled("C", "°C", "degC"),
        largest=1e4, signed=True, example="25C",
    )  # fmt: skip
    DECIBEL = QuantityFacts(
        noun="level", unit="dB", ascii_unit="dB", spellings=_spelled("dB"),
        largest=1e4, signed=True, example="-3dB",
    )  # fmt: skip
    LEVEL = QuantityFacts(
        noun="level against 1 V", unit="dBV", ascii_unit="dBV", spellings=_spelled("dBV"),
        largest=1e4, signed=True, example="-85dBV",
    )  # fmt: skip
    FRACTION = QuantityFacts(
        noun="fraction", unit="%", ascii_unit="%", spellings=frozenset(),
        largest=1e4, signed=True, example="5%",
    )  # fmt: skip
    NUMBER = QuantityFacts(
        noun="number", unit="", ascii_unit="", spellings=frozenset(), prefixes="fpnumkMGT",
        largest=1e30, signed=True, example="200",
    )  # fmt: skip

    @property
    def noun(self) -> str:
        """The quantity in a word: "resistance"."""
        return self.value.noun

    @property
    def a_noun(self) -> str:
        """The quantity in a word with its article: "an inductance"."""
        return f"an {self.noun}" if self.noun[0] in "aeiou" else f"a {self.noun}"

    @property
    def unit(self) -> str:
        """The unit sign as printed: "Ω"."""
        return self.value.unit
