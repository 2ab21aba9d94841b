"""Circuits that must, and must not, be recognised as this kind: see ``summing_mixer``."""

from pedalwright.stages.stage import Example

KIND_NAME = "summing-mixer"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal One capacitor for all
supply V9 9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1a.non > R3 1M > VB
U1a.inv > U1a.out
U1a.out > R4 10k > U1b.inv > R5 10k > U1b.out
U1b.non > VB
U1a.out > R6 10k > SUM
U1b.out > R7 22k > SUM
SUM > C3 2u2 > U1c.inv
U1c.inv > R8 10k || C4 100p > U1c.out
U1c.non > VB
U1c.out > C5 1u > OUT
U1d.non > VB
U1d.inv > U1d.out
""",
        roles={
            "U1c": (KIND_NAME, "amplifier"),
            "R6": (KIND_NAME, "summing resistor"),
            "R7": (KIND_NAME, "summing resistor"),
            "C3": (KIND_NAME, "dc-blocking capacitor"),
            "R8": (KIND_NAME, "feedback resistor"),
            "C4": (KIND_NAME, "feedback capacitor"),
        },
    ),
    Example(
        text="""pedal Two and a half
supply V9 9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=V9 v-=gnd
knob MORE 50k linear at 5
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > U1a.non > R3 1M > VB
U1a.inv > U1a.out > DRY
DRY > R4 10k > SOFT > C3 10n > gnd
U1b.inv > R5 47k > DRY
U1b.inv > C4 1u > R6 22k > SOFT
DRY > C5 100n > MORE.3
MORE.2 > MORE.1 > R7 10k > U1b.inv
U1b.inv > R8 47k || C6 47p > U1b.out
U1b.non > VB
U1b.out > C7 1u > OUT
OUT > R9 100k > gnd
""",
        roles={
            "U1b": (KIND_NAME, "amplifier"),
            "R5": (KIND_NAME, "summing resistor"),
            "R6": (KIND_NAME, "summing resistor"),
            "C4": (KIND_NAME, "dc-blocking capacitor"),
            "R7": (KIND_NAME, "summing resistor"),
            "C5": (KIND_NAME, "dc-blocking capacitor"),
            "MORE": (KIND_NAME, "gain knob"),
            "R8": (KIND_NAME, "feedback resistor"),
            "C6": (KIND_NAME, "feedback capacitor"),
        },
    ),
    Example(
        text="""pedal Meeting upright
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=VPOS v-=VNEG
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out > DRY
DRY > R2 10k > U1b.inv > R3 33k > U1b.out
U1b.non > gnd
DRY > R4 22k > U1c.non
U1b.out > R5 47k > U1c.non
U1c.inv > R6 10k > gnd
U1c.inv > R7 10k > U1c.out
U1c.out > OUT
""",
        roles={
            "U1b": ("inverting-amplifier", "amplifier"),
            "U1c": (KIND_NAME, "amplifier"),
            "R4": (KIND_NAME, "summing resistor"),
            "R5": (KIND_NAME, "summing resistor"),
            "R7": (KIND_NAME, "feedback resistor"),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal One signal on two ways
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VPOS v-=VNEG
knob TREBLE 250k linear at 5
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out
U1a.out > R2 33k > MID > C1 10n > gnd
MID > R3 33k > U1b.non
U1a.out > C2 1n > TREBLE.3
TREBLE.2 > U1b.non
TREBLE.1 > C3 10n > gnd
U1b.inv > R4 47k > U1b.out
U1b.inv > R5 5k6 > gnd
U1b.out > OUT
""",
        roles={"U1b": ("*", "amplifier"), "TREBLE": ("*", "gain knob")},
    ),
    Example(
        text="""pedal Only one
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VPOS v-=VNEG
IN > R1 10k > U1.inv
IN > R2 33k > U1.inv
U1.inv > R3 10k > U1.out
U1.non > gnd
U1.out > OUT
""",
        roles={"U1": ("*", "amplifier")},
    ),
)
