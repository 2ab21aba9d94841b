"""A single operational amplifier: amplifies the difference of its inputs until feedback makes it vanish.

It cannot move its output quite to its supplies, faster than its slew rate, or with more gain than its
gain-bandwidth product allows; and its inputs take or give a small bias current. Pin numbers differ between
single types: read the sheet of the part in hand, whose own `gbw=` and `dc-gain=` may be written too.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._opamp import opamp_device
from pedalwright.devices.kinds._opamp_types import SINGLE

WORKED = (
    Worked(
        text=(
            "supply V 5.5V wall\n"
            "part U1 opamp MCP6001 v+=V v-=gnd\n"
            "V > R1 10k > U1.non\n"
            "gnd > R2 10k > U1.inv\n"
            "U1.out > R3 100k > gnd\n"
        ),
        volts={"~U1.out": 5.475},
        within_v=0.001,
        source="Microchip MCP6001 sheet: within 25 mV of its rails at 5.5 V",
    ),
)

DEVICE = opamp_device(
    kind="opamp",
    title="Single operational amplifier",
    says="one amplifier in a package",
    sections="",
    types=SINGLE,
    numbers={},
    worked=WORKED,
    page=__doc__ or "",
)
