"""Numbers for what compiled loops must tell apart: the laws, and the places of their figures."""

from typing import Final

JUNCTION: Final = 0
BIPOLAR: Final = 1
FIELD_EFFECT: Final = 2
SUPPLY_DRAW: Final = 3
REGULATOR: Final = 4
AMPLIFIER: Final = 5
CONDUCTANCE: Final = 6

FIGURES: Final = 16
"""places for a device's figures; which figure stands where is said by the law in `remainders`"""

CONTROLS: Final = 2
OUTPUTS: Final = 2
"""the most controls and outputs a device has"""
