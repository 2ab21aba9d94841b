"""Circuits that must, and must not, be recognised as this kind: see ``volume_divider``."""

from pedalwright.stages.stage import Example

FIXED = "divider resistor"
KIND_NAME = "volume-divider"
KNOB = "level knob"
TREBLE = "treble-pass capacitor"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal Level
input IN line
output OUT 1M
knob LEVEL 100k audio at 7
IN > C1 1u > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > OUT
LEVEL.3 > C2 330p > LEVEL.2
""",
        roles={
            "C1": ("dc-blocking", "dc-blocking capacitor"),
            "LEVEL": (KIND_NAME, KNOB),
            "C2": (KIND_NAME, TREBLE),
        },
    ),
    Example(
        text="""pedal Fixed share
input IN line
output OUT 1M
IN > R1 22k > OUT > R2 10k > gnd
""",
        roles={"R1": (KIND_NAME, FIXED), "R2": (KIND_NAME, FIXED)},
    ),
    Example(
        text="""pedal Between limits
input IN line
output OUT 1M
knob LEVEL 50k linear at 3
IN > R1 4k7 > LEVEL.3
LEVEL.1 > R2 1k > gnd
LEVEL.2 > OUT
""",
        roles={"LEVEL": (KIND_NAME, KNOB), "R1": (KIND_NAME, FIXED), "R2": (KIND_NAME, FIXED)},
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal Two signals
supply V9 9V wall
input IN line
output OUT 1M
part U1 opamp TL071 v+=V9 v-=gnd
knob BLEND 50k linear at 3
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
U1.non > VB
IN > R3 10k > U1.inv
U1.inv > R4 10k > U1.out
U1.out > BLEND.3
IN > BLEND.1
BLEND.2 > OUT
""",
        roles={"BLEND": ("*", "")},
    ),
)
