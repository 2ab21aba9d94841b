"""An input capacitor with nothing to empty it while the pedal is switched out."""

from collections.abc import Iterable

from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._costs import input_loss_db
from pedalwright.review.rules.switching._pops import (
    SPOKEN_DB,
    STANDS_V,
    capacitor_on,
    nothing_empties,
    pop_at_the_switch,
    quieting_ohms,
)
from pedalwright.review.rules.switching._trials import PULLED_IN, PULLED_OUT, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms


def look(survey: Survey) -> Iterable[Finding]:
    """The voltage that a leaking capacitor lets stand on the input with no guitar plugged in."""
    pop, port = pop_at_the_switch(survey), survey.circuit.input
    if pop is None or port is None or abs(pop.input_v) < STANDS_V or pop.level_db < SPOKEN_DB:
        return
    capacitor = capacitor_on(survey, port.net)
    if capacitor is None or abs(survey.rest.volts(port.net)) > abs(pop.input_v) / 2:
        return
    if abs(pop.input_v) > sum(abs(supply.volts) for supply in survey.circuit.supplies):
        # A leak into an input that nothing holds: where it rests is told by another rule.
        return
    value = quieting_ohms(survey, port.net, costs=lambda load: input_loss_db(survey, load))
    size = f"{ohms(value)}" if value is not None else "a megohm"
    yield nothing_empties(
        survey,
        port.net,
        capacitor,
        jack="input",
        standing_v=pop.input_v,
        ending="go through the pedal when the guitar arrives",
        size=size,
        pop=pop,
    )


RULE = Rule(
    code="P02",
    name="input-not-pulled-down",
    title="Nothing empties the input capacitor",
    gravity=Gravity.POOR,
    why=(
        "With no resistor to ground on the jack's side of the input capacitor its leakage charges the "
        "open input. The guitar discharges it in an instant when the pedal is switched in, and the pedal "
        "amplifies that step like any other signal."
    ),
    source="charge kept on the linearised network; leakage from memory; classes are a house rule",
    look=look,
    speaks=(Trial(text=pedal(PULLED_OUT), blames=("C1",)),),
    quiet=(
        Trial(text=pedal(PULLED_IN, PULLED_OUT)),
        Trial(text=pedal(PULLED_IN.replace("1M", "2M2"), PULLED_OUT)),
    ),
)
