"""A pull-down resistor at the output that takes more level than silence asks for."""

from collections.abc import Iterable

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._costs import output_loss_db
from pedalwright.review.rules.switching._pops import (
    COST_DB,
    LARGEST_OHMS,
    SPOKEN_DB,
    before_the_switch,
    capacitor_on,
    pop_at_the_switch,
    pull_down_on,
)
from pedalwright.review.rules.switching._trials import COLLECTOR, PULLED_IN, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, ohms
from pedalwright.units.preferred import Series, members_between

HEARD_DB = 1.5
"""a loss that is just noticed (common practice, no source)"""


def look(survey: Survey) -> Iterable[Finding]:
    """What the output's pull-down takes, by the impedance measured without it."""
    port = survey.circuit.output
    if port is None or capacitor_on(survey, port.net) is None:
        return
    pull = pull_down_on(survey, port.net)
    if pull is None or not pull.value or pop_at_the_switch(survey) is None:
        return
    loss = _loss_db(survey, port.net, pull.value)
    if loss < HEARD_DB:
        return
    value = _larger(survey, port.net, pull.value)
    changes = (Change(ref=pull.ref, value=value),) if value is not None else ()
    size = f"of {ohms(value)}" if value is not None else "ten times larger"
    yield Finding(
        parts=(pull.ref,),
        nets=(port.net,),
        what=f"{named(survey.bench, pull.ref)} at the output takes {loss:.1f} dB off the signal at 1 kHz.",
        evidence=(
            Evidence(name="loss through the pull-down at 1 kHz", value=loss, unit="dB", high=HEARD_DB),
        ),
        cure=f"{named(survey.bench, pull.ref)} {size} keeps the level and still empties the capacitor.",
        changes=changes,
    )


def _loss_db(survey: Survey, net: str, own_ohms: float, ohms_then: float | None = None) -> float:
    """The loss through a pull-down of `ohms_then` (its own value) in place of `own_ohms`."""
    without = -output_loss_db(survey, -own_ohms)
    if ohms_then is None:
        return without
    return without - _gain_of(survey, own_ohms, ohms_then)


def _gain_of(survey: Survey, own_ohms: float, ohms_then: float) -> float:
    """How much louder it is with another pull-down, in decibels."""
    change = 1 / ohms_then - 1 / own_ohms
    return -output_loss_db(survey, 1 / change)


def _larger(survey: Survey, net: str, own_ohms: float) -> float | None:
    """The smallest larger value that costs next to nothing, if it keeps the click unspoken of."""
    jack = before_the_switch(survey)
    for value in members_between(own_ohms * 1.01, LARGEST_OHMS, Series.E6):
        if _loss_db(survey, net, own_ohms, value) > COST_DB:
            continue
        assert jack is not None
        level = jack.with_resistor(net, value, instead_of=own_ohms).pop().level_db
        return value if level <= SPOKEN_DB else None
    return None


WEAK = COLLECTOR.format(volts="9V")
RULE = Rule(
    code="P04",
    name="pull-down-too-small",
    title="The output's pull-down takes level",
    gravity=Gravity.NOTE,
    why=(
        "The resistor that empties the output capacitor also loads the stage before it. It need only be "
        "small beside the capacitor's leakage, which is megohms, and should be large beside the stage's "
        "output."
    ),
    source="divider with the impedance measured on the full circuit; limits are a house rule",
    look=look,
    speaks=(Trial(text=WEAK + PULLED_IN + "OUT > R9 10k > gnd\n", blames=("R9",)),),
    quiet=(
        Trial(text=WEAK + PULLED_IN + "OUT > R9 100k > gnd\n"),
        Trial(text=pedal(PULLED_IN, "OUT > R9 10k > gnd\n")),
    ),
)
