"""Number codes: two or three digits and a count of zeros, in ohms on resistors and picofarads on capacitors.

On capacitors a last digit 8 means times 0.01 and 9 times 0.1 (from memory). On resistors R marks the point.
Source: IEC 60062 and makers' sheets of surface-mount resistors.
"""

import re

from pedalwright.units.markings.digits import digits_and_zeros, value_of

_PLAIN = re.compile(r"[0-9]{3,4}")


def read_resistor_number(text: str) -> float | None:
    """Value [ohm] of a three- or four-digit code, None when the text is no such code.

    >>> read_resistor_number("472"), read_resistor_number("4701"), read_resistor_number("000")
    (4700.0, 4700.0, 0.0)
    """
    if _PLAIN.fullmatch(text) is None:
        return None
    return value_of(int(text[:-1]), int(text[-1]))


def write_resistor_number(ohms: float, figures: int) -> str | None:
    """Code of a value [ohm] with two or three figures and R for the point below them, or None.

    >>> write_resistor_number(4700.0, 2), write_resistor_number(4.7, 2), write_resistor_number(0.47, 2)
    ('472', '4R7', 'R47')
    """
    if ohms == 0:
        return "0" * (figures + 1)
    split = digits_and_zeros(ohms, figures)
    if split is None:
        return None
    digits, zeros = split
    if 0 <= zeros <= 9:
        return f"{digits}{zeros}"
    if -figures <= zeros < 0:
        return f"{str(digits)[:zeros]}R{str(digits)[zeros:]}"
    return None


def read_capacitor_number(text: str) -> float | None:
    """Value [F] of a three-digit code in picofarads, None when the text is no such code.

    >>> read_capacitor_number("473"), read_capacitor_number("229")
    (4.7e-08, 2.2e-12)
    """
    if _PLAIN.fullmatch(text) is None or int(text[:-1]) == 0:
        return None
    zeros = {"8": -2, "9": -1}.get(text[-1], int(text[-1]))
    return value_of(int(text[:-1]), zeros - 12)


def write_capacitor_number(farads: float) -> str | None:
    """Three-digit code of a value [F], or None.

    >>> write_capacitor_number(4.7e-8), write_capacitor_number(2.2e-12)
    ('473', '229')
    """
    split = digits_and_zeros(farads, 2)
    if split is None:
        return None
    digits, zeros = split[0], split[1] + 12
    last = {-2: "8", -1: "9"}.get(zeros, str(zeros) if 0 <= zeros <= 7 else None)
    return None if last is None else f"{digits}{last}"
