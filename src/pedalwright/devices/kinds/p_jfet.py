"""A p-channel junction field-effect transistor: a channel that a positive gate voltage narrows.

The mirror image of the n-channel part; used where the source stands on the positive side, and as a quiet
switch that conducts with its control at rest. `idss=` and `vp=` state measured figures, written without a
sign.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._field_effect import jfet_device
from pedalwright.devices.kinds._transistor import Transistor
from pedalwright.devices.kinds._transistor_ratings import P_JFET
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated

_CHANNEL = figures(MEMORY, gate_saturation_a=1e-14, modulation=0.01)
_SWITCH = _CHANNEL | figures(MEMORY, gate_drain_f=5.5e-12, gate_source_f=5.5e-12)
_CARD = _CHANNEL | figures(MEMORY, gate_drain_f=2e-12, gate_source_f=4e-12)
TYPES = {
    "2N5460": _CARD | figures(MEMORY, idss_a=2.5e-3, pinch_off_v=2.5),
    "2N5461": _CARD | figures(MEMORY, idss_a=4.5e-3, pinch_off_v=3.5),
    "2N5462": _CARD | figures(MEMORY, idss_a=8e-3, pinch_off_v=4.5),
    "J175": _SWITCH | figures(MEMORY, idss_a=25e-3, pinch_off_v=4.5),
    "J176": _SWITCH | figures(MEMORY, idss_a=10e-3, pinch_off_v=2.5),
}

WORKED = (
    Worked(
        text=(
            "supply V 20V wall\n"
            "part Q1 p-jfet 2N5460 d=D g=V s=S idss=25mA vp=15V modulation=0\n"
            "V > R1 450 > S\n"
            "D > R2 100 > gnd\n"
        ),
        volts={"S": 15.0, "D": 1.1111},
        within_v=0.001,
        source="Floyd, example 7.8",
    ),
)

DEVICE = jfet_device(
    Transistor(
        kind="p-jfet",
        title="Junction field-effect transistor, p-channel",
        says="a channel that a positive gate narrows",
        polarity=-1,
        types=rated(TYPES, P_JFET),
        worked=WORKED,
        page=__doc__ or "",
    )
)
