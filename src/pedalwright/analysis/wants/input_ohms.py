"""What the pedal presents to the guitar."""

from pedalwright.analysis.wants._box import AT_1_KHZ, boxed
from pedalwright.analysis.wants._record import WantedQuantity

WANTED = WantedQuantity(
    name="input.ohms",
    title="input impedance",
    unit="Ω",
    says="magnitude of the impedance into the input jack at 1 kHz",
    measure=boxed(lambda box: box.input_ohms, "The input jack is not loaded by anything.", AT_1_KHZ),
)
