"""Spreads of semiconductor types that their cards do not hold: a card is one typical part.

Ranges of sheets are from memory unless said otherwise; where a type has none here, a house figure stands in.
"""

from math import sqrt

GAIN_RANGE = {
    "2N3904": (100.0, 300.0),
    "2N3906": (100.0, 300.0),
    "2N2222": (100.0, 300.0),
    "2N5088": (300.0, 900.0),
    "2N5087": (250.0, 800.0),
    "BC547": (200.0, 450.0),
    "BC547B": (200.0, 450.0),
    "BC557": (200.0, 450.0),
    "BC557B": (200.0, 450.0),
    "BC547C": (420.0, 800.0),
    "BC549": (420.0, 800.0),
    "BC549C": (420.0, 800.0),
    "2N1304": (40.0, 200.0),
    "2N1305": (40.0, 200.0),
}
"""smallest and largest current gain of a type, as its sheet sorts it (from memory)"""

GAIN_FACTOR = {name: sqrt(high / low) for name, (low, high) in GAIN_RANGE.items()}
"""either side of the card's gain, which stands near the geometric middle of the range"""

GAIN_SPREAD = 2.0
"""either way for a type without a range here (house figure)"""

FORWARD_FACTOR = {"": 2.0, "led": 7.0, "optocoupler": 7.0}
"""Either way, of a junction's saturation current: 18 mV of a silicon junction for a factor of two, which is
also 9 kelvin; 0.1 V of a light-emitting diode for a factor of seven. House figures.
"""

JFET_BOX = {
    "2N5457": ((1 / 3, 0.5 / 3.06), (5 / 3, 6 / 3.06)),
    "2N5458": ((2 / 6, 1 / 4.3), (9 / 6, 7 / 4.3)),
    "2N5459": ((4 / 9, 2 / 5.7), (16 / 9, 8 / 5.7)),
    "2N5484": ((1 / 2.5, 0.3 / 1.3), (5 / 2.5, 3 / 1.3)),
    "2N5485": ((4 / 6, 0.5 / 2), (10 / 6, 4 / 2)),
    "2N5486": ((8 / 13, 2 / 3.5), (20 / 13, 6 / 3.5)),
    "MPF102": ((2 / 6, 0.5 / 3), (20 / 6, 8 / 3)),
    "J201": ((0.2 / 0.6, 0.3 / 0.8), (1 / 0.6, 1.5 / 0.8)),
    "J113": ((2 / 12, 0.5 / 1.5), (2.0, 3 / 1.5)),
    "J112": ((5 / 25, 1 / 2.5), (2.0, 5 / 2.5)),
    "J111": ((20 / 60, 3 / 6), (2.0, 10 / 6)),
}
"""(smallest, largest) of a type, each as factors of the card's current at zero gate voltage and of its
pinch-off voltage; the sheet's limits, from memory. Both rise together.
"""

JFET_FACTOR = ((0.4, 0.5), (2.0, 1.6))
"""for a type without limits here (house figure)"""

OFFSET_V = {
    "TL071": 10e-3, "TL072": 10e-3, "TL074": 10e-3,
    "TL081": 15e-3, "TL082": 15e-3, "TL084": 15e-3,
    "NE5532": 4e-3, "NE5534": 4e-3,
    "LM358": 7e-3, "LM324": 7e-3,
    "MCP6001": 4.5e-3, "MCP6002": 4.5e-3, "MCP6004": 4.5e-3,
    "RC4558": 6e-3, "4558": 6e-3, "RC4580": 3e-3, "4580": 3e-3, "LM741": 6e-3,
    "TLC272": 10e-3, "TLC274": 10e-3, "TLC2272": 2.5e-3, "TLC2274": 2.5e-3,
    "OPA134": 2e-3, "OPA2134": 2e-3, "OPA4134": 2e-3,
}  # fmt: skip
"""largest input offset voltage of a type (its sheet, from memory)"""

OTHER_OFFSET_V = 10e-3
"""of any other amplifier, those inside the echo chip among them (house figure)"""

BIAS_FACTOR = 3.0
"""either way, of an input's bias current (house figure)"""
