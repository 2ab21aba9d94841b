"""A ladder from input to output, its knobs as tracks with numbered lugs."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="tone-network",
    kinds=("tone-network",),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
