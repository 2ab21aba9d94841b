"""The most the loop gives back anywhere on the repeats knob."""

from math import log10

from pedalwright.analysis.wants._loops import LEAST, over_dial, repeats_part
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """Over the dial of the knob that sets the repeats."""
    part = repeats_part(desk)
    most = float(over_dial(desk, part).max())
    if most < LEAST:
        raise NotKnown("Nothing of a repeat is ever repeated again: there is no loop.")
    return Measured(value=20 * log10(most), basis=f"typical chip, over the dial of {part.ref}")


WANTED = WantedQuantity(
    name="loop.gain.max",
    title="most gain once round the loop",
    unit="dB",
    says="the same over the whole dial of the repeats knob",
    measure=measure,
)
