"""Two operational amplifiers in one package: the usual amplifier chip of a pedal.

Sections are written U1a and U1b. All types listed share one pin-out: 1 out a, 2 inverting a, 3
non-inverting a, 4 the negative supply, 5 non-inverting b, 6 inverting b, 7 out b, 8 the positive supply
(common practice, no source). A section that is not used still wants its inputs tied: join its output to its
inverting input and its non-inverting input to the bias voltage.
"""

from pedalwright.devices.kinds._opamp import opamp_device
from pedalwright.devices.kinds._opamp_types import DUAL

DEVICE = opamp_device(
    kind="dual-opamp",
    title="Dual operational amplifier",
    says="two amplifiers in a package",
    sections="ab",
    types=DUAL,
    numbers={
        "a.out": "1",
        "a.inv": "2",
        "a.non": "3",
        "v-": "4",
        "b.non": "5",
        "b.inv": "6",
        "b.out": "7",
        "v+": "8",
    },
    page=__doc__ or "",
)
