"""Circuits that must, and must not, be recognised as this kind: see ``delay_time_network``."""

from pedalwright.stages.stage import Example

CHIP = """U1.2 > C2 47u > gnd
U1.7 > C3 100n > gnd
U1.8 > C4 100n > gnd
U1.9 > C5 100n > U1.10
U1.11 > C6 100n > U1.12
IN > C7 1u > R2 22k > U1.16
U1.16 > R3 22k || C8 470p > U1.15
U1.12 > R4 22k > U1.13
U1.13 > R5 22k || C9 1n > U1.14
U1.14 > C10 1u > OUT
"""
KIND_NAME = "delay-time-network"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text=f"""pedal Time by knob
supply V5 5V wall
input IN line
output OUT 100k
part U1 echo-chip supply=V5
knob TIME 50k linear at 5
V5 > C1 47u > gnd
U1.6 > R1 2k2 > TIME.1
TIME.2 > TIME.3 > gnd
{CHIP}""",
        roles={"R1": (KIND_NAME, "stopper resistor"), "TIME": (KIND_NAME, "time knob")},
    ),
    Example(
        text=f"""pedal Time pulled to and fro
supply V5 5V wall
input IN line
output OUT 100k
part U1 echo-chip supply=V5
part Q1 npn 2N3904
knob DEPTH 50k linear at 5
V5 > C1 47u > gnd
U1.6 > R1 3k3 > gnd
V5 > R6 100k > Q1.b
IN > C11 1u > Q1.b
Q1.b > R7 100k > gnd
Q1.c > V5
Q1.e > R8 4k7 > gnd
Q1.e > DEPTH.3
DEPTH.1 > gnd
DEPTH.2 > C12 10u > R9 22k > U1.6
{CHIP}""",
        roles={
            "R1": (KIND_NAME, "time resistor"),
            "R9": (KIND_NAME, "modulation resistor"),
            "C12": (KIND_NAME, "modulation capacitor"),
            "DEPTH": (KIND_NAME, "depth knob"),
        },
    ),
    Example(
        text=f"""pedal Started gently
supply V5 5V wall
input IN line
output OUT 100k
part U1 echo-chip supply=V5
part Q1 npn 2N3904
V5 > C1 47u > gnd
U1.6 > R1 220 > Q1.c
Q1.e > gnd
V5 > R6 100k > Q1.b
Q1.b > C11 10u > gnd
Q1.b > D1 1N4148 > V5
{CHIP}""",
        roles={
            "Q1": (KIND_NAME, "start-up transistor"),
            "R6": (KIND_NAME, "start-up resistor"),
            "C11": (KIND_NAME, "start-up capacitor"),
            "D1": (KIND_NAME, "start-up diode"),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text=f"""pedal A knob elsewhere
supply V5 5V wall
input IN line
output OUT 100k
part U1 echo-chip supply=V5
knob LEVEL 50k linear at 5
V5 > C1 47u > gnd
U1.6 > R1 10k > gnd
U1.14 > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > C12 1u > OUT
{CHIP.replace("U1.14 > C10 1u > OUT", "")}""",
        roles={"LEVEL": ("*", "")},
    ),
)
