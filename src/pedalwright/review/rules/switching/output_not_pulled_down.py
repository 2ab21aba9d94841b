"""An output capacitor with nothing to empty it while the pedal is switched out."""

from collections.abc import Iterable

from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._costs import output_loss_db
from pedalwright.review.rules.switching._pops import (
    STANDS_V,
    capacitor_on,
    nothing_empties,
    pop_at_the_switch,
    quieting_ohms,
)
from pedalwright.review.rules.switching._trials import LEAKY, PULLED_IN, PULLED_OUT, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms


def look(survey: Survey) -> Iterable[Finding]:
    """The voltage that a leaking capacitor lets stand on the output with nothing plugged in."""
    pop, port = pop_at_the_switch(survey), survey.circuit.output
    if pop is None or port is None or abs(pop.output_v) < STANDS_V:
        return
    capacitor = capacitor_on(survey, port.net)
    if capacitor is None or abs(survey.rest.volts(port.net)) > abs(pop.output_v) / 2:
        return
    value = quieting_ohms(survey, port.net, costs=lambda load: output_loss_db(survey, load))
    size = f"{ohms(value)}" if value is not None else "some tens of kilohms"
    yield nothing_empties(
        survey,
        port.net,
        capacitor,
        jack="output",
        standing_v=pop.output_v,
        ending="pop when it is switched in",
        size=size,
        pop=pop,
    )


RULE = Rule(
    code="P01",
    name="output-not-pulled-down",
    title="Nothing empties the output capacitor",
    gravity=Gravity.POOR,
    why=(
        "Every capacitor lets a little current through. With no resistor to ground on the jack's side the "
        "voltage behind the capacitor slowly arrives at the open jack, and the next amplifier gets all of "
        "it at once when the foot switch is pressed or a plug goes in."
    ),
    source="charge kept on the linearised network; leakage from memory; classes are a house rule",
    look=look,
    speaks=(
        Trial(text=pedal(PULLED_IN, capacitor=LEAKY), blames=("C9",)),
        Trial(text=pedal(PULLED_IN), blames=("C9",)),
    ),
    quiet=(
        Trial(text=pedal(PULLED_IN, PULLED_OUT, capacitor=LEAKY)),
        Trial(text=pedal(PULLED_IN, PULLED_OUT)),
    ),
)
