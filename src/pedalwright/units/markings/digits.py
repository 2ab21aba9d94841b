"""Digits-and-decade writing, which colour bands and number codes share: 47 and two zeros for 4700."""

import math


def digits_and_zeros(x: float, figures: int) -> tuple[int, int] | None:
    """`x` as `figures` leading digits and the power of ten after them, or None when that is not exact.

    >>> digits_and_zeros(4700.0, 2), digits_and_zeros(4.7, 3), digits_and_zeros(47300.0, 2)
    ((47, 2), (470, -2), None)
    """
    if not (math.isfinite(x) and x > 0):
        return None
    mantissa, _, exponent = f"{x:.{figures - 1}e}".partition("e")
    digits, zeros = int(mantissa.replace(".", "")), int(exponent) - figures + 1
    return (digits, zeros) if math.isclose(float(f"{digits}e{zeros}"), x, rel_tol=1e-9) else None


def value_of(digits: int, zeros: int) -> float:
    """Digits times the power of ten, correctly rounded.

    >>> value_of(47, -10)
    4.7e-09
    """
    return float(f"{digits}e{zeros}")
