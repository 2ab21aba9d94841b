"""A knob: a potentiometer the player turns; as a divider it sets a level, as a resistor a time.

Lug 1 is the counter-clockwise end, 2 the wiper, 3 the clockwise end, seen from the shaft. The law says how
resistance follows the turn: linear evenly, audio slowly at first (15 % of the track at half turn),
reverse-audio the other way round. Letter codes differ by region and age (A and B have meant each other), so
the law is written in words. The total is good to 20 % at best, often worse, and one ohm is left at each
end.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._knob import potentiometer

WORKED = (
    Worked(
        text=(
            "supply V 1V wall\n"
            "knob LEVEL 10k linear at 5\n"
            "V > LEVEL.3\n"
            "LEVEL.1 > gnd\n"
            "LEVEL.2 > A > R1 10k > gnd\n"
        ),
        volts={"A": 0.4},
        within_v=0.0001,
        source="a linear track at half turn loaded by its own resistance gives 0.4",
    ),
)

DEVICE = potentiometer(
    kind="knob",
    title="Knob",
    says="a potentiometer the player turns",
    worked=WORKED,
    page=__doc__ or "",
)
