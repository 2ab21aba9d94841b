"""The usual cautions, the same in every document."""

SAFETY = (
    (
        "Mains",
        (
            "Feed the pedal from a battery or from a finished, approved adaptor of the voltage, polarity and "
            "current it asks for. Never open, mend or build a mains adaptor on the word of this page."
        ),
    ),
    (
        "Polarised capacitors",
        (
            "An electrolytic or tantalum capacitor put in backwards, or above its rated voltage, can vent or "
            "burst. Check the plus of each before the first switch-on, wear eye protection, and use a supply "
            "with a current limit."
        ),
    ),
    (
        "Heat",
        (
            "A regulator, a transistor or a resistor under fault can burn skin without looking hot. Let it "
            "cool before you touch."
        ),
    ),
    (
        "Hearing",
        (
            "Echoes that run away, and parts that slip, reach full level at once. Keep the amplifier low "
            "while you try a circuit, and do not try it on headphones."
        ),
    ),
    (
        "Solder",
        (
            "Work in moving air, keep your face out of the fumes, wash your hands; older solder and parts "
            "may contain lead."
        ),
    ),
    (
        "Rules",
        (
            "The electrical codes of the place you live in, and people licensed to work under them, come "
            "before anything printed here. Figures are computed from models and are no proof that a product "
            "may be sold."
        ),
    ),
)
"""(what it is about, what to do)"""
