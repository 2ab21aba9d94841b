"""Circuits that must, and must not, be recognised as this kind: see ``clipping_amplifier``."""

from pedalwright.stages.stage import Example

KIND_NAME = "clipping-amplifier"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal Diodes round a transistor
supply V9 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N5088
IN > C1 1u > Q1.b
Q1.b > R1 470k > Q1.c
Q1.b > R2 100k > gnd
V9 > R3 10k > Q1.c
Q1.e > R4 150 > gnd
Q1.c > C2 470p > Q1.b
Q1.b > C3 1u > KNEE
KNEE > D1 1N4148 > Q1.c
Q1.c > D2 1N4148 > KNEE
Q1.c > C4 1u > OUT
""",
        roles={
            "Q1": (KIND_NAME, "transistor"),
            "R1": (KIND_NAME, "bias feedback resistor"),
            "R2": ("bias-divider", "lower divider resistor"),
            "R3": (KIND_NAME, "collector resistor"),
            "C2": (KIND_NAME, "feedback capacitor"),
            "C3": (KIND_NAME, "dc-blocking capacitor"),
            "D1": (KIND_NAME, "clipping diode"),
            "D2": (KIND_NAME, "clipping diode"),
        },
    ),
    Example(
        text="""pedal One way at a time
supply V9 9V wall
input IN pickup
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
switch SHAPE even open at open
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1.non > R3 1M > VB
U1.inv > R4 4k7 > C3 47n > gnd
U1.inv > R5 470k > U1.out
U1.inv > D1 1N4148 > U1.out
SHAPE.common > U1.inv
U1.out > D2 1N4148 > D3 1N4148 > SHAPE.even
U1.out > C4 1u > OUT
OUT > R6 100k > gnd
""",
        roles={
            "D1": (KIND_NAME, "clipping diode"),
            "D2": (KIND_NAME, "clipping diode"),
            "D3": (KIND_NAME, "clipping diode"),
        },
    ),
    Example(
        text="""pedal Gates on drains
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
part Q1 n-mosfet 2N7000
part Q2 n-mosfet 2N7000
IN > U1.non > R1 1M > gnd
U1.inv > R2 4k7 > C1 47n > gnd
U1.inv > R3 470k > U1.out
Q1.g > Q1.d > U1.inv
Q1.s > U1.out
Q2.g > Q2.d > U1.out
Q2.s > U1.inv
U1.out > OUT
""",
        roles={
            "U1": (KIND_NAME, "amplifier"),
            "R3": (KIND_NAME, "feedback resistor"),
            "Q1": (KIND_NAME, "clipping diode"),
            "Q2": (KIND_NAME, "clipping diode"),
        },
    ),
    Example(
        text="""pedal Flat tops
supply V9 9V wall
input IN pickup
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
knob DRIVE 470k audio at 6
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1.non > R3 1M > VB
U1.inv > R4 4k7 > C3 47n > gnd
U1.inv > R5 47k > DRIVE.1
DRIVE.2 > DRIVE.3 > U1.out
U1.inv > C4 47p > U1.out
U1.inv > D1 1N4148 > D2 1N4148 > U1.out
U1.out > D3 1N4148 > U1.inv
U1.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
        roles={
            "U1": (KIND_NAME, "amplifier"),
            "R4": (KIND_NAME, "gain-setting resistor"),
            "C3": (KIND_NAME, "bass-corner capacitor"),
            "R5": (KIND_NAME, "feedback resistor"),
            "DRIVE": (KIND_NAME, "gain knob"),
            "C4": (KIND_NAME, "feedback capacitor"),
            "D1": (KIND_NAME, "clipping diode"),
            "D2": (KIND_NAME, "clipping diode"),
            "D3": (KIND_NAME, "clipping diode"),
        },
    ),
    Example(
        text="""pedal Lamps in the loop
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 100n > R3 10k > U1.inv
U1.inv > R4 470k || C3 100p > U1.out
U1.inv > D1 red > R5 470 > U1.out
U1.out > D2 red > U1.inv
VB > U1.non
U1.out > C4 1u > OUT
OUT > R6 100k > gnd
""",
        roles={
            "U1": (KIND_NAME, "amplifier"),
            "R3": (KIND_NAME, "input resistor"),
            "C2": (KIND_NAME, "dc-blocking capacitor"),
            "R4": (KIND_NAME, "feedback resistor"),
            "D1": (KIND_NAME, "clipping diode"),
            "D2": (KIND_NAME, "clipping diode"),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal Diodes behind
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 100n > R3 10k > U1.inv
U1.inv > R4 470k > U1.out
VB > U1.non
U1.out > R5 2k2 > C3 1u > OUT
OUT > D1 1N4148 > gnd
gnd > D2 1N4148 > OUT
""",
        roles={"U1": ("*", "amplifier")},
    ),
)
