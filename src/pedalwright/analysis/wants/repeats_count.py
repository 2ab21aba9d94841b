"""How many repeats are heard."""

from pedalwright.analysis.wants._box import STANDING
from pedalwright.analysis.wants._loops import count_of, once_round
from pedalwright.analysis.wants._record import Desk, Measured, WantedQuantity


def measure(desk: Desk) -> Measured:
    """Until 60 dB down, at the frequency that lasts longest."""
    basis = f"until 60 dB down where they last longest, typical chip, {STANDING}"
    return Measured(value=count_of(once_round(desk)), basis=basis)


WANTED = WantedQuantity(
    name="repeats.count",
    title="number of repeats",
    unit="",
    says="how many repeats there are until they are 60 dB down, where they last longest",
    measure=measure,
)
