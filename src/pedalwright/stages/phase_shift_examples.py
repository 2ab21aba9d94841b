"""Phase-shift oscillators on amplifiers that must be recognised."""

from pedalwright.stages.stage import Example

KIND_NAME = "phase-shift-oscillator"

LADDER_EXAMPLE = Example(
    text="""pedal Three steps round
supply VPOS 9V wall
supply VNEG -9V wall
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
U1.out > C1 100n > A > C2 100n > B > C3 100n > R3 10k > U1.inv
A > R1 10k > gnd
B > R2 10k > gnd
U1.inv > R4 330k > U1.out
U1.non > gnd
U1.out > OUT
""",
    roles={
        "U1": (KIND_NAME, "amplifier"),
        "C1": (KIND_NAME, "phase-shift capacitor"),
        "C3": (KIND_NAME, "phase-shift capacitor"),
        "R1": (KIND_NAME, "phase-shift resistor"),
        "R3": (KIND_NAME, "phase-shift resistor"),
        "R4": (KIND_NAME, "feedback resistor"),
    },
)


WIEN_EXAMPLE = Example(
    text="""pedal A third comes back
supply V9 9V wall
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
trim START 10k linear at 6
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
U1.out > R3 10k > C2 100n > U1.non
U1.non > R4 10k || C3 100n > VB
U1.inv > R5 10k > VB
U1.inv > R6 15k > START.1
START.2 > START.3 > U1.out
U1.out > C4 1u > OUT
OUT > R7 100k > gnd
""",
    roles={
        "U1": (KIND_NAME, "amplifier"),
        "R3": (KIND_NAME, "phase-shift resistor"),
        "C2": (KIND_NAME, "phase-shift capacitor"),
        "R4": (KIND_NAME, "phase-shift resistor"),
        "C3": (KIND_NAME, "phase-shift capacitor"),
        "R5": (KIND_NAME, "feedback resistor"),
        "R6": (KIND_NAME, "feedback resistor"),
        "START": (KIND_NAME, "gain knob"),
    },
)


EXAMPLES = (LADDER_EXAMPLE, WIEN_EXAMPLE)
