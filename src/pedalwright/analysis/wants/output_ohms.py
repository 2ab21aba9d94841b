"""What stands behind the output jack."""

from pedalwright.analysis.wants._box import AT_1_KHZ, boxed
from pedalwright.analysis.wants._record import WantedQuantity

WANTED = WantedQuantity(
    name="output.ohms",
    title="output impedance",
    unit="Ω",
    says="magnitude of the impedance behind the output jack at 1 kHz, nothing plugged in",
    measure=boxed(lambda box: box.output_ohms, "Nothing drives the output jack.", AT_1_KHZ),
)
