"""The shortest delay that the knobs can set."""

from pedalwright.analysis.wants._delays import basis, every_place
from pedalwright.analysis.wants._record import Desk, Measured, WantedQuantity


def measure(desk: Desk) -> Measured:
    """Over all chips, knobs and switches."""
    found = min(every_place(desk), key=lambda place: place.delay_s)
    return Measured(value=found.delay_s, basis=basis(found))


WANTED = WantedQuantity(
    name="delay.min",
    title="shortest delay",
    unit="s",
    says="the shortest delay anywhere on the dials, typical chip",
    measure=measure,
)
