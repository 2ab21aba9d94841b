"""One net passes through; the parts hang from it."""

from pedalwright.report.drawing.templates._choosing import standing_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="standing",
    kinds=("pull-down", "bias-feed", "bias-filter", "delay-time-network"),
    says=" ".join(__doc__.split()),
    ends=standing_ends,
)
