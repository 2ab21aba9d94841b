"""Figures for reading, alike in every medium."""

from math import isfinite

from pedalwright.units.value_writing import print_value

NOT_KNOWN = "not known"
NONE = "-"


def figure(value: float | None, unit: str) -> str:
    """A value with its unit for reading; ``not known`` for None and for anything that is not a finite number.

    >>> figure(-2.1368, "x"), figure(6.02, "dB"), figure(4700.0, "ohm"), figure(None, "V")
    ('-2.14 times', '+6.0 dB', '4.7 kΩ', 'not known')
    """
    if value is None or not isfinite(value):
        return NOT_KNOWN
    if unit == "dB":
        return decibels(value)
    if unit == "x":
        return f"{print_value(value, '')} times"
    return print_value(value, unit)


def decibels(value: float) -> str:
    """A level difference with its sign, to a tenth."""
    text = f"{value:+.1f}"
    return "0.0 dB" if text in ("+0.0", "-0.0") else f"{text} dB"


def disagreement(closed: float | None, full: float | None, unit: str) -> str:
    """How far the whole circuit is from the formula; a dash where there is nothing to compare.

    Decibels are subtracted, everything else is compared as a share of the formula's figure.

    >>> disagreement(100.0, 101.5, "Hz"), disagreement(6.0, 5.5, "dB"), disagreement(3.0, None, "V")
    ('1.5 %', '0.5 dB', '-')
    """
    if closed is None or full is None or not (isfinite(closed) and isfinite(full)):
        return NONE
    if unit == "dB":
        return _at_least(abs(full - closed), 0.01, "dB")
    if closed == 0:
        return figure(abs(full), unit) if full else "none"
    return _at_least(100 * abs(full / closed - 1), 0.01, "%")


def _at_least(value: float, smallest: float, unit: str) -> str:
    return (
        f"under {smallest} {unit}"
        if value < smallest
        else f"{value:.2g} {unit}"
        if value < 99.5
        else f"{value:.0f} {unit}"
    )


def residual(value: float) -> str:
    """A residual: one digit and its power of ten."""
    if not isfinite(value):
        return NOT_KNOWN
    return "0" if value == 0 else f"{value:.0e}"


def percent(share: float) -> str:
    """A share as a percentage."""
    return _at_least(100 * abs(share), 0.01, "%")
