"""Circuits that must, and must not, be recognised as this kind: see ``bias_divider``."""

from pedalwright.stages.stage import Example

DIODE = "reference diode"
KIND_NAME = "bias-divider"
LOWER = "lower divider resistor"
TRIM = "bias trim"
UPPER = "upper divider resistor"

EXAMPLES: tuple[Example, ...] = (
    Example(
        text="""pedal Half way
supply VIN 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VIN v-=gnd
VIN > R1 22k > VB > R2 22k > gnd
VB > C1 47u > gnd
IN > C2 100n > U1.non
U1.non > R3 1M > VB
U1.inv > U1.out
U1.out > C3 1u > OUT
""",
        roles={
            "R1": (KIND_NAME, UPPER),
            "R2": (KIND_NAME, LOWER),
            "C1": ("bias-filter", "bias filter capacitor"),
            "R3": ("bias-feed", "bias feed resistor"),
        },
    ),
    Example(
        text="""pedal For one base
supply VIN 9V wall
input IN line
output OUT 100k
part Q1 npn 2N5088
trim REST 50k linear at 5
VIN > R1 220k > REST.3
REST.2 > Q1.b
REST.1 > R2 47k > gnd
IN > C1 100n > Q1.b
Q1.c > VIN
Q1.e > R3 10k > gnd
Q1.e > C2 1u > OUT
""",
        roles={"R1": (KIND_NAME, UPPER), "R2": (KIND_NAME, LOWER), "REST": (KIND_NAME, TRIM)},
    ),
    Example(
        text="""pedal Held by a lamp
supply VIN 9V wall
input IN line
output OUT 100k
part U1 opamp TL071 v+=VIN v-=gnd
VIN > R1 4k7 > VB > D1 blue > gnd
VB > C1 47u > gnd
IN > C2 100n > U1.non
U1.non > R3 1M > VB
U1.inv > U1.out
U1.out > C3 1u > OUT
""",
        roles={"R1": (KIND_NAME, UPPER), "D1": (KIND_NAME, DIODE)},
    ),
)

NEAR_MISSES: tuple[Example, ...] = (
    Example(
        text="""pedal Both carry signal
input IN line
output OUT 100k
IN > R1 22k > OUT > R2 22k > gnd
""",
        roles={"R1": ("*", ""), "R2": ("*", "")},
    ),
)
