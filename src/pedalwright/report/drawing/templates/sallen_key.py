"""Two parts in line into the upper input, one down from it, one from between them over to the output."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="sallen-key",
    kinds=("sallen-key-low-pass", "sallen-key-high-pass"),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
