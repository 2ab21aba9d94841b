"""Where the treble is 3 dB down."""

from pedalwright.analysis.wants._box import STANDING, boxed
from pedalwright.analysis.wants._record import WantedQuantity

WANTED = WantedQuantity(
    name="treble.corner",
    title="treble corner",
    unit="Hz",
    says="where the direct sound is 3 dB below its level at 1 kHz, above",
    measure=boxed(
        lambda box: box.high_corner_hz,
        "The direct sound has no corner above 1 kHz within 1 Hz to 500 kHz.",
        f"direct sound, 3 dB below 1 kHz, {STANDING}",
    ),
)
