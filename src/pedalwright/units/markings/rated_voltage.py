"""Rated-voltage codes in front of a capacitor's value: 1H = 50 V, 2A = 100 V, 0J = 6.3 V.

A digit (power of ten) and a letter of the R10 numbers. From memory, common on film and multilayer parts.
"""

_LETTERS = {
    "A": "1.0", "B": "1.25", "C": "1.6", "D": "2.0", "E": "2.5", "F": "3.15", "V": "3.5", "G": "4.0",
    "H": "5.0",
    "J": "6.3", "K": "8.0",
}  # fmt: skip


def read_rated_voltage(text: str) -> float | None:
    """Rated voltage [V] of a digit-and-letter code, None when the text is no such code.

    >>> read_rated_voltage("1H"), read_rated_voltage("2A"), read_rated_voltage("1E")
    (50.0, 100.0, 25.0)
    """
    if len(text) != 2 or text[0] not in "01234" or text[1] not in _LETTERS:
        return None
    return float(f"{_LETTERS[text[1]]}e{text[0]}")


def write_rated_voltage(volts: float) -> str | None:
    """Code of a rated voltage [V], or None when it has none.

    >>> write_rated_voltage(16.0), write_rated_voltage(6.3)
    ('1C', '0J')
    """
    codes = (f"{decade}{letter}" for decade in range(5) for letter in _LETTERS)
    return next((code for code in codes if abs((read_rated_voltage(code) or 0.0) - volts) < 1e-9), None)
