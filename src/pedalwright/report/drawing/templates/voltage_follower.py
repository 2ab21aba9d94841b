"""The signal into the upper input, the output back to the lower one."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="voltage-follower",
    kinds=("voltage-follower",),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
