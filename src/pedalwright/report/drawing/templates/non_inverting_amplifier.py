"""The signal into the upper input, the feedback below the amplifier, the gain-setting leg down from the
lower input.
"""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="non-inverting-amplifier",
    kinds=("non-inverting-amplifier", "clipping-amplifier", "general-amplifier"),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
