"""Figures of wants in words, alike in findings and in every medium."""

from pedalwright.review.wants import WantAnswer
from pedalwright.units.values import print_value


def want_figure(value: float, unit: str) -> str:
    """``+1.2 dB``, ``-85.3 dBV``, ``54.5 ms``, ``12 %``, ``5.07``."""
    if unit == "dB":
        return f"{value:+.2f} dB"
    if unit == "dBV":
        return f"{value:.1f} dBV"
    if unit == "%":
        return f"{100 * value:.3g} %"
    return print_value(value, unit) if unit else f"{value:.3g}"


def want_distance(value: float, unit: str) -> str:
    """The same of a distance, without a sign."""
    return f"{abs(value):.2f} dB" if unit in ("dB", "dBV") else want_figure(abs(value), unit)


def margin_words(answer: WantAnswer) -> str:
    """``met, 5.46 ms to spare``, ``missed by 1.2 dB``, or ``not known``."""
    if answer.met is None or answer.margin is None:
        return "not known"
    size = want_distance(answer.margin, answer.unit)
    return f"met, {size} to spare" if answer.met else f"missed by {size}"
