"""Sentences about the supply side."""

from collections.abc import Iterable
from math import isfinite, isinf

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.power.records import (
    AbuseCase,
    BatteryLife,
    Inrush,
    PowerBudget,
    Rail,
    Spread,
    Strain,
)
from pedalwright.report.figures import figure
from pedalwright.stages.wording import listed
from pedalwright.units.value_writing import print_value

ALREADY = {
    "regulator headroom": "without its full headroom",
    "least supply": "below the specified supply",
    "input room": "with an input too near to a supply pin",
    "signal room": "clipping the loudest signal expected",
}
"""how a circuit that lives with it from the start is told of each rule"""
MOST_GIVEN_A = 3.0
"""small adaptors and 9 V batteries give no more (common practice, no source)"""
UNKNOWN = "could not be solved: nothing is said"


def current(amps: float) -> str:
    """A current to two or three figures; what is below a microampere is nothing.

    >>> current(0.02332), current(3e-8)
    ('23.3 mA', '0 A')
    """
    return "0 A" if abs(amps) < 1e-6 else figure(amps, "A")


def seconds(value: float | None) -> str:
    """A settling time for reading.

    >>> seconds(2.392), seconds(0.0), seconds(None)
    ('2.4 s', 'at once', 'not known')
    """
    if value is None:
        return "not known"
    if isinf(value):
        return "never"
    return "at once" if value < 1e-3 else print_value(value, "s", figures=2)


def hours(value: float) -> str:
    """Battery life for reading: to the half hour, the hour, ten hours or a hundred, as long lives are not
    known better.

    >>> hours(16.8), hours(3.24), hours(374.0), hours(1147.0)
    ('17 h', '3 h', '370 h', 'over 1000 h')
    """
    if value >= 1000.0:
        return "over 1000 h"
    if value < 1.0:
        return f"{60 * value:.0f} min"
    return f"{value:.0f} h" if value < 100.0 else f"{round(value, -1):.0f} h"


def glance(budget: PowerBudget) -> Iterable[str]:
    """What is drawn, and what to write beside the socket."""
    for net, amps in budget.supply_a:
        low, high = next((low, high) for name, low, high in budget.range_v if name == net)
        yield (
            f"{spoken(net)} draws {current(amps.typical)} typical; between {current(amps.least)} and "
            f"{current(amps.most)} over {abs(low):.3g} to {abs(high):.3g} V and the spread of chips."
        )
    if budget.adaptor is not None:
        alone = f" of {spoken(budget.adaptor.net)}" if len(budget.supply_a) > 1 else ""
        yield f"Label{alone}: {budget.adaptor.label}."


def label_notes(budget: PowerBudget) -> Iterable[str]:
    """Where the label's words come from, and what the spread is."""
    adaptor = budget.adaptor
    if adaptor is None:
        return
    if adaptor.margin is not None:
        yield (
            "An adaptor should give 1.5 times the most that is drawn (common practice). The label names the "
            f"smallest usual size that does: {adaptor.margin:.2g} times the most drawn."
        )
    else:
        yield (
            "An adaptor should give 1.5 times the most that is drawn (common practice); no usual small one "
            "does."
        )
    polarity = "as the text says" if adaptor.polarity_stated else "common practice among pedals"
    yield f"{adaptor.polarity.capitalize()}: {polarity}."
    if not budget.range_stated:
        yield (
            "The text states no range for the supply. An adaptor is taken to keep within 5 %, a battery of "
            "9 V to go from 9.6 to 7.2 V (common practice, from memory)."
        )
    yield (
        "Frugal chips draw half their typical current, thirsty ones their sheet's maximum, or 1.5 times "
        "typical where no sheet states one (house choice)."
    )


def made_from(rail: Rail) -> str:
    """What brings a rail its current."""
    if not rail.feeds:
        return "the supply"
    origins = " and ".join(spoken(net) for net in rail.from_nets)
    return f"{origins} by {' and '.join(rail.feeds)}" if origins else " and ".join(rail.feeds)


def three(spread: Spread, unit: str) -> tuple[str, str, str]:
    """Least, typical, most."""
    said = current if unit == "A" else (lambda value: figure(value, unit))
    return said(spread.least), said(spread.typical), said(spread.most)


def strain_says(strain: Strain) -> str:
    """One strain in a row: ``C2 (47 µF capacitor): rated voltage 17.4 V of 16 V``, its factor, its source."""
    seen, stood = (print_value(value, strain.unit) for value in (strain.value, strain.limit))
    reached = "" if strain.at_v is None else f", reached at about {abs(strain.at_v):.3g} V"
    blows = "; it blows, as it should" if strain.blows else ""
    return (
        f"{strain.ref} ({strain.says}): {strain.rating} {seen} of {stood}, {strain.factor:.3g} times"
        f"{reached}{blows} (limit: {strain.source})"
    )


def given(amps: float | None) -> str:
    """What the supply gives in a case; more than any small one can is not told to the digit.

    >>> given(0.0804), given(235.0), given(None)
    ('80.4 mA', 'over 3 A', '-')
    """
    if amps is None:
        return "-"
    return f"over {MOST_GIVEN_A:g} A" if amps > MOST_GIVEN_A else current(amps)


def verdict(case: AbuseCase) -> str:
    """What becomes of the pedal, in a few words; the part that reaches its limit first is named first."""
    if case.survives is None:
        return UNKNOWN
    if case.survives:
        hums = "; works poorly and hums" if case.name.endswith("AC") else ""
        return f"survives{'; the fuse blows' if case.strains else ''}{hums}"
    broken = dict.fromkeys(strain.ref for strain in case.strains if not strain.blows)
    return f"too much for {listed(list(broken))}"


def life(found: BatteryLife) -> Iterable[str]:
    """What ends a battery's life in this pedal."""
    if not found.stated:
        yield "The text names an adaptor; this is for a 9 V battery in its place."
    yield f"At 9 V it draws {current(found.amps)}."
    if found.first is None:
        yield "Nothing fails before the battery itself is empty."
    else:
        yield f"What fails first, at {found.first.at_v:.2f} V: {found.first.says}."
    already = [
        f"{listed([one.ref for one in found.already if one.rule == rule])} {words}"
        for rule, words in ALREADY.items()
        if any(one.rule == rule for one in found.already)
    ]
    if already:
        yield f"At the full 9 V already, and so not counted: {'; '.join(already)}."


def gulp(found: Inrush) -> Iterable[str]:
    """What the supply gives in the first instant."""
    if not found.certified or not isfinite(found.peak_a):
        yield "The instant of switch-on could not be solved: no inrush is told."
        return
    yield (
        f"In the first instant up to {figure(found.peak_a, 'A')} flow into the empty capacitors. Those of "
        f"the rails hold {1e3 * found.charge_c:.2g} mC when full. (Assumed: {found.series_ohms:g} Ω of "
        "supply and lead, and the usual series resistance of each capacitor.)"
    )
    for ref, rating, source in found.through:
        word = "stands" if rating >= found.peak_a else "is made for only"
        yield f"{ref} {word} a surge of {rating:g} A ({source})."
