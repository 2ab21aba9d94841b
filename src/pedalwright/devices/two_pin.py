"""What two-pin parts share: pin 1 is the left end of the walk."""

from pedalwright.devices.device import Pin

PLAIN = (Pin(name="1", says="left end in the walk"), Pin(name="2", says="right end in the walk"))
POLARISED = (
    Pin(name="1", aliases=("plus",), says="left end in the walk; the plus end of a polarised part"),
    Pin(name="2", aliases=("minus",), says="right end in the walk"),
)
DIODE = (
    Pin(name="1", aliases=("a", "anode"), says="anode, the left end in the walk"),
    Pin(name="2", aliases=("k", "cathode"), says="cathode, the end with the band"),
)
