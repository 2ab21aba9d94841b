"""Circuits that must, and must not, be recognised as this kind: see ``differential_amplifier``."""

from pedalwright.stages.stage import Example

KIND_NAME = "differential-amplifier"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal What differs
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=VPOS v-=VNEG
IN > R1 1M > gnd
IN > U1a.non
U1a.inv > U1a.out > STRAIGHT
STRAIGHT > R2 10k > BENT > C1 10n > gnd
BENT > U1b.non
U1b.inv > U1b.out > SOFT
SOFT > R3 22k > U1c.inv > R4 47k > U1c.out
STRAIGHT > R5 22k > U1c.non > R6 47k > gnd
U1c.out > OUT
""",
        roles={
            "U1c": (KIND_NAME, "amplifier"),
            "R3": (KIND_NAME, "input resistor"),
            "R4": (KIND_NAME, "feedback resistor"),
            "R5": (KIND_NAME, "input resistor"),
            "R6": (KIND_NAME, "reference resistor"),
        },
    ),
    Example(
        text="""pedal State of three
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=VPOS v-=VNEG
IN > R1 10k > U1a.inv
LP > R2 10k > U1a.inv
U1a.inv > R3 10k > U1a.out
BP > R4 22k > U1a.non > R5 10k > gnd
U1a.out > R6 15k > U1b.inv > C1 10n > U1b.out
U1b.out > BP
U1b.non > gnd
BP > R7 15k > U1c.inv > C2 10n > U1c.out
U1c.out > LP
U1c.non > gnd
BP > C3 1u > OUT
OUT > R8 100k > gnd
""",
        roles={
            "U1a": (KIND_NAME, "amplifier"),
            "R1": (KIND_NAME, "input resistor"),
            "R2": (KIND_NAME, "input resistor"),
            "R4": (KIND_NAME, "input resistor"),
            "R5": (KIND_NAME, "reference resistor"),
            "U1b": ("integrator", "amplifier"),
            "C2": ("integrator", "integrating capacitor"),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal Turned phase
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VPOS v-=VNEG
IN > U1a.non > R1 1M > gnd
U1a.out > U1a.inv
U1a.out > R2 10k > U1b.inv > R3 10k > U1b.out
U1a.out > R4 10k > U1b.non > C1 10n > gnd
U1b.out > OUT
""",
        roles={"U1b": ("*", "amplifier")},
    ),
)
