"""A knob: a potentiometer the player turns. A wiper slides along a track; as a divider it sets a level, as
a resistor a time.

Lug 1 is the counter-clockwise end, 2 the wiper, 3 the clockwise end, seen from the shaft. The law says how
resistance follows the turn: linear evenly, audio slowly at first (15 % of the track at half turn),
reverse-audio the other way round. Letter codes differ by region and age (A and B have meant each other), so
the law is written in words. The total is good to 20 % at best, often worse, and one ohm is left at each
end.
"""

from pedalwright.devices.device import Device
from pedalwright.devices.kinds._knob import PINS, check, halves

DEVICE = Device(
    kind="knob",
    title="Knob",
    says="a potentiometer the player turns",
    letters=(),
    family="knob",
    pins=PINS,
    value_of="resistance",
    expand=halves,
    check=check,
    page=__doc__ or "",
)
