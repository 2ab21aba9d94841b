"""How far regulators, chips and amplifiers' inputs are from failing over the supply's stated range."""

from dataclasses import dataclass

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.margins import margins, peaks
from pedalwright.analysis.power.ranges import healthy, spread
from pedalwright.analysis.power.records import Spread


@dataclass(frozen=True, slots=True, kw_only=True)
class Headroom:
    """One margin [V], negative where it fails; `rule` and `says` are those of a battery's `Failing`.

    `least` is that at the worst of the low supply with frugal chips and the high one with thirsty chips.
    """

    rule: str
    ref: str
    says: str
    volts: Spread


def headrooms(analysis: Analysis, *, signals: bool = False) -> tuple[Headroom, ...]:
    """Every margin over the supply's range, the tightest first; with `signals` those of amplifiers' outputs
    too, which asks for the recognised stages.

    Empty without a supply or where the circuit is not certified over that range.
    """
    tried = healthy(analysis)
    if tried is None or not tried.ok.all():
        return ()
    found = margins(analysis, tried, peaks(analysis) if signals else ())
    table = [Headroom(rule=one.rule, ref=one.ref, says=one.says, volts=spread(one.values)) for one in found]
    return tuple(sorted(table, key=lambda one: one.volts.least))
