"""Letter-for-point code of IEC 60062 as stamped on parts: R47, 4R7, 4K7, 4M7; n47, 4n7, p68, 2u2."""

from pedalwright.units.markings.digits import digits_and_zeros
from pedalwright.units.quantity import Quantity

_LETTERS = {
    Quantity.RESISTANCE: ((0, "R"), (3, "K"), (6, "M"), (9, "G")),
    Quantity.CAPACITANCE: ((-12, "p"), (-9, "n"), (-6, "u"), (-3, "m")),
    Quantity.INDUCTANCE: ((-9, "n"), (-6, "u"), (-3, "m")),
}


def write_letter_code(x: float, quantity: Quantity) -> str | None:
    """The stamped form of a value [base unit] with up to three figures, or None when it has none.

    >>> write_letter_code(4700.0, Quantity.RESISTANCE), write_letter_code(4.7e-10, Quantity.CAPACITANCE)
    ('4K7', 'n47')
    >>> write_letter_code(47.0, Quantity.RESISTANCE), write_letter_code(4.75e5, Quantity.RESISTANCE)
    ('47R', '475K')
    """
    split = digits_and_zeros(x, 3)
    if split is None or quantity not in _LETTERS:
        return None
    digits, leading = f"{split[0]}".rstrip("0"), split[1] + 2
    for exponent, letter in _LETTERS[quantity]:
        before = leading - exponent + 1
        # Hundreds of picofarads are stamped in nanofarads: n47, not 470p.
        if 0 < before <= 3 and (before, letter) != (3, "p"):
            return f"{digits[:before].ljust(before, '0')}{letter}{digits[before:]}"
        if before == 0:
            return f"{letter}{digits}"
    return None
