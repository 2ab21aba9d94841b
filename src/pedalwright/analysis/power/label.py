"""What to write beside the supply jack: volts, polarity, current."""

import re

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.records import Adaptor
from pedalwright.circuit.ports import Supply
from pedalwright.units.values import print_value

ROOM = 1.5
"""an adaptor should give this many times what the circuit draws at most (common practice, no source)"""
SIZES_A = (0.1, 0.2, 0.3, 0.5, 1.0, 1.5, 2.0, 3.0)
"""currents small adaptors are sold with (common practice, no source)"""
USUAL = "centre negative"
"""the sleeve of the plug is the plus (common practice among pedals, no source)"""
_STATED = re.compile(r"(?:centre|center|tip)[\s-]+(positive|negative|plus|minus)", re.IGNORECASE)


def adaptor_for(analysis: Analysis, supply: Supply, most_a: float) -> Adaptor:
    """The label for one supply that is asked for `most_a` at most."""
    polarity = stated_polarity(analysis.text)
    needed = ROOM * most_a
    standard = next((size for size in SIZES_A if size >= needed), None)
    asked = print_value(standard if standard is not None else needed, "A")
    words = f"{abs(supply.volts):g} V DC, {polarity or USUAL}, at least {asked}"
    return Adaptor(
        net=supply.net,
        volts=abs(supply.volts),
        most_a=most_a,
        needed_a=needed,
        standard_a=standard,
        margin=standard / most_a if standard is not None and most_a > 0 else None,
        polarity=polarity or USUAL,
        polarity_stated=bool(polarity),
        label=words,
    )


def stated_polarity(text: str) -> str:
    """The polarity of the plug as a circuit's text says it, or an empty string.

    >>> stated_polarity("# Use a 9 V adaptor, centre negative."), stated_polarity("# 9 V, Center-Positive!")
    ('centre negative', 'centre positive')
    """
    found = _STATED.search(text)
    if found is None:
        return ""
    return "centre positive" if found.group(1).lower() in ("positive", "plus") else "centre negative"
