"""Tolerance letters of IEC 60062 for resistors and capacitors.

Letters from memory, agreeing with makers' tables. On capacitors below 10 pF the letters B, C, D, F and G
mean picofarads.
"""

from dataclasses import dataclass

_PERCENT = {
    "E": 0.005, "L": 0.01, "P": 0.02, "W": 0.05, "B": 0.1, "C": 0.25, "D": 0.5, "F": 1.0, "G": 2.0,
    "H": 3.0, "J": 5.0, "K": 10.0, "M": 20.0, "N": 30.0,
}  # fmt: skip
_LOPSIDED_PERCENT = {"Q": (-10.0, 30.0), "T": (-10.0, 50.0), "S": (-20.0, 50.0), "Z": (-20.0, 80.0)}
_PICOFARADS = {"B": 0.1, "C": 0.25, "D": 0.5, "F": 1.0, "G": 2.0}
ABSOLUTE_BELOW_FARADS = 10e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class Tolerance:
    """How far a part may lie from its marked value: `low` and `high` are fractions (-0.05, +0.05).

    `absolute_farads` is the same in farads where the marking means it so, else None.
    """

    low: float
    high: float
    absolute_farads: float | None = None

    def __str__(self) -> str:
        if self.absolute_farads is not None:
            return f"±{self.absolute_farads * 1e12:g} pF"
        if self.high == -self.low:
            return f"±{100 * self.high:g} %"
        return f"{100 * self.low:+g}/{100 * self.high:+g} %"


def symmetric(fraction: float) -> Tolerance:
    """The same fraction [-] up and down."""
    return Tolerance(low=-fraction, high=fraction)


def resistor_tolerance(letter: str) -> Tolerance | None:
    """Tolerance of a letter on a resistor, None for an unknown letter.

    >>> str(resistor_tolerance("J"))
    '±5 %'
    """
    percent = _PERCENT.get(letter)
    return symmetric(percent / 100) if percent is not None else None


def capacitor_tolerance(letter: str, farads: float) -> Tolerance | None:
    """Tolerance of a letter on a capacitor of the marked value [F], None for an unknown letter.

    >>> str(capacitor_tolerance("C", 4.7e-12)), str(capacitor_tolerance("Z", 1e-7))
    ('±0.25 pF', '-20/+80 %')
    """
    if farads < ABSOLUTE_BELOW_FARADS * (1 - 1e-9) and letter in _PICOFARADS:
        absolute = _PICOFARADS[letter] * 1e-12
        return Tolerance(low=-absolute / farads, high=absolute / farads, absolute_farads=absolute)
    if letter in _LOPSIDED_PERCENT:
        low, high = _LOPSIDED_PERCENT[letter]
        return Tolerance(low=low / 100, high=high / 100)
    return resistor_tolerance(letter)


def letter_of(fraction: float) -> str | None:
    """The letter of a symmetric tolerance [fraction], None when there is none.

    >>> letter_of(0.1)
    'K'
    """
    return next(
        (letter for letter, percent in _PERCENT.items() if abs(percent / 100 - fraction) < 1e-9), None
    )
