"""Writing a value for builders (4k7, 2n2, 60ms) and for reading (4.7 kΩ, 2.2 nF, 34.1 Hz)."""

import math

from pedalwright.units.quantity import POWER_OF_TEN, Quantity

_LETTER_AT_THE_POINT = (Quantity.RESISTANCE, Quantity.CAPACITANCE, Quantity.INDUCTANCE)
_BY_UNIT = {name: quantity for quantity in Quantity for name in (quantity.unit, quantity.value.ascii_unit)}
NOTHING_BELOW = -17
"""power of ten below which a figure is what rounding left of nothing, in whatever unit"""
_PLAIN_LETTERS = str.maketrans({"Ω": "ohm", "µ": "u", "°": "deg", "√": "rt"})


def write_value(x: float, quantity: Quantity) -> str:
    """`x` in builder's writing; `parse_value` gives exactly `x` back.

    Resistors, capacitors and inductors get the letter in the place of the point, everything else a point and
    its unit. `x` [base unit] must be finite.

    >>> write_value(4700.0, Quantity.RESISTANCE), write_value(0.06, Quantity.TIME)
    ('4k7', '60ms')
    """
    if not math.isfinite(x):
        raise ValueError(f"{x} cannot be written as a {quantity.noun}")
    sign, digits, point = _shortest_digits(x)
    if quantity is Quantity.FRACTION:
        return f"{sign}{_placed(digits, point + 2)}%"
    prefix = _prefix_for(point - 1, quantity)
    text = _placed(digits, point - POWER_OF_TEN.get(prefix, 0))
    if quantity not in _LETTER_AT_THE_POINT:
        return f"{sign}{text}{prefix}{quantity.value.ascii_unit}"
    letter = prefix or quantity.value.point_letters[0]
    return f"{sign}{text.replace('.', letter)}" if "." in text else f"{sign}{text}{letter}"


def print_value(x: float, unit: str, *, figures: int = 3, ascii_only: bool = False) -> str:
    """`x` [unit] for reading: a prefix, a space, the unit, and `figures` significant figures.

    Digits before the point are never rounded away, zeros after the last figure are not printed, and decibels
    stop at two decimals. Not-a-number prints as "not known".

    >>> print_value(4700, "Ω"), print_value(34.13, "Hz"), print_value(2.2e-9, "F", ascii_only=True)
    ('4.7 kΩ', '34.1 Hz', '2.2 nF')
    """
    text = _readable(x, unit, figures)
    return text.translate(_PLAIN_LETTERS) if ascii_only else text


def _readable(x: float, unit: str, figures: int) -> str:
    unit = "Ω" if unit in ("ohm", "ohms") else unit
    gap = "" if unit in ("", "°") else " "
    if math.isnan(x):
        return "not known"
    if math.isinf(x):
        return f"{'-' if x < 0 else ''}infinite{gap}{unit}"
    exponent = _decade_after_rounding(x, figures)
    if exponent < NOTHING_BELOW:
        return f"0{gap}{unit}"
    quantity = _BY_UNIT.get(unit.partition("/")[0].partition(" ")[0])
    prefix = _prefix_for(exponent, quantity) if quantity is not None else ""
    shift = POWER_OF_TEN.get(prefix, 0)
    decimals = max(0, figures - 1 - (exponent - shift))
    if unit == "dB":
        decimals = min(2, decimals)
    text = f"{x / 10.0**shift:.{min(decimals, 30)}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    text = "0" if text == "-0" else text
    return f"{text}{gap}{prefix.replace('u', 'µ')}{unit}"


def _shortest_digits(x: float) -> tuple[str, str, int]:
    """Sign, significant digits, and the place of the point from the left of them (0.047 -> "47", -1)."""
    mantissa, _, exponent = f"{abs(x)!r}".partition("e")
    whole, _, decimals = mantissa.partition(".")
    digits = (whole + decimals).lstrip("0")
    point = len(whole) + int(exponent or 0) - (len(whole + decimals) - len(digits))
    digits = digits.rstrip("0")
    return ("-" if x < 0 else "", digits, point) if digits else ("", "0", 1)


def _placed(digits: str, point: int) -> str:
    """Digits with the point at `point`: ("47", 1) -> "4.7"."""
    if point <= 0:
        return "0." + "0" * -point + digits
    if point >= len(digits):
        return digits + "0" * (point - len(digits))
    return f"{digits[:point]}.{digits[point:]}"


def _prefix_for(exponent: int, quantity: Quantity) -> str:
    """The printed prefix whose range holds 10**exponent; the smallest one for anything below."""
    if exponent == 0 or not quantity.value.printed_prefixes:
        return ""
    ladder: list[str] = sorted(
        [*quantity.value.printed_prefixes, ""], key=lambda letter: POWER_OF_TEN.get(letter, 0)
    )
    fitting = [letter for letter in ladder if POWER_OF_TEN.get(letter, 0) <= exponent]
    return fitting[-1] if fitting else ladder[0]


def _decade_after_rounding(x: float, figures: int) -> int:
    """Power of ten of the leading digit once rounded: 999.9 to three figures counts as a thousand."""
    return int(f"{abs(x):.{figures - 1}e}".partition("e")[2]) if x else 0
