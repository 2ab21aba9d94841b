"""How much the pedal hisses."""

from math import log10

from pedalwright.analysis.wants._hiss import NOTHING, basis, hiss
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """The A-weighted noise at the output jack."""
    found = hiss(desk)
    if not found.weighted_v:
        raise NotKnown(NOTHING)
    return Measured(value=20 * log10(found.weighted_v), basis=basis(found))


WANTED = WantedQuantity(
    name="noise",
    title="noise at the output",
    unit="dBV",
    says="A-weighted noise at the output jack, with what the `input` line says plugged in",
    measure=measure,
)
