"""How long a tail rings on."""

from math import isfinite

from pedalwright.analysis.wants._box import AT_1_KHZ
from pedalwright.analysis.wants._loops import once_round
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity
from pedalwright.echo.loop import MIDDLE_HZ
from pedalwright.echo.repeats import decay_s


def measure(desk: Desk) -> Measured:
    """Until 60 dB down, at 1 kHz."""
    once_round(desk)
    found = float(decay_s(desk.loop)[desk.loop.at(MIDDLE_HZ)])
    if not isfinite(found):
        raise NotKnown("The tail does not die away: the loop gives back more than it gets.")
    return Measured(value=found, basis=f"until 60 dB down, typical chips, {AT_1_KHZ}")


WANTED = WantedQuantity(
    name="decay.time",
    title="time of decay",
    unit="s",
    says="how long the repeats take to fall by 60 dB at 1 kHz; of several chips the slowest they could",
    measure=measure,
)
