"""The signal into the base or gate from the left, the load up to the rail, the emitter or source parts
down; on from collector or emitter.
"""

from pedalwright.report.drawing.templates._choosing import signal_ends
from pedalwright.report.drawing.templates.template import Template

TEMPLATE = Template(
    name="transistor-stage",
    kinds=(
        "common-emitter-amplifier",
        "common-source-amplifier",
        "emitter-follower",
        "source-follower",
    ),
    says=" ".join(__doc__.split()),
    ends=signal_ends,
)
