"""What transistors stand: collector or drain, base or gate, heat. Each figure with where it is printed."""

from collections.abc import Mapping

from pedalwright.devices.device import Figure
from pedalwright.devices.part_facts import MEMORY, figures

_TO92 = figures("2N3904 sheet: TO-92, 5 mW less for every kelvin", k_per_w=200.0)
_SILICON = figures(MEMORY, most_junction_c=150.0, most_base_reverse_v=5.0)
_GERMANIUM = figures(MEMORY, most_junction_c=85.0, most_base_reverse_v=10.0, k_per_w=350.0)


def _silicon(source: str, **values: float) -> dict[str, Figure]:
    return {**_TO92, **_SILICON, **figures(source, **values)}


def _germanium(**values: float) -> dict[str, Figure]:
    return {**_GERMANIUM, **figures(MEMORY, **values)}


_BC547 = _silicon(MEMORY, most_collector_v=45.0, most_collector_a=0.1, most_w=0.625, most_base_reverse_v=6.0)
_BC549 = _silicon(MEMORY, most_collector_v=30.0, most_collector_a=0.1, most_w=0.625)
_BC557 = _silicon(MEMORY, most_collector_v=45.0, most_collector_a=0.1, most_w=0.625)

NPN: Mapping[str, Mapping[str, Figure]] = {
    "2N3904": {
        **_silicon("Fairchild 2N3904 sheet, 2001", most_collector_v=40.0, most_collector_a=0.2, most_w=0.625),
        **figures(MEMORY, most_base_reverse_v=6.0),
    },
    "2N5088": {
        **_silicon("ON Semiconductor 2N5088/D", most_collector_v=30.0, k_per_w=200.0),
        **figures(MEMORY, most_collector_a=0.05, most_w=0.625, most_base_reverse_v=3.0),
    },
    "2N2222": _silicon(MEMORY, most_collector_v=30.0, most_collector_a=0.6, most_w=0.5, k_per_w=250.0),
    "BC547": _BC547,
    "BC547B": _BC547,
    "BC547C": _BC547,
    "BC549": _BC549,
    "BC549C": _BC549,
    "2N1304": _germanium(most_collector_v=20.0, most_collector_a=0.3, most_w=0.15),
    "AC127": _germanium(most_collector_v=12.0, most_collector_a=0.5, most_w=0.18),
}
PNP: Mapping[str, Mapping[str, Figure]] = {
    "2N3906": {
        **_silicon("Fairchild 2N3906 sheet, 2010", most_collector_v=40.0, most_w=0.625),
        **figures(MEMORY, most_collector_a=0.2),
    },
    "2N5087": _silicon(MEMORY, most_collector_v=50.0, most_collector_a=0.05, most_w=0.625,
                       most_base_reverse_v=3.0),
    "BC557": _BC557,
    "BC557B": _BC557,
    "2N404": _germanium(most_collector_v=24.0, most_collector_a=0.1, most_w=0.15),
    "2N1305": _germanium(most_collector_v=20.0, most_collector_a=0.3, most_w=0.15),
    "AC128": _germanium(most_collector_v=16.0, most_collector_a=1.0, most_w=0.18),
}  # fmt: skip

_SMALL_JFET = figures(
    MEMORY, most_gate_v=25.0, most_drain_v=25.0, most_w=0.31, k_per_w=357.0, most_junction_c=135.0
)
_SWITCH_JFET = figures(
    MEMORY, most_gate_v=35.0, most_drain_v=35.0, most_w=0.35, k_per_w=357.0, most_junction_c=150.0
)
N_JFET: Mapping[str, Mapping[str, Figure]] = {
    "2N5457": {**_SMALL_JFET, **figures("Motorola 2N5457/D, 1996", most_gate_v=25.0, most_w=0.31)},
    **dict.fromkeys(("2N5458", "2N5459", "2N5484", "2N5485", "2N5486", "MPF102"), _SMALL_JFET),
    "J201": {**_SMALL_JFET, **figures(MEMORY, most_gate_v=40.0, most_drain_v=40.0)},
    **dict.fromkeys(("J111", "J112", "J113"), _SWITCH_JFET),
}
_P_SMALL = _SMALL_JFET | figures(MEMORY, most_gate_v=40.0)
_P_SWITCH = _SWITCH_JFET | figures(MEMORY, most_gate_v=30.0)
P_JFET: Mapping[str, Mapping[str, Figure]] = {
    **dict.fromkeys(("2N5460", "2N5461", "2N5462"), _P_SMALL),
    **dict.fromkeys(("J175", "J176"), _P_SWITCH),
}
_SMALL_MOSFET = figures(
    MEMORY, most_drain_v=60.0, most_drain_a=0.2, most_gate_v=20.0, most_w=0.4, k_per_w=312.0,
    most_junction_c=150.0,
)  # fmt: skip
N_MOSFET: Mapping[str, Mapping[str, Figure]] = {
    "2N7000": _SMALL_MOSFET,
    "BS170": {**_SMALL_MOSFET, **figures(MEMORY, most_drain_a=0.5, most_w=0.83, k_per_w=150.0)},
}
P_MOSFET: Mapping[str, Mapping[str, Figure]] = {
    "BS250": {**_SMALL_MOSFET, **figures(MEMORY, most_drain_v=45.0, most_drain_a=0.23, most_w=0.83,
                                         k_per_w=150.0)},
}  # fmt: skip
