"""Circuits that must, and must not, be recognised as this kind: see ``feedback_loop_tone_filter``."""

from pedalwright.stages.stage import Example

KIND_NAME = "feedback-loop-tone-filter"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal Low and high
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 dual-opamp TL072 v+=VPOS v-=VNEG
knob LOW 100k linear at 6
knob HIGH 100k linear at 3
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out > R2 10k > LOW.3
LOW.1 > R3 10k > U1b.out
LOW.3 > C1 33n > LOW.1
LOW.2 > R4 10k > U1b.inv
U1a.out > C2 3n3 > HIGH.3
HIGH.1 > C3 3n3 > U1b.out
HIGH.2 > R5 3k3 > U1b.inv
U1b.non > gnd
U1b.out > OUT
""",
        roles={
            "U1b": (KIND_NAME, "amplifier"),
            "LOW": (KIND_NAME, "tone knob"),
            "HIGH": (KIND_NAME, "tone knob"),
            "R2": (KIND_NAME, "tone resistor"),
            "R4": (KIND_NAME, "tone resistor"),
            "C1": (KIND_NAME, "tone capacitor"),
            "C3": (KIND_NAME, "tone capacitor"),
            "R5": (KIND_NAME, "tone resistor"),
        },
    ),
    Example(
        text="""pedal Lifted middle
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 22k > U1.inv
U1.inv > R4 22k > T > R5 22k > U1.out
T > R6 4k7 > C3 22n > gnd
U1.inv > C4 470p > U1.out
VB > U1.non
U1.out > C5 1u > OUT
OUT > R7 100k > gnd
""",
        roles={
            "U1": (KIND_NAME, "amplifier"),
            "R3": (KIND_NAME, "input resistor"),
            "C2": (KIND_NAME, "dc-blocking capacitor"),
            "R4": (KIND_NAME, "tone resistor"),
            "R5": (KIND_NAME, "tone resistor"),
            "R6": (KIND_NAME, "tone resistor"),
            "C3": (KIND_NAME, "tone capacitor"),
            "C4": (KIND_NAME, "feedback capacitor"),
        },
    ),
    Example(
        text="""pedal One voice
supply VPOS 9V wall
supply VNEG -9V wall
input IN line
output OUT 100k
part U1 quad-opamp TL074 v+=VPOS v-=VNEG
knob VOICE 100k linear at 7
IN > U1a.non > R1 1M > gnd
U1a.inv > U1a.out > R2 10k > U1b.non
U1b.inv > R3 10k || C4 47p > U1b.out
U1b.non > VOICE.1
U1b.inv > VOICE.3
VOICE.2 > C1 100n > COIL
COIL > C2 4n7 > U1c.non > R4 220k > gnd
COIL > R5 470 > U1c.out
U1c.inv > U1c.out
U1b.out > OUT
""",
        roles={
            "U1b": (KIND_NAME, "amplifier"),
            "VOICE": (KIND_NAME, "tone knob"),
            "R2": (KIND_NAME, "input resistor"),
            "R3": (KIND_NAME, "feedback resistor"),
            "C1": (KIND_NAME, "tone capacitor"),
            "U1c": ("gyrator", "amplifier"),
            "R5": ("gyrator", "series resistor"),
        },
    ),
    Example(
        text="""pedal Bright or dull
supply V9 9V wall
input IN pickup
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
knob SHINE 20k linear at 5
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 22n > SIGNAL > R3 1M > VB
SIGNAL > R4 4k7 > U1.non
U1.inv > R5 4k7 > U1.out
U1.non > SHINE.1
U1.inv > SHINE.3
SHINE.2 > R6 1k > C3 100n > gnd
U1.out > C4 1u > OUT
OUT > R7 100k > gnd
""",
        roles={
            "U1": (KIND_NAME, "amplifier"),
            "SHINE": (KIND_NAME, "tone knob"),
            "R5": (KIND_NAME, "feedback resistor"),
            "R4": (KIND_NAME, "input resistor"),
            "R6": (KIND_NAME, "tone resistor"),
            "C3": (KIND_NAME, "tone capacitor"),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal More or less
supply V9 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=V9 v-=gnd
knob GAIN 100k linear at 5
V9 > R1 10k > VB > R2 10k > gnd
VB > C1 47u > gnd
IN > C2 1u > R3 10k > GAIN.1
GAIN.2 > U1.inv
GAIN.3 > R4 10k > U1.out
VB > U1.non
U1.out > C4 1u > OUT
OUT > R7 100k > gnd
""",
        roles={"U1": ("inverting-amplifier", "amplifier"), "GAIN": ("inverting-amplifier", "gain knob")},
    ),
)
