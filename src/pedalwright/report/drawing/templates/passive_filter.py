"""A ladder: what the signal passes lies on the line, what leads away hangs down, what bridges arches over."""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="passive-filter",
    kinds=(
        "rc-low-pass",
        "rc-high-pass",
        "twin-t-notch",
        "dc-blocking",
        "mix-control",
        "variable-resistor",
        "transistor-switch",
        "gyrator",
        "feedback-loop-tone-filter",
        "feedback-path",
    ),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
