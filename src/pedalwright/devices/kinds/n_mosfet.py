"""An n-channel MOSFET: no channel until the gate stands a threshold above the source.

It makes boosters, switches and clippers. Its gate is insulated and dies of a spark from a finger: keep it
in foil until it is soldered, and fit a gate resistor and a zener where the gate reaches a jack. Between
drain and source lies a diode that conducts backwards. The threshold spreads from 0.8 to 3 V within a type:
`vth=` states a measured one.

A square law fitted at the sheet's transconductance; below about 1 mA real parts have less gain than it
says.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._field_effect import mosfet_device
from pedalwright.devices.kinds._transistor import Transistor
from pedalwright.devices.kinds._transistor_ratings import N_MOSFET
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated

TYPES = {
    "2N7000": figures(
        f"{MEMORY}: threshold 2.1 V typical, 320 mS at 200 mA", threshold_v=2.1, beta=0.128
    ) | figures(MEMORY, gate_drain_f=4e-12, gate_source_f=16e-12),
    "BS170": figures(
        f"{MEMORY}: threshold 2.1 V typical, 320 mS at 200 mA", threshold_v=2.1, beta=0.128
    ) | figures(MEMORY, gate_drain_f=7e-12, gate_source_f=17e-12),
}  # fmt: skip

WORKED = (
    Worked(
        text=(
            "supply V 12V wall\n"
            "part Q1 n-mosfet 2N7000 d=D g=D s=gnd\n"
            "V > R1 1k > D\n"
        ),
        volts={"D": 2.374229},
        within_v=1e-5,
        source="I = 0.128 A/V^2 (V - 2.1 V)^2 = (12 V - V)/1 kohm, solved by hand",
    ),
)

DEVICE = mosfet_device(
    Transistor(
        kind="n-mosfet",
        title="MOSFET, n-channel",
        says="conducts when its gate stands a threshold above its source",
        polarity=1,
        types=rated(TYPES, N_MOSFET),
        worked=WORKED,
        page=__doc__ or "",
    )
)
