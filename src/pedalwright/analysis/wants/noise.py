"""How much the pedal hisses."""

from pedalwright.analysis.noise.records import dbv
from pedalwright.analysis.wants._hiss import basis, hiss
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """The A-weighted noise at the output jack."""
    found = hiss(desk)
    level = dbv(found.weighted_v)
    if level is None:
        raise NotKnown("Nothing in this circuit makes a noise that reaches the output.")
    return Measured(value=level, basis=basis(found))


WANTED = WantedQuantity(
    name="noise",
    title="noise at the output",
    unit="dBV",
    says="A-weighted noise at the output jack, with what the `input` line says plugged in",
    measure=measure,
)
