"""The gain of the dry sound, knobs as they stand."""

from pedalwright.analysis.wants._box import direct_gain
from pedalwright.analysis.wants._record import WantedQuantity

WANTED = WantedQuantity(
    name="dry.gain",
    title="gain of the dry sound",
    unit="dB",
    says="input jack to output jack at 1 kHz, delayed sound left out",
    measure=direct_gain,
)
