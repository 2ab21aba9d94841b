"""Which nets a builder's own reading may be given for: supplies, and what a regulator holds."""

from collections.abc import Mapping
from dataclasses import replace
from math import isfinite

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import net_named, spoken
from pedalwright.circuit.primitives import RegulatedOutput

MOST_V = 60.0


def settable(analysis: Analysis) -> tuple[str, ...]:
    """The nets whose voltage may be set to what was read, in the order of the text."""
    held = [one.output for one in analysis.primitives if isinstance(one, RegulatedOutput)]
    return tuple(dict.fromkeys([*(supply.net for supply in analysis.circuit.supplies), *held]))


def checked(analysis: Analysis, measured: Mapping[str, float]) -> dict[str, float]:
    """The readings by the net's own name; raises ValueError (NetMistake for an unknown net)."""
    known, found = settable(analysis), dict[str, float]()
    for word, volts in measured.items():
        net = net_named(analysis.circuit, word)
        if net not in known:
            names = ", ".join(spoken(one) for one in known) or "none in this circuit"
            raise ValueError(
                f"{spoken(net)} is neither a supply nor held by a regulator, so it follows from the others; "
                f"a measured voltage can be given for: {names}."
            )
        if not (isfinite(volts) and abs(volts) <= MOST_V):
            raise ValueError(f"{spoken(net)} cannot be at {volts:g} V; up to {MOST_V:g} V can be.")
        found[net] = float(volts)
    return found


def at_measured(analysis: Analysis, given: Mapping[str, float]) -> Analysis:
    """The circuit with its supplies where they were measured: a battery then holds what was read on it."""
    circuit = analysis.circuit
    if not any(supply.net in given for supply in circuit.supplies):
        return analysis
    supplies = tuple(
        replace(supply, volts=given[supply.net], source="wall") if supply.net in given else supply
        for supply in circuit.supplies
    )
    return Analysis(replace(circuit, supplies=supplies), analysis.text)
