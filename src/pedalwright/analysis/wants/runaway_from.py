"""Where the repeats knob runs the loop away."""

import numpy as np

from pedalwright.analysis.wants._loops import DIAL, over_dial, repeats_part
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """The first place of the dial at which a typical chip runs away, straight between 41 places."""
    part = repeats_part(desk)
    gain = over_dial(desk, part)
    above = np.flatnonzero(gain >= 1.0)
    if not len(above):
        raise NotKnown(f"A typical chip does not run away anywhere on the dial of {part.ref}.")
    first = int(above[0])
    place = (
        DIAL[0] if first == 0 else np.interp(1.0, gain[first - 1 : first + 1], DIAL[first - 1 : first + 1])
    )
    return Measured(value=float(place), basis=f"typical chip, first place on the dial of {part.ref}")


WANTED = WantedQuantity(
    name="runaway.from",
    title="place at which the repeats run away",
    unit="",
    says="the first place (0 to 10) of the repeats knob at which a typical chip runs away",
    measure=measure,
)
