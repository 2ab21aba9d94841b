"""How far the hiss stays below the sound."""

from pedalwright.analysis.wants._hiss import basis, hiss
from pedalwright.analysis.wants._record import Desk, Measured, NotKnown, WantedQuantity


def measure(desk: Desk) -> Measured:
    """The sound at 1 kHz, as loud as the `input` line says, over the A-weighted noise."""
    found = hiss(desk)
    if found.signal_to_noise_db is None:
        raise NotKnown("No sound reaches the output against which the noise could be told.")
    return Measured(value=found.signal_to_noise_db, basis=f"a sine at 1 kHz over the noise: {basis(found)}")


WANTED = WantedQuantity(
    name="signal-to-noise",
    title="sound over noise",
    unit="dB",
    says="the sound at 1 kHz, as loud as the `input` line says, over the A-weighted noise",
    measure=measure,
)
