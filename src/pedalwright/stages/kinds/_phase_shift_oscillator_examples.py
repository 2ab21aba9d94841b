"""Phase-shift oscillators on transistors that must be recognised."""

from pedalwright.stages.stage import Example

KIND_NAME = "phase-shift-oscillator"

SLOW = Example(
    text="""pedal Tide
supply V9 9V wall
output OUT 1M
part Q1 npn 2N5088
part Q2 npn 2N3904
knob SPEED 10k linear at 4
V9 > R1 10k > Q1.c
Q1.c > R2 2M2 > Q1.b
Q1.e > gnd
Q1.c > C1 1u > A > C2 1u > B > C3 1u > Q1.b
A > R3 10k > gnd
B > R4 4k7 > SPEED.3
SPEED.2 > SPEED.1 > gnd
Q1.c > Q2.b
Q2.c > V9
Q2.e > R5 4k7 > gnd
Q2.e > C4 10u > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R1": (KIND_NAME, "collector resistor"),
        "R2": (KIND_NAME, "bias feedback resistor"),
        "C1": (KIND_NAME, "phase-shift capacitor"),
        "C2": (KIND_NAME, "phase-shift capacitor"),
        "C3": (KIND_NAME, "phase-shift capacitor"),
        "R3": (KIND_NAME, "phase-shift resistor"),
        "R4": (KIND_NAME, "phase-shift resistor"),
        "SPEED": (KIND_NAME, "rate knob"),
    },
)


DIVIDED = Example(
    text="""pedal Ebb
supply V9 9V wall
output OUT 1M
part Q1 npn BC549C
V9 > R1 4k7 > Q1.c
V9 > R2 100k > Q1.b > R3 18k > gnd
Q1.e > R4 1k > gnd
Q1.e > C5 1000u > gnd
Q1.c > C1 2u2 > A > C2 2u2 > B > C3 2u2 > Q1.b
A > R5 10k > gnd
B > R6 10k > gnd
Q1.c > C4 10u > OUT
""",
    roles={
        "Q1": (KIND_NAME, "transistor"),
        "R1": (KIND_NAME, "collector resistor"),
        "R4": (KIND_NAME, "emitter resistor"),
        "C5": (KIND_NAME, "emitter bypass capacitor"),
        "R5": (KIND_NAME, "phase-shift resistor"),
        "C2": (KIND_NAME, "phase-shift capacitor"),
    },
)


TWO_SECTIONS = Example(
    text="""pedal No tide
supply V9 9V wall
input IN line
output OUT 1M
part Q1 npn BC549C
V9 > R1 4k7 > Q1.c
V9 > R2 100k > Q1.b > R3 18k > gnd
Q1.e > R4 1k > gnd
IN > C6 1u > Q1.b
Q1.c > C1 100p > A > C2 100p > Q1.b
A > R5 10k > gnd
Q1.c > C4 10u > OUT
""",
    roles={"Q1": ("common-emitter-amplifier", "transistor")},
)
