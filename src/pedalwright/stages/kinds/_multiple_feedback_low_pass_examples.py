"""Circuits that must, and must not, be recognised as this kind: see ``multiple_feedback_low_pass``."""

from pedalwright.stages.stage import Example

KIND_NAME = "multiple-feedback-low-pass"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal Two paths
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 10k > M > R4 10k > U1.inv
M > C3 5n6 > gnd
M > R5 10k > U1.out
U1.inv > C4 560p > U1.out
VB > U1.non
U1.out > C5 1u > OUT
""",
        roles={
            "U1": (KIND_NAME, "amplifier"),
            "R3": (KIND_NAME, "input resistor"),
            "R4": (KIND_NAME, "series resistor"),
            "R5": (KIND_NAME, "feedback resistor"),
            "C3": (KIND_NAME, "shunt capacitor"),
            "C4": (KIND_NAME, "feedback capacitor"),
        },
    ),
    Example(
        text="""pedal Where the repeats come in
supply V5 5V wall
input IN line
output OUT 100k
part U2 echo-chip supply=V5
knob AGAIN 50k linear at 5
IN > C1 1u > R1 22k > MEET > R2 10k > U2.16
MEET > R3 22k > U2.15
MEET > C2 4n7 > gnd
U2.16 > C3 680p > U2.15
U2.2 > C4 47u > gnd
U2.8 > C5 100n > gnd
U2.7 > C6 100n > gnd
U2.9 > C7 100n > U2.10
U2.12 > C8 100n > U2.11
U2.6 > R4 10k > gnd
U2.12 > R5 12k > STEPS > R6 10k > U2.13
STEPS > R7 12k > U2.14
STEPS > C9 4n7 > gnd
U2.13 > C10 1n > U2.14
U2.14 > AGAIN.3
AGAIN.1 > U2.2
AGAIN.2 > C11 1u > R8 22k > MEET
U2.14 > C12 1u > OUT
OUT > R9 100k > gnd
""",
        roles={
            "U2/input-filter": (KIND_NAME, "amplifier"),
            "R1": (KIND_NAME, "input resistor"),
            "C1": (KIND_NAME, "dc-blocking capacitor"),
            "R8": (KIND_NAME, "input resistor"),
            "C11": (KIND_NAME, "dc-blocking capacitor"),
            "R2": (KIND_NAME, "series resistor"),
            "U2/output-filter": (KIND_NAME, "amplifier"),
            "C9": (KIND_NAME, "shunt capacitor"),
            "C10": (KIND_NAME, "feedback capacitor"),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal Not two ways
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 10k > M > R4 10k > U1.inv
M > C3 5n6 > gnd
U1.inv > R5 22k || C4 560p > U1.out
VB > U1.non
U1.out > C5 1u > OUT
OUT > R6 100k > gnd
""",
        roles={"U1": ("*", "amplifier")},
    ),
)
