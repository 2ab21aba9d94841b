"""The echo chip's rows: what is known of a healthy chip beyond the circuit it is in."""

from collections.abc import Mapping
from dataclasses import replace

from pedalwright.analysis.voltages.chip_facts import (
    CLOCK,
    CLOCK_SHARES,
    DIGITAL_GROUND,
    FACTS,
    GROUND_V,
    PROPOSED,
    STORES,
    SUPPLY,
)
from pedalwright.analysis.voltages.records import Expected, State
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part


def of_chip_pin(chip: Part, pin: str, expected: Expected, nets: Mapping[str, Expected]) -> Expected:
    """What one pin should read, with what its being wrong means for this chip."""
    facts = FACTS.get(pin, ())
    if pin == CLOCK:
        return _clock(nets.get(chip.net(SUPPLY)), expected, facts)
    if pin == DIGITAL_GROUND and chip.net(pin) == GROUND:
        return replace(expected, low_v=-GROUND_V, high_v=GROUND_V, facts=facts)
    source = PROPOSED if pin in STORES else expected.source
    return replace(expected, facts=facts or expected.facts, source=source)


def _clock(supply: Expected | None, expected: Expected, facts: tuple[str, ...]) -> Expected:
    """Pin 5 from the supply alone: the model has none for a pin that is left open, as it should be."""
    if supply is None or supply.low_v is None or supply.typical_v is None or supply.high_v is None:
        return replace(expected, facts=facts)
    low, typical, high = CLOCK_SHARES
    return Expected(
        state=State.STEADY,
        low_v=low * supply.low_v,
        typical_v=typical * supply.typical_v,
        high_v=high * supply.high_v,
        deviation_v=(high * supply.high_v - low * supply.low_v) / 6,
        facts=facts,
        source=PROPOSED,
    )
