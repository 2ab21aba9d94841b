"""The gain once round the loop."""

from math import log10

from pedalwright.analysis.wants._box import STANDING
from pedalwright.analysis.wants._loops import once_round
from pedalwright.analysis.wants._record import Desk, Measured, WantedQuantity


def measure(desk: Desk) -> Measured:
    """The largest within hearing."""
    return Measured(
        value=20 * log10(once_round(desk)), basis=f"largest within hearing, typical chip, {STANDING}"
    )


WANTED = WantedQuantity(
    name="loop.gain",
    title="gain once round the loop",
    unit="dB",
    says="the largest gain from one repeat to the next within hearing; 0 dB never dies away",
    measure=measure,
)
