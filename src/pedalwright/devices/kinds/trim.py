"""A trim: a potentiometer inside the pedal, set once with a screwdriver.

Its lugs and laws are those of a knob. Small trims stand a few hundred turns and little current: put the
working value near the middle of the track so that both directions remain.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._knob import potentiometer

WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "trim BIAS 10k linear at 2\n"
            "V > BIAS.3\n"
            "BIAS.1 > gnd\n"
            "BIAS.2 > A > R1 100M > gnd\n"
        ),
        volts={"A": 1.8},
        within_v=0.001,
        source="Ohm's law",
    ),
)

DEVICE = potentiometer(
    kind="trim",
    title="Trim",
    says="a potentiometer set once, inside the pedal",
    worked=WORKED,
    page=__doc__ or "",
)
