"""A p-channel MOSFET: conducts when its gate stands a threshold below its source; polarity protection that
costs nothing.

With its drain at the adaptor, its source at the circuit and its gate at ground it passes the right polarity
with millivolts of loss and blocks the wrong one. Handle it like every insulated gate: no sparks.
"""

from pedalwright.devices.kinds._field_effect import mosfet_device
from pedalwright.devices.part_facts import MEMORY, figures

TYPES = {
    "BS250": figures(
        f"{MEMORY}: threshold 2.5 V, 150 mS at 200 mA", threshold_v=2.5, beta=0.028
    ) | figures(MEMORY, gate_drain_f=6e-12, gate_source_f=54e-12),
}  # fmt: skip

DEVICE = mosfet_device(
    kind="p-mosfet",
    title="MOSFET, p-channel",
    says="conducts when its gate stands a threshold below its source",
    polarity=-1,
    types=TYPES,
    page=__doc__ or "",
)
