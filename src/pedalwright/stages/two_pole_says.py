"""What two-pole filters of every topology say in the same words."""

from pedalwright.formulas.two_pole import TwoPole
from pedalwright.stages.stage import Number
from pedalwright.stages.wording import hz


def two_pole_numbers(found: TwoPole, *, source: str) -> tuple[Number, ...]:
    """Natural frequency, Q and gain in the pass-band."""
    return (
        Number(name="natural frequency", unit="Hz", closed=found.natural_hz, full=None, source=source),
        Number(name="Q", unit="", closed=found.q, full=None, source=source),
        Number(name="pass-band gain", unit="x", closed=found.gain, full=None, source=source),
    )


def knob_words(low: TwoPole, high: TwoPole) -> str:
    """What a knob does that moves the natural frequency, from its two ends."""
    return f"Moves the natural frequency from {hz(low.natural_hz)} at 0 to {hz(high.natural_hz)} at 10."
