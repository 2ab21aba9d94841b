"""Two parts in line, one part down between them, two feedback parts over one another."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="multiple-feedback",
    kinds=("multiple-feedback-low-pass", "multiple-feedback-band-pass", "multiple-feedback-high-pass"),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
