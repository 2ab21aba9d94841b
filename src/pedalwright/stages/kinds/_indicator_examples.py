"""Circuits whose lamps the indicator must find, and lamps that it must leave alone."""

from pedalwright.stages.stage import Example

KIND_NAME = "indicator"

EXAMPLES = (
    Example(
        text="""pedal On
supply VIN 9V wall
VIN > R1 4k7 > D1 red > gnd
VIN > C1 100u > gnd
""",
        roles={"D1": (KIND_NAME, "indicator LED"), "R1": (KIND_NAME, "LED series resistor")},
    ),
    Example(
        text="""pedal On by a contact
supply VIN 9V wall
switch LAMP dark lit at dark
VIN > D1 green > R1 3k3 > LAMP.common
LAMP.lit > gnd
VIN > C1 100u > gnd
""",
        roles={"D1": (KIND_NAME, "indicator LED"), "R1": (KIND_NAME, "LED series resistor")},
    ),
    Example(
        text="""pedal On by a transistor
supply VIN 9V wall
part Q1 npn 2N3904
switch GO off on at on
VIN > R1 2k2 > D1 blue > Q1.c
Q1.e > gnd
Q1.b > R2 47k > GO.common
GO.on > VIN
VIN > C1 100u > gnd
""",
        roles={
            "D1": (KIND_NAME, "indicator LED"),
            "R1": (KIND_NAME, "LED series resistor"),
            "Q1": (KIND_NAME, "switching transistor"),
            "R2": (KIND_NAME, "base resistor"),
        },
    ),
)

NEAR_MISSES = (
    Example(
        text="""pedal Lamps that clip
input IN line
output OUT 100k
IN > R1 2k2 > OUT
OUT > D1 red > gnd
gnd > D2 red > OUT
""",
        roles={"D1": ("*", ""), "D2": ("*", "")},
    ),
)
