"""Circuits that must, and must not, be recognised as this kind: see ``tone_network``."""

from pedalwright.stages.stage import Example

KIND_NAME = "tone-network"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal Softer
input IN line
output OUT 1M
knob TONE 25k linear at 5
IN > R1 2k2 > OUT
OUT > C1 47n > TONE.1
TONE.2 > TONE.3 > gnd
""",
        roles={
            "R1": (KIND_NAME, "tone resistor"),
            "C1": (KIND_NAME, "tone capacitor"),
            "TONE": (KIND_NAME, "tone knob"),
        },
    ),
    Example(
        text="""pedal Softer by the wiper
input IN line
output OUT 1M
knob TONE 25k linear at 5
IN > R1 4k7 > TONE.3
TONE.1 > C1 100n > gnd
TONE.2 > OUT
""",
        roles={
            "R1": (KIND_NAME, "tone resistor"),
            "C1": (KIND_NAME, "tone capacitor"),
            "TONE": (KIND_NAME, "tone knob"),
        },
    ),
    Example(
        text="""pedal Low or high
input IN line
output OUT 1M
knob TONE 100k linear at 4
IN > R1 33k > TONE.1
TONE.1 > C1 10n > gnd
IN > C2 3n9 > TONE.3
TONE.3 > R2 22k > gnd
TONE.2 > OUT
""",
        roles={
            "R1": (KIND_NAME, "tone resistor"),
            "C1": (KIND_NAME, "tone capacitor"),
            "C2": (KIND_NAME, "tone capacitor"),
            "R2": (KIND_NAME, "tone resistor"),
            "TONE": (KIND_NAME, "tone knob"),
        },
    ),
    Example(
        text="""pedal Three of them
input IN line
output OUT 1M
knob TREBLE 220k linear at 3
knob BASS 500k audio at 4
knob MIDDLE 22k linear at 6
IN > C1 330p > TREBLE.3
IN > R1 56k > SLOPE
SLOPE > C2 22n > TREBLE.1
SLOPE > C3 47n > MIDDLE.3
TREBLE.1 > BASS.3
BASS.2 > BASS.1 > MIDDLE.3
MIDDLE.2 > MIDDLE.1 > gnd
TREBLE.2 > OUT
""",
        roles={
            "C1": (KIND_NAME, "tone capacitor"),
            "R1": (KIND_NAME, "tone resistor"),
            "C2": (KIND_NAME, "tone capacitor"),
            "C3": (KIND_NAME, "tone capacitor"),
            "TREBLE": (KIND_NAME, "tone knob"),
            "BASS": (KIND_NAME, "tone knob"),
            "MIDDLE": (KIND_NAME, "tone knob"),
        },
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal Level with treble past it
input IN line
output OUT 1M
knob LEVEL 100k audio at 7
IN > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > OUT
LEVEL.3 > C2 330p > LEVEL.2
""",
        roles={"LEVEL": ("*", ""), "C2": ("*", "")},
    ),
)
