"""One resistor above the other between rail and ground, the bias net on between them."""

from pedalwright.report.drawing.templates._choosing import bias_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="bias-divider",
    kinds=("bias-divider",),
    says=" ".join(__doc__.split()),
    ends=bias_ends,
)
