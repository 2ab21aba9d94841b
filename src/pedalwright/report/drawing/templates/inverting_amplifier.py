"""The input resistor on the line into the inverting input, the feedback above, the other input on its bias
flag; further inputs come in below.
"""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="inverting-amplifier",
    kinds=("inverting-amplifier", "integrator", "summing-mixer"),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
