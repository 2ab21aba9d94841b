"""The gain, knobs as they stand."""

from pedalwright.analysis.wants._box import direct_gain
from pedalwright.analysis.wants._record import WantedQuantity

WANTED = WantedQuantity(
    name="gain",
    title="gain",
    unit="dB",
    says="input jack to output jack at 1 kHz, without delayed sound",
    measure=direct_gain,
)
