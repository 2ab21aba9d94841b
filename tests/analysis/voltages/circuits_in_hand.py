"""Small circuits whose voltages are in every handbook, and the package's own."""

from functools import cache

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.voltages import VoltageTable, voltage_table

DIVIDER = """pedal Divider
supply V 1V wall
V > R1 10k (5%) > A > R2 10k (5%) > gnd
point A middle
"""
HIGH_DIVIDER = """pedal Divider of megohms
supply V 9V wall
V > R1 1M (5%) > A > R2 1M (5%) > gnd
"""
TURNED = """pedal Knob
supply V 9V wall
knob LEVEL 10k linear at 2
V > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > A > R1 1M > gnd
"""
TRIANGLE = """pedal Triangle
supply V 9V wall
part U1 dual-opamp TL072 v+=V v-=gnd
V > R1 1k > M > R2 1k > gnd
U1b.out > R16 47k > U1a.non
U1a.non > R17 100k > U1a.out
U1a.inv > M
U1a.out > R18 330k > U1b.inv
U1b.inv > C1 1u (film) > U1b.out
U1b.non > M
point U1b.out triangle
"""
SPARE_SECTION = """pedal Half of a chip
supply V 9V wall
part U1 dual-opamp TL072 v+=V v-=gnd
V > R1 22k > M > R2 22k > gnd
M > U1a.non
U1a.out > U1a.inv
M > C1 10n (film) > LOOSE > C2 10n (film) > gnd
"""


@cache
def package(name: str) -> Analysis:
    """One of the package's circuits."""
    return read_text(circuits.text(name))


@cache
def table(name: str) -> VoltageTable:
    """Its voltages, as they come without a wish."""
    return voltage_table(package(name))
