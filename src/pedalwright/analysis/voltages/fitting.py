"""Which single faults would give what somebody read: one reading by itself, or all of them together."""

from collections.abc import Sequence

from pedalwright.analysis.voltages.records import Expected, VoltageTable

ALIKE_V, ALIKE_SHARE = 0.15, 0.05
"""A fault fits a reading when its own differs by less."""


def fits(table: VoltageTable, net: str, ends: tuple[float, ...]) -> tuple[str, ...]:
    """The single faults that would give about this reading [V], one end or both of a range: those of parts on
    the spot first, then the nearest.
    """
    known = table.faults
    if known is None or net not in known.nets:
        return ()
    column = known.volts[:, known.nets.index(net)]
    near = _near(table, net)
    found = []
    for place, volts in enumerate(column):
        apart = min(abs(float(volts) - end) for end in ends)
        if apart <= ALIKE_V + ALIKE_SHARE * max(map(abs, ends)):
            found.append((known.parts[place] not in near, round(apart, 2), place))
    return tuple(known.faults[place] for _, _, place in sorted(found))


def agreeing(table: VoltageTable, readings: Sequence[tuple[str, float, Expected]]) -> tuple[str, ...]:
    """The single faults that would give all of these readings: (net, volts, what it should be healthy).

    The spread of a faulty circuit is taken as that of the healthy one, and at least what `fits` allows.
    """
    known = table.faults
    if known is None:
        return ()
    seen = [
        (known.nets.index(net), volts, expected) for net, volts, expected in readings if net in known.nets
    ]
    found = []
    for place, words in enumerate(known.faults):
        off = [_apart(float(known.volts[place, column]), volts, expected) for column, volts, expected in seen]
        if all(one <= 1.0 for one in off):
            found.append((round(sum(one * one for one in off), 3), place, words))
    return tuple(words for _, _, words in sorted(found))


def _apart(faulty: float, volts: float, expected: Expected) -> float:
    """How far a reading is from what a fault gives, against what the two may differ by; nan for a fault that
    could not be solved.
    """
    allowed = ALIKE_V + ALIKE_SHARE * abs(volts)
    if expected.low_v is not None and expected.high_v is not None and expected.typical_v is not None:
        low, high = expected.knob_range or (expected.low_v, expected.high_v)
        below, above = expected.typical_v - low, high - expected.typical_v
        allowed += above if volts > faulty else below
    return abs(volts - faulty) / allowed


def _near(table: VoltageTable, net: str) -> frozenset[str]:
    return frozenset(pin.part.ref for pin in table.circuit.pins_on.get(net, ()))
