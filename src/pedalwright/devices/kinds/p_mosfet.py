"""A p-channel MOSFET: conducts when its gate stands a threshold below its source.

It is the polarity protection that costs no voltage. With its drain at the adaptor, its source at the
circuit and its gate at ground it passes the right polarity with millivolts of loss and blocks the wrong
one. Handle it like every insulated gate: no sparks.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._field_effect import mosfet_device
from pedalwright.devices.kinds._transistor import Transistor
from pedalwright.devices.kinds._transistor_ratings import P_MOSFET
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated

TYPES = {
    "BS250": figures(
        f"{MEMORY}: threshold 2.5 V, 150 mS at 200 mA", threshold_v=2.5, beta=0.028
    ) | figures(MEMORY, gate_drain_f=6e-12, gate_source_f=54e-12),
}  # fmt: skip

WORKED = (
    Worked(
        text=(
            "supply VIN 9V wall\n"
            "part Q1 p-mosfet BS250 d=VIN g=gnd s=VA\n"
            "VA > R1 1k > gnd\n"
        ),
        volts={"VA": 8.97},
        within_v=0.03,
        source="on, such a switch drops tens of millivolts at 9 mA (common practice, no source)",
    ),
)

DEVICE = mosfet_device(
    Transistor(
        kind="p-mosfet",
        title="MOSFET, p-channel",
        says="conducts when its gate stands a threshold below its source",
        polarity=-1,
        types=rated(TYPES, P_MOSFET),
        worked=WORKED,
        page=__doc__ or "",
    )
)
