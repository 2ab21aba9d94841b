"""Figures of plain operational amplifiers, per amplifier, each with its source.

`bias_a` is positive when it flows into the pin. Headrooms are how far the output stays from its rails into
a light load (10 kohm). `noise_corner_hz` is where 1/f noise equals the white noise. Makers re-spin these
parts under the same number, so the sheet's revision stands with the figure.
"""

from collections.abc import Mapping

from pedalwright.devices.device import Figure
from pedalwright.devices.part_facts import MEMORY, figures

TL07X = figures(
    "TI SLOS080M (2015), legacy parts",
    gain_bandwidth_hz=3e6, slew_v_per_s=13e6, high_headroom_v=1.5, low_headroom_v=1.5,
    noise_v_per_root_hz=18e-9, noise_a_per_root_hz=0.01e-12, supply_a=1.4e-3,
    least_supply_v=10.0, most_supply_v=36.0,
) | figures(
    MEMORY, dc_gain=200e3, bias_a=65e-12, noise_corner_hz=200.0, noise_current_corner_hz=0.0
)  # fmt: skip

TL08X = figures(
    MEMORY,
    gain_bandwidth_hz=3e6, slew_v_per_s=13e6, high_headroom_v=1.5, low_headroom_v=1.5,
    noise_v_per_root_hz=18e-9, noise_a_per_root_hz=0.01e-12, supply_a=1.4e-3,
    least_supply_v=10.0, most_supply_v=36.0,
    dc_gain=200e3, bias_a=30e-12, noise_corner_hz=200.0, noise_current_corner_hz=0.0,
)  # fmt: skip

NE5532 = figures(
    "ON Semiconductor NE5532 sheet",
    gain_bandwidth_hz=10e6, slew_v_per_s=9e6, high_headroom_v=1.5, low_headroom_v=1.5,
    noise_v_per_root_hz=5e-9, noise_a_per_root_hz=0.7e-12, supply_a=4e-3,
    least_supply_v=6.0, most_supply_v=40.0,
) | figures(
    "computed from the sheet's noise at 30 Hz and 1 kHz", noise_corner_hz=47.0, noise_current_corner_hz=416.0
) | figures(MEMORY, dc_gain=100e3, bias_a=200e-9)  # fmt: skip

LM358 = figures(
    "TI SLOS068T (2015)",
    gain_bandwidth_hz=0.7e6, slew_v_per_s=0.3e6, high_headroom_v=1.5, low_headroom_v=0.005,
    noise_v_per_root_hz=40e-9, supply_a=0.35e-3, least_supply_v=3.0, most_supply_v=32.0,
) | figures(MEMORY, dc_gain=100e3, bias_a=-20e-9, noise_a_per_root_hz=0.1e-12, noise_corner_hz=100.0,
            noise_current_corner_hz=100.0)  # fmt: skip

LM324 = figures(
    MEMORY,
    gain_bandwidth_hz=1.2e6, slew_v_per_s=0.5e6, high_headroom_v=1.5, low_headroom_v=0.005,
    noise_v_per_root_hz=35e-9, supply_a=0.175e-3, least_supply_v=3.0, most_supply_v=32.0,
    dc_gain=100e3, bias_a=-20e-9, noise_a_per_root_hz=0.1e-12, noise_corner_hz=100.0,
    noise_current_corner_hz=100.0,
)  # fmt: skip

MCP600X = figures(
    "Microchip MCP6001/2/4 sheet",
    gain_bandwidth_hz=1e6, slew_v_per_s=0.6e6, high_headroom_v=0.025, low_headroom_v=0.025,
    noise_v_per_root_hz=28e-9, noise_a_per_root_hz=0.6e-15, supply_a=100e-6,
    least_supply_v=1.8, most_supply_v=6.0,
) | figures(
    "computed from the sheet's 6.1 uV peak to peak, 0.1 to 10 Hz", noise_corner_hz=235.0
) | figures(MEMORY, dc_gain=400e3, bias_a=1e-12, noise_current_corner_hz=0.0)  # fmt: skip

RC4558 = figures(
    "TI SLOS073H (October 2024); earlier sheets print 3 MHz", gain_bandwidth_hz=4e6
) | figures(
    MEMORY,
    slew_v_per_s=1.7e6, high_headroom_v=1.0, low_headroom_v=1.0, noise_v_per_root_hz=8e-9,
    noise_a_per_root_hz=0.5e-12, supply_a=1.25e-3, least_supply_v=8.0, most_supply_v=36.0,
    dc_gain=300e3, bias_a=-150e-9, noise_corner_hz=100.0, noise_current_corner_hz=200.0,
)  # fmt: skip

RC4580 = figures(
    "TI SLOS412D", gain_bandwidth_hz=12e6, slew_v_per_s=5e6, least_supply_v=4.0, most_supply_v=36.0
) | figures(
    MEMORY,
    high_headroom_v=1.5, low_headroom_v=1.5, noise_v_per_root_hz=6e-9, noise_a_per_root_hz=0.5e-12,
    supply_a=3e-3, dc_gain=300e3, bias_a=-100e-9, noise_corner_hz=60.0, noise_current_corner_hz=200.0,
)  # fmt: skip

LM741 = figures(
    MEMORY,
    gain_bandwidth_hz=1e6, slew_v_per_s=0.5e6, high_headroom_v=1.0, low_headroom_v=1.0,
    noise_v_per_root_hz=23e-9, noise_a_per_root_hz=0.5e-12, supply_a=1.7e-3,
    least_supply_v=9.0, most_supply_v=36.0,
    dc_gain=200e3, bias_a=80e-9, noise_corner_hz=200.0, noise_current_corner_hz=2000.0,
)  # fmt: skip

NE5534 = figures(
    MEMORY,
    gain_bandwidth_hz=10e6, slew_v_per_s=13e6, high_headroom_v=2.0, low_headroom_v=2.0,
    noise_v_per_root_hz=4e-9, noise_a_per_root_hz=0.6e-12, supply_a=4e-3,
    least_supply_v=6.0, most_supply_v=40.0,
    dc_gain=100e3, bias_a=500e-9, noise_corner_hz=90.0, noise_current_corner_hz=500.0,
)  # fmt: skip

TLC27X = figures(
    MEMORY,
    gain_bandwidth_hz=1.7e6, slew_v_per_s=3.6e6, high_headroom_v=1.2, low_headroom_v=0.05,
    noise_v_per_root_hz=25e-9, noise_a_per_root_hz=0.6e-15, supply_a=0.7e-3,
    least_supply_v=3.0, most_supply_v=16.0,
    dc_gain=23e3, bias_a=0.6e-12, noise_corner_hz=200.0, noise_current_corner_hz=0.0,
)  # fmt: skip

TLC227X = figures(
    MEMORY,
    gain_bandwidth_hz=2.2e6, slew_v_per_s=3.6e6, high_headroom_v=0.02, low_headroom_v=0.02,
    noise_v_per_root_hz=9e-9, noise_a_per_root_hz=0.6e-15, supply_a=1.1e-3,
    least_supply_v=4.4, most_supply_v=16.0,
    dc_gain=35e3, bias_a=1e-12, noise_corner_hz=300.0, noise_current_corner_hz=0.0,
)  # fmt: skip

OPA134 = figures(
    MEMORY,
    gain_bandwidth_hz=8e6, slew_v_per_s=20e6, high_headroom_v=1.2, low_headroom_v=0.5,
    noise_v_per_root_hz=8e-9, noise_a_per_root_hz=3e-15, supply_a=4e-3,
    least_supply_v=5.0, most_supply_v=36.0,
    dc_gain=1e6, bias_a=5e-12, noise_corner_hz=100.0, noise_current_corner_hz=0.0,
)  # fmt: skip

Types = Mapping[str, Mapping[str, Figure]]
SINGLE: Types = {
    "TL071": TL07X, "TL081": TL08X, "NE5534": NE5534, "LM741": LM741, "MCP6001": MCP600X, "OPA134": OPA134,
}  # fmt: skip
DUAL: Types = {
    "TL072": TL07X, "TL082": TL08X, "NE5532": NE5532, "RC4558": RC4558, "4558": RC4558, "RC4580": RC4580,
    "4580": RC4580, "LM358": LM358, "MCP6002": MCP600X, "TLC272": TLC27X, "TLC2272": TLC227X,
    "OPA2134": OPA134,
}  # fmt: skip
QUAD: Types = {
    "TL074": TL07X, "TL084": TL08X, "LM324": LM324, "MCP6004": MCP600X, "TLC274": TLC27X, "TLC2274": TLC227X,
    "OPA4134": OPA134,
}  # fmt: skip
