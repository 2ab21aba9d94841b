"""How many repeats there are at most."""

from pedalwright.analysis.wants._loops import count_of, over_dial, repeats_part
from pedalwright.analysis.wants._record import Desk, Measured, WantedQuantity


def measure(desk: Desk) -> Measured:
    """Over the dial of the knob that sets them."""
    part = repeats_part(desk)
    basis = f"until 60 dB down, typical chip, over the dial of {part.ref}"
    return Measured(value=count_of(float(over_dial(desk, part).max())), basis=basis)


WANTED = WantedQuantity(
    name="repeats.most",
    title="most repeats",
    unit="",
    says="the same over the whole dial of the repeats knob",
    measure=measure,
)
