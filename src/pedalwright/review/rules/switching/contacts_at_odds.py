"""A switch between points that rest at different voltages."""

from collections.abc import Iterable

from pedalwright.analysis.switching.weighting import FAINT_DB
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._pops import LOUD_DB, told_level
from pedalwright.review.rules.switching._throws import Throw, contact_nets, settled, stranded, throws
from pedalwright.review.rules.switching._trials import PULLED_IN, PULLED_OUT, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts
from pedalwright.units.values import print_value

APART_V = 0.01
"""contacts nearer to each other than this make no click worth telling (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The click of every switch of the circuit, where its contacts rest at different voltages."""
    for throw in _loudest(throws(survey)):
        if throw.pop.level_db <= FAINT_DB or stranded(survey, throw) is not None:
            continue
        apart, nets = _apart(survey, throw)
        if abs(apart) < APART_V:
            continue
        pop = throw.pop
        yield Finding(
            parts=(throw.switch.ref,),
            nets=nets,
            what=(
                f"The contacts of {throw.switch.ref} rest {volts(abs(apart))} apart: throwing it to "
                f"{throw.position} or back makes the output jump by {print_value(pop.peak_v, 'V')}."
            ),
            evidence=(
                Evidence(name="voltage between the open contacts", value=apart, unit="V", high=APART_V),
                told_level(pop),
            ),
            cure=(
                "Let a resistor of about a megohm from the open contact bring it to where the other one "
                "rests, or put the switch behind a coupling capacitor."
            ),
            gravity=Gravity.POOR if pop.level_db > LOUD_DB else None,
        )


def _loudest(found: Iterable[Throw]) -> tuple[Throw, ...]:
    """The loudest throw of each switch."""
    best: dict[str, Throw] = {}
    for one in found:
        known = best.get(one.switch.ref)
        if known is None or one.pop.weighted_v > known.pop.weighted_v:
            best[one.switch.ref] = one
    return tuple(best.values())


def _apart(survey: Survey, throw: Throw) -> tuple[float, tuple[str, ...]]:
    """The largest voltage between a common contact and an open one, leaks counted, and the two nets."""
    known = settled(survey)
    state = known.network.rest()
    rows = survey.analysis.system.rows
    pairs = [pair for pair in contact_nets(throw.switch) if rows.keys() >= set(pair)]
    if not pairs:
        return 0.0, ()
    drops = {(a, b): known.volts(state, a) - known.volts(state, b) for a, b in pairs}
    widest = max(drops, key=lambda pair: abs(drops[pair]))
    return drops[widest], widest


ODD = """
switch TONE thin fat at thin
OUT > TONE.common
TONE.fat > C5 100n (film) > gnd
TONE.fat > R6 1M > {net}
"""
RULE = Rule(
    code="P06",
    name="contacts-at-odds",
    title="A switch joins points at different voltages",
    gravity=Gravity.NOTE,
    why=(
        "A switch that joins two points resting at different voltages makes a step, and a step is a click. "
        "Contacts at the same voltage switch in silence."
    ),
    source="charge kept on the linearised network; classes are a house rule",
    look=look,
    speaks=(Trial(text=pedal(PULLED_IN, PULLED_OUT, ODD.format(net="VB")), blames=("TONE",)),),
    quiet=(Trial(text=pedal(PULLED_IN, PULLED_OUT, ODD.format(net="gnd"))),),
)
