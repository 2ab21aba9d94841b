"""What operational amplifiers stand, and the most they draw; per amplifier where it is a current.

`k_per_w` is that of the plastic eight-pin dual-in-line package (from memory: 85 K/W; fourteen pins run
cooler).
"""

from collections.abc import Mapping

from pedalwright.devices.device import Figure
from pedalwright.devices.part_facts import MEMORY, figures

_PLASTIC = figures(MEMORY, k_per_w=85.0, most_junction_c=150.0)


def _rated(
    source: str, destructive_supply_v: float, most_supply_a: float, *, rooms_v: tuple[float, float]
) -> dict[str, Figure]:
    """`rooms_v`: how near the inputs may come to the negative and the positive supply pin (typical)."""
    low_v, high_v = rooms_v
    return {
        **_PLASTIC,
        **figures(source, destructive_supply_v=destructive_supply_v, most_supply_a=most_supply_a),
        **figures(MEMORY, low_input_room_v=low_v, high_input_room_v=high_v),
    }


_TL07X = _rated("TI SLOS080M (2015), legacy parts", 36.0, 2.5e-3, rooms_v=(3.0, 0.0))
_TL08X = _rated(MEMORY, 36.0, 2.8e-3, rooms_v=(3.0, 0.0))
_NE5532 = _rated(
    "ON Semiconductor NE5532 sheet: 16 mA both; supply limit from memory", 44.0, 8e-3, rooms_v=(2.0, 2.0)
)
_LM358 = _rated("TI SLOS068T (2015): 1.2 mA both", 32.0, 0.6e-3, rooms_v=(0.0, 1.5))
_LM324 = _rated(MEMORY, 32.0, 0.5e-3, rooms_v=(0.0, 1.5))
_MCP600X = _rated(MEMORY, 7.0, 0.17e-3, rooms_v=(-0.3, -0.3))
_RC4558 = _rated(MEMORY, 36.0, 2.8e-3, rooms_v=(1.0, 1.0))
_RC4580 = _rated("TI SLOS412D; current from memory", 36.0, 4.5e-3, rooms_v=(1.5, 1.5))
_LM741 = _rated(MEMORY, 36.0, 2.8e-3, rooms_v=(2.0, 2.0))
_NE5534 = _rated(MEMORY, 44.0, 8e-3, rooms_v=(2.0, 2.0))
_TLC27X = _rated(MEMORY, 18.0, 1.6e-3, rooms_v=(0.0, 0.8))
_TLC227X = _rated(MEMORY, 16.0, 1.5e-3, rooms_v=(0.0, 0.8))
_OPA134 = _rated(MEMORY, 36.0, 5e-3, rooms_v=(2.5, 2.5))

RATINGS: Mapping[str, Mapping[str, Figure]] = {
    **dict.fromkeys(("TL071", "TL072", "TL074"), _TL07X),
    **dict.fromkeys(("TL081", "TL082", "TL084"), _TL08X),
    "NE5532": _NE5532,
    "NE5534": _NE5534,
    "LM358": _LM358,
    "LM324": _LM324,
    "LM741": _LM741,
    **dict.fromkeys(("MCP6001", "MCP6002", "MCP6004"), _MCP600X),
    **dict.fromkeys(("RC4558", "4558"), _RC4558),
    **dict.fromkeys(("RC4580", "4580"), _RC4580),
    **dict.fromkeys(("TLC272", "TLC274"), _TLC27X),
    **dict.fromkeys(("TLC2272", "TLC2274"), _TLC227X),
    **dict.fromkeys(("OPA134", "OPA2134", "OPA4134"), _OPA134),
}
