"""The level of the first repeat against the sound at the input jack."""

from pedalwright.analysis.wants._box import AT_1_KHZ, boxed
from pedalwright.analysis.wants._record import WantedQuantity

WANTED = WantedQuantity(
    name="wet.gain",
    title="gain to the first repeat",
    unit="dB",
    says="level of the loudest first repeat at the output jack over that at the input jack, at 1 kHz",
    measure=boxed(
        lambda box: max((level for _, level in box.repeats_db), default=None),
        "No repeat arrives at the output jack with the knobs as they stand.",
        f"typical chip, {AT_1_KHZ}",
    ),
)
