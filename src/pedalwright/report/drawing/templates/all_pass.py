"""The signal on its two ways to both inputs, the feedback above or below the amplifier."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="all-pass",
    kinds=("all-pass", "differential-amplifier"),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
