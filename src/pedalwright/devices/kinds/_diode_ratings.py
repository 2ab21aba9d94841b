"""What diodes stand beside their reverse voltage and forward current: heat, and one surge at switch-on."""

from collections.abc import Mapping

from pedalwright.devices.device import Figure
from pedalwright.devices.part_facts import MEMORY, figures

_SMALL = {
    **figures("Vishay 81857 rev 1.3", k_per_w=350.0),
    **figures(MEMORY, most_w=0.5, most_junction_c=175.0, surge_a=2.0),
}
_RECTIFIER = {
    **figures("Fairchild 1N4001 sheet, 2014", k_per_w=50.0, surge_a=30.0),
    **figures(MEMORY, most_junction_c=175.0, most_w=3.0),
}
_SCHOTTKY_RECTIFIER = figures(MEMORY, k_per_w=50.0, most_junction_c=125.0, most_w=2.0, surge_a=25.0)
_SMALL_SCHOTTKY = figures(MEMORY, k_per_w=300.0, most_junction_c=125.0, most_w=0.2, surge_a=0.75)
_POINT_CONTACT = figures(MEMORY, most_w=0.08, most_junction_c=75.0, surge_a=0.5)

SILICON: Mapping[str, Mapping[str, Figure]] = {
    **dict.fromkeys(("1N4148", "1N914", "1N4448"), _SMALL),
    **dict.fromkeys((f"1N400{digit}" for digit in range(1, 8)), _RECTIFIER),
}
SCHOTTKY: Mapping[str, Mapping[str, Figure]] = {
    **dict.fromkeys(("1N5817", "1N5818", "1N5819"), _SCHOTTKY_RECTIFIER),
    **dict.fromkeys(("BAT41", "BAT46"), _SMALL_SCHOTTKY),
}
GERMANIUM: Mapping[str, Mapping[str, Figure]] = dict.fromkeys(("1N34A", "1N60", "1N270"), _POINT_CONTACT)
ZENER_HALF_WATT = figures(MEMORY, most_w=0.5, k_per_w=300.0, most_junction_c=175.0)
ZENER_ONE_WATT = figures(MEMORY, most_w=1.0, k_per_w=100.0, most_junction_c=175.0)
LED = figures(MEMORY, most_w=0.075, surge_a=0.1)
