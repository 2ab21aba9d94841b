"""The rail passes through; the parts hang from it to ground."""

from pedalwright.report.drawing.templates._choosing import rail_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="rail",
    kinds=("reservoir", "decoupling", "indicator", "shunt-polarity-diode"),
    says=" ".join(__doc__.split()),
    ends=rail_ends,
)
