"""Four operational amplifiers in one package, for filters, mixers and oscillators.

Sections are written U1a to U1d. All types listed share one pin-out of 14 pins with the positive supply on 4
and the negative on 11 (common practice, no source). Tie the inputs of sections that are not used.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._opamp import opamp_device
from pedalwright.devices.kinds._opamp_types import QUAD

WORKED = (
    Worked(
        text=(
            "supply V 30V wall\n"
            "part U1 quad-opamp TL074 v+=V v-=gnd\n"
            "V > R1 10k > VB > R2 10k > gnd\n"
            "V > U1a.non\n"
            "VB > U1a.inv\n"
            "U1a.out > HIGH > R3 10k > VB\n"
            "VB > U1b.non\n"
            "V > U1b.inv\n"
            "U1b.out > LOW > R4 10k > VB\n"
        ),
        volts={"HIGH": 28.5, "LOW": 1.5},
        within_v=0.002,
        source="TI SLOS080M: 13.5 V typical either way from the middle of 30 V",
    ),
)

DEVICE = opamp_device(
    kind="quad-opamp",
    title="Quad operational amplifier",
    says="four amplifiers in a package",
    sections="abcd",
    types=QUAD,
    numbers={
        "a.out": "1",
        "a.inv": "2",
        "a.non": "3",
        "v+": "4",
        "b.non": "5",
        "b.inv": "6",
        "b.out": "7",
        "c.out": "8",
        "c.inv": "9",
        "c.non": "10",
        "v-": "11",
        "d.non": "12",
        "d.inv": "13",
        "d.out": "14",
    },
    worked=WORKED,
    page=__doc__ or "",
)
