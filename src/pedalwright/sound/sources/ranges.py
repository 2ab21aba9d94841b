"""A band of frequencies as written: ``20Hz..20kHz``."""

from pedalwright.units.values import Quantity, ValueMistake, parse_value

NARROWEST = 1.05
"""highest over lowest frequency, at the least"""


def read_band(text: str) -> tuple[float, ...]:
    """Lowest and highest frequency [Hz]; raises ValueMistake."""
    low, dots, high = text.partition("..")
    if not dots or not low.strip() or not high.strip():
        raise ValueMistake(
            "A band needs its lowest and its highest frequency.",
            "Write both with two dots between, such as 20Hz..20kHz.",
        )
    return parse_value(low, Quantity.FREQUENCY), parse_value(high, Quantity.FREQUENCY)


def band_mistake(low_hz: float, high_hz: float) -> str:
    """What is wrong with a band, in a sentence, or nothing."""
    if high_hz < NARROWEST * low_hz:
        return f"The band must climb, its end at least {NARROWEST:g} times its beginning."
    return ""
