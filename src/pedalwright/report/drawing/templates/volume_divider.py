"""The track upright, its foot to ground, the line on from the wiper."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="volume-divider",
    kinds=("volume-divider",),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
