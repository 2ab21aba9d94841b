"""The signal into one input, the threshold or the hysteresis at the other."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="comparator",
    kinds=("comparator", "schmitt-trigger", "relaxation-oscillator"),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
