"""Two operational amplifiers in one package: the usual amplifier chip of a pedal.

Sections are written U1a and U1b. All types listed share one pin-out: 1 out a, 2 inverting a, 3
non-inverting a, 4 the negative supply, 5 non-inverting b, 6 inverting b, 7 out b, 8 the positive supply
(common practice, no source). A section that is not used still wants its inputs tied: join its output to its
inverting input and its non-inverting input to the bias voltage.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._opamp import opamp_device
from pedalwright.devices.kinds._opamp_types import DUAL

WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "part U1 dual-opamp LM358 v+=V v-=gnd\n"
            "V > R1 10k > VB > R2 10k > gnd\n"
            "VB > U1a.non\n"
            "U1a.inv > U1a.out\n"
            "U1a.out > R3 10k > gnd\n"
            "V > U1b.non\n"
            "VB > U1b.inv\n"
            "U1b.out > HIGH > R4 10k > gnd\n"
        ),
        volts={"~U1a.inv": 4.5, "HIGH": 7.5},
        within_v=0.002,
        source="follower: Franco, ch. 1; TI SLOS068T: output high stops 1.5 V below the supply",
    ),
)

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
    worked=WORKED,
    page=__doc__ or "",
)
