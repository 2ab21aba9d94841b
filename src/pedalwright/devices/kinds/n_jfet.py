"""An n-channel junction field-effect transistor: a channel that a negative gate voltage narrows.

Its gate takes no current, so it suits buffers and boosters behind a pickup, and its channel serves as a
resistor or switch near zero volts. Two figures describe it: the drain current with the gate at the source
(IDSS) and the gate voltage that stops the channel. Both spread by five to one within a type: measure yours
and write `idss=` and `vp=`.

Square law throughout: I = IDSS (1 - VGS/VP)^2, of which the measured sheet currents are a few per cent off.
"""

from pedalwright.devices.device import Worked
from pedalwright.devices.kinds._field_effect import jfet_device
from pedalwright.devices.kinds._transistor import Transistor
from pedalwright.devices.kinds._transistor_ratings import N_JFET
from pedalwright.devices.part_facts import MEMORY, figures
from pedalwright.devices.ratings import rated

_GATE = figures(MEMORY, gate_saturation_a=1e-14)
_SWITCH = _GATE | figures(MEMORY, modulation=0.01, gate_drain_f=5e-12, gate_source_f=5e-12)
_SMALL = _GATE | figures(MEMORY, modulation=0.003, gate_drain_f=1.5e-12, gate_source_f=3e-12)
TYPES = {
    "2N5457": _SMALL | figures(
        "Motorola 2N5457/D, 1996: typical IDSS, and pinch-off computed from the typical -2.5 V at 100 uA",
        idss_a=3e-3, pinch_off_v=3.06,
    ) | figures("Motorola 2N5457/D, 1996", gate_drain_f=1.5e-12, gate_source_f=3e-12)
    | figures("Motorola 2N5457/D, 1996: typical output admittance 10 uS over IDSS", modulation=0.0033),
    "2N5458": _SMALL | figures(MEMORY, idss_a=6e-3, pinch_off_v=4.3),
    "2N5459": _SMALL | figures(MEMORY, idss_a=9e-3, pinch_off_v=5.7),
    "2N5484": _SMALL | figures(MEMORY, idss_a=2.5e-3, pinch_off_v=1.3),
    "2N5485": _SMALL | figures(MEMORY, idss_a=6e-3, pinch_off_v=2.0),
    "2N5486": _SMALL | figures(MEMORY, idss_a=13e-3, pinch_off_v=3.5),
    "MPF102": _SMALL | figures(MEMORY, idss_a=6e-3, pinch_off_v=3.0),
    "J201": _SMALL | figures(MEMORY, idss_a=0.6e-3, pinch_off_v=0.8),
    "J111": _SWITCH | figures(MEMORY, idss_a=60e-3, pinch_off_v=6.0),
    "J112": _SWITCH | figures(MEMORY, idss_a=25e-3, pinch_off_v=2.5),
    "J113": _SWITCH | figures(MEMORY, idss_a=12e-3, pinch_off_v=1.5),
}  # fmt: skip

WORKED = (
    Worked(
        text=(
            "supply V 20V wall\n"
            "part Q1 n-jfet 2N5457 d=D g=G s=S idss=8mA vp=-6V modulation=0\n"
            "V > R1 3k3 > D\n"
            "G > R2 1M > gnd\n"
            "S > R3 1k > gnd\n"
        ),
        volts={"S": 2.587624, "D": 11.46084},
        within_v=0.0001,
        source="Boylestad and Nashelsky, example 7.2, solved exactly",
    ),
    Worked(
        text=(
            "supply V 16V wall\n"
            "part Q1 n-jfet 2N5457 d=D g=G s=S idss=8mA vp=-4V modulation=0\n"
            "V > R1 2k4 > D\n"
            "V > R2 2M1 > G > R3 270k > gnd\n"
            "S > R4 1k5 > gnd\n"
        ),
        volts={"G": 1.822785, "S": 3.624464, "D": 10.200858},
        within_v=0.0001,
        source="Boylestad and Nashelsky, example 7.5, solved exactly",
    ),
    Worked(
        text=(
            "supply V 12V wall\n"
            "part Q1 n-jfet 2N5457 d=D g=gnd s=S idss=12mA vp=-6V modulation=0\n"
            "V > R1 1k5 > D\n"
            "S > R2 680 > gnd\n"
        ),
        volts={"S": 2.60798, "D": 6.247103},
        within_v=0.0001,
        source="Boylestad and Nashelsky, example 7.6, solved exactly",
    ),
)

DEVICE = jfet_device(
    Transistor(
        kind="n-jfet",
        title="Junction field-effect transistor, n-channel",
        says="a channel that a negative gate narrows",
        polarity=1,
        types=rated(TYPES, N_JFET),
        worked=WORKED,
        page=__doc__ or "",
    )
)
