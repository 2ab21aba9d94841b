"""Figures of the pedal as one box, as wanted quantities."""

from collections.abc import Callable

from pedalwright.analysis.records import Overall
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown

STANDING = "knobs as they stand"
AT_1_KHZ = f"at 1 kHz, {STANDING}"


def boxed(
    read: Callable[[Overall], float | None], why_not: str, basis: str = AT_1_KHZ
) -> Callable[[Desk], Measured]:
    """A measurement that reads one figure of the box; NotKnown with `why_not` where there is none."""

    def measure(desk: Desk) -> Measured:
        value = read(desk.overall)
        if value is None:
            raise NotKnown(why_not)
        return Measured(value=value, basis=basis)

    return measure


direct_gain = boxed(
    lambda box: box.gain_db,
    "No sound passes from the input jack to the output jack with the knobs as they stand.",
    f"direct sound {AT_1_KHZ}",
)
"""the gain from jack to jack [dB]"""
