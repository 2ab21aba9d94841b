"""From one rail through the part to the rail made of it."""

from pedalwright.report.drawing.templates._choosing import feed_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="rail-to-rail",
    kinds=("series-polarity-diode", "supply-rc-filter", "regulator"),
    says=" ".join(__doc__.split()),
    ends=feed_ends,
)
