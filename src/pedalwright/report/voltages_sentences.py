"""Voltages in words: figures, what moves a reading, what it means when it is wrong."""

from collections.abc import Iterable

from pedalwright.analysis.voltages import (
    Compared,
    Comparison,
    Expected,
    KnobMove,
    Place,
    State,
    Suspect,
    VoltageTable,
)
from pedalwright.analysis.voltages.records import METER_SHARE, METER_V
from pedalwright.report.figures import figure

MOST_FITS = 5
WORTH_V = 0.02
"""a meter's own load is told from here on, and from one per cent of the reading"""
PROBE = (
    "The probe",
    (
        "Black probe on ground, red probe on one place at a time, with the pedal switched on and nothing "
        "loud behind it. A probe that slips joins two pins, and that can kill a chip: hold it still, and "
        "touch the solder joint or the leg of a part nearby rather than the chip."
    ),
)


IN_MILLIVOLTS_V = 0.2
"""a band below this is told in millivolts, as a meter in its 2 V range shows it"""


def volts(value: float | None) -> str:
    """A voltage to ten millivolts, as a meter in its 20 V range shows it.

    >>> volts(4.2261), volts(-0.0003), volts(None)
    ('4.23 V', '0.00 V', '-')
    """
    if value is None:
        return "-"
    text = f"{value:.2f}"
    return f"{'0.00' if text == '-0.00' else text} V"


def cells(expected: Expected) -> tuple[str, str, str]:
    """Low, typical and high as a table has them."""
    if expected.state is State.ANYTHING:
        return "-", "any value", "-"
    middle = volts(expected.typical_v)
    if expected.state is State.MOVES:
        middle = (
            "moves"
            if expected.swing_v is None
            else f"{volts(expected.swing_v[0])[:-2]} .. {volts(expected.swing_v[1])}"
        )
    return volts(expected.low_v), middle, volts(expected.high_v)


def purpose(place: Place, expected: Expected) -> str:
    """What a place is, with what its reading goes with."""
    knobs = " and ".join(move.knob for move in expected.knobs)
    return f"{place.says}; goes with {knobs}" if knobs else place.says


def wrong_if(expected: Expected) -> str:
    """What a wrong reading would mean, lowest first; empty when nothing is known."""
    computed = "; ".join(map(_suspect, expected.suspects))
    said = "; ".join(expected.facts)
    return ". ".join(one[:1].upper() + one[1:] for one in (computed, said) if one)


def _suspect(suspect: Suspect) -> str:
    return f"{volts(suspect.volts)}: {_or(suspect.faults)}"


def _or(words: tuple[str, ...]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])}, or {words[-1]}"


def knob_row(name: str, move: KnobMove) -> tuple[str, ...]:
    """Place, knob, its ends, lowest and highest."""
    ends = ", ".join(f"{volts(at)} at {end}" for end, at in zip(move.ends, move.ends_v, strict=True))
    return name, move.knob, ends, f"{volts(move.low_v)} to {volts(move.high_v)}"


def meter_notes(table: VoltageTable) -> Iterable[str]:
    """Where the meter itself changes what it reads."""
    told: set[str] = set()
    for row in table.rows:
        taken, typical = row.expected.meter_v, row.expected.typical_v
        if typical is None or row.place.net in told or abs(taken) < WORTH_V:
            continue
        if abs(taken) >= 0.01 * abs(typical):
            told.add(row.place.net)
            without = volts(typical - taken)
            yield f"{row.place.key} stands at {without}; the meter's resistance makes that {volts(typical)}."


def opening(table: VoltageTable) -> Iterable[str]:
    """The sentences the page begins with."""
    if table.oscillates:
        how_often = f", {figure(table.rate_hz, 'Hz')}," if table.rate_hz else ""
        yield (
            f"This circuit holds an oscillator{how_often} so some places have no steady voltage: the "
            "typical column has the ends of their swing, and a meter wanders between them. Knobs of the "
            "oscillator change the swing; the figures are for the knobs as they stand."
        )
        if table.rate_hz is None:
            yield "How far it swings could not be followed; those places have no figures."


def published(table: VoltageTable) -> Iterable[str]:
    """Where figures do not come from this circuit."""
    sources: dict[str, list[str]] = {}
    for row in table.rows:
        if row.expected.source:
            sources.setdefault(row.expected.source, []).append(row.place.key)
    for source, keys in sources.items():
        yield f"{', '.join(keys)}: {source}."


def verdict_sentence(comparison: Comparison) -> str:
    """All readings in one sentence."""
    count, wrong = len(comparison.readings), len(comparison.wrong)
    if not count:
        return "No reading was understood."
    some = f"{count} reading{'s' if count > 1 else ''}"
    if not wrong:
        return f"{some}, none outside its band."
    names = ", ".join(dict.fromkeys(one.key for one in comparison.wrong))
    return f"{some}, {wrong} outside the band: {names}."


def fitting(one: Compared) -> str:
    """The faults a wrong reading by itself would fit, the first few."""
    return ", ".join(some(one.fits)) or "none: a slip of the probe, or a part that is not as written"


def some(faults: tuple[str, ...]) -> tuple[str, ...]:
    """The first few of many faults, and how many more there are."""
    more = len(faults) - MOST_FITS
    return (*faults[:MOST_FITS], f"and {more} more") if more > 1 else faults


def should_be(expected: Expected) -> str:
    """The band in one cell."""
    if expected.state is State.ANYTHING:
        return "any value"
    if expected.low_v is None or expected.high_v is None:
        return "moves" if expected.state is State.MOVES else "-"
    low, high = expected.knob_range or (expected.low_v, expected.high_v)
    if low > 0.0 and high < IN_MILLIVOLTS_V:
        return f"{1e3 * low:.0f} to {1e3 * high:.0f} mV"
    return f"{low:.2f} to {volts(high)}".replace("-0.00", "0.00")


def meter_error() -> str:
    """How well a meter is taken to read."""
    return (
        "A reading counts as wrong only beyond its band by more than the meter's own error "
        f"({METER_SHARE:.1%} and {METER_V * 1e3:.0f} mV)."
    )
