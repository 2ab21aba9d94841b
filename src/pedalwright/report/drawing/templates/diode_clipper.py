"""The diodes hang from the line, side by side."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="diode-clipper",
    kinds=("diode-clipper",),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
