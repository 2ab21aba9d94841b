"""Circuits that must, and must not, be recognised as this kind: see ``all_pass``."""

from pedalwright.stages.stage import Example

KIND_NAME = "all-pass"
VOLTAGE_CONTROLLED = "voltage-controlled resistor"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal Turn by turn
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=VPOS v-=VNEG
part U2 optocoupler led+=LAMP led-=gnd ohms=15k
VPOS > R9 2k2 > LAMP
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out
U1a.out > R2 10k > U1b.inv > R3 10k > U1b.out
U1a.out > R4 10k > U1b.non > C1 22n > gnd
U1b.out > R5 10k > U1c.inv > R6 10k > U1c.out
U1b.out > C2 47n > U1c.non > R7 22k > gnd
U1c.out > R10 10k > U1d.inv > R11 10k > U1d.out
U1c.out > C3 47n > U1d.non
U1d.non > U2.r1
U2.r2 > R12 1k > gnd
U1d.out > OUT
""",
        roles={
            "U1b": (KIND_NAME, "amplifier"),
            "R2": (KIND_NAME, "input resistor"),
            "R3": (KIND_NAME, "feedback resistor"),
            "R4": (KIND_NAME, "phase resistor"),
            "C1": (KIND_NAME, "phase capacitor"),
            "U1c": (KIND_NAME, "amplifier"),
            "C2": (KIND_NAME, "phase capacitor"),
            "R7": (KIND_NAME, "phase resistor"),
            "U1d": (KIND_NAME, "amplifier"),
            "U2": (KIND_NAME, VOLTAGE_CONTROLLED),
            "R12": (KIND_NAME, "phase resistor"),
        },
    ),
    Example(
        text="""pedal Turned by a gate
supply V9 9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
part Q1 n-jfet 2N5457 d=PHASE s=VB g=GATE
trim SET 100k linear at 8
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
VB > SET.3
SET.1 > gnd
SET.2 > R3 470k > GATE > C2 1u > gnd
IN > C3 22n > U1a.non > R4 1M > VB
U1a.inv > U1a.out > R5 10k > U1b.inv > R6 10k > U1b.out
U1a.out > C4 47n > PHASE > R7 22k > VB
PHASE > U1b.non
U1b.out > C5 1u > OUT
OUT > R8 100k > gnd
""",
        roles={
            "U1b": (KIND_NAME, "amplifier"),
            "C4": (KIND_NAME, "phase capacitor"),
            "R7": (KIND_NAME, "phase resistor"),
            "Q1": (KIND_NAME, VOLTAGE_CONTROLLED),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal Two sources
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=VPOS v-=VNEG
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out > R8 10k > SOFT > C2 10n > gnd
SOFT > U1b.non
U1b.inv > U1b.out
U1b.out > R2 10k > U1c.inv > R3 10k > U1c.out
U1a.out > R4 10k > U1c.non > R5 10k > gnd
U1c.out > OUT
""",
        roles={"U1c": ("differential-amplifier", "amplifier")},
    ),
)
