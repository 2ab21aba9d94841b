"""A trim: a potentiometer inside the pedal, set once with a screwdriver.

Its lugs and laws are those of a knob. Small trims stand a few hundred turns and little current: put the
working value near the middle of the track so that both directions remain.
"""

from pedalwright.devices.device import Device
from pedalwright.devices.kinds._knob import PINS, check, halves

DEVICE = Device(
    kind="trim",
    title="Trim",
    says="a potentiometer set once, inside the pedal",
    letters=(),
    family="knob",
    pins=PINS,
    value_of="resistance",
    expand=halves,
    check=check,
    page=__doc__ or "",
)
