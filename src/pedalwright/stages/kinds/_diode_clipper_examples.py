"""Circuits that must, and must not, be recognised as this kind: see ``diode_clipper``."""

from pedalwright.stages.stage import Example

KIND_NAME = "diode-clipper"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal Cut
input IN line
output OUT 100k
IN > R1 2k2 > OUT
OUT > D1 1N4148 > gnd
gnd > D2 1N4148 > OUT
OUT > C1 10n > gnd
""",
        roles={
            "R1": (KIND_NAME, "series resistor"),
            "D1": (KIND_NAME, "clipping diode"),
            "D2": (KIND_NAME, "clipping diode"),
            "C1": (KIND_NAME, "smoothing capacitor"),
        },
    ),
    Example(
        text="""pedal Two one way
supply V9 9V wall
input IN line
output OUT 100k
switch MORE off on at off
V9 > R9 10k > gnd
IN > C1 1u > R1 4k7 > OUT
OUT > D1 1N4148 > D2 1N4148 > gnd
gnd > D3 red > OUT
OUT > D4 1N34A > MORE.common
MORE.on > gnd
""",
        roles={
            "C1": ("dc-blocking", "dc-blocking capacitor"),
            "R1": (KIND_NAME, "series resistor"),
            "D1": (KIND_NAME, "clipping diode"),
            "D2": (KIND_NAME, "clipping diode"),
            "D3": (KIND_NAME, "clipping diode"),
            "D4": (KIND_NAME, "clipping diode"),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal A rectifier
input IN line
output OUT 100k
IN > C1 1u > PUMP
gnd > D1 1N4148 > PUMP
PUMP > D2 1N4148 > OUT
OUT > C2 1u > gnd
""",
        roles={"D1": ("*", ""), "D2": ("*", "")},
    ),
)
