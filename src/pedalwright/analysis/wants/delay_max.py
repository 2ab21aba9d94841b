"""The longest delay that the knobs can set."""

from pedalwright.analysis.wants._delays import basis, every_place
from pedalwright.analysis.wants._record import Desk, Measured, WantedQuantity


def measure(desk: Desk) -> Measured:
    """Over all chips, knobs and switches."""
    found = max(every_place(desk), key=lambda place: place.delay_s)
    return Measured(value=found.delay_s, basis=basis(found))


WANTED = WantedQuantity(
    name="delay.max",
    title="longest delay",
    unit="s",
    says="the longest delay anywhere on the dials, typical chip",
    measure=measure,
)
