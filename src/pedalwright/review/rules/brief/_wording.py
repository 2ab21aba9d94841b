"""Figures of wants in words."""

from pedalwright.units.values import print_value


def figure(value: float, unit: str) -> str:
    """``+1.2 dB``, ``54.5 ms``, ``12 %``, ``5.07``."""
    if unit == "dB":
        return f"{value:+.2f} dB"
    if unit == "%":
        return f"{100 * value:.3g} %"
    return print_value(value, unit) if unit else f"{value:.3g}"


def size(value: float, unit: str) -> str:
    """The same of a distance, without a sign."""
    return f"{abs(value):.2f} dB" if unit == "dB" else figure(abs(value), unit)


def evidence_unit(unit: str) -> str:
    """The unit as evidence spells it."""
    return {"Ω": "ohm", "": "x"}.get(unit, unit)
