"""An input capacitor with nothing to empty it while the pedal is switched out."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.switching._costs import input_loss_db
from pedalwright.review.rules.switching._pops import (
    SPOKEN_DB,
    STANDS_V,
    capacitor_on,
    leaking,
    pop_at_the_switch,
    quieting_ohms,
    told_level,
)
from pedalwright.review.rules.switching._trials import PULLED_IN, PULLED_OUT, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, ohms, volts


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
    yield Finding(
        parts=(capacitor.ref,),
        nets=(port.net,),
        what=(
            f"Nothing empties {named(survey.bench, capacitor.ref)} while the pedal is switched out: "
            f"{volts(abs(pop.input_v))} stand on the input and go through the pedal when the guitar arrives."
        ),
        evidence=(
            Evidence(
                name="voltage on the open input",
                value=pop.input_v,
                unit="V",
                high=STANDS_V,
                basis=leaking(capacitor),
            ),
            told_level(pop),
        ),
        cure=f"Put {size} from {port.net} to ground.",
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
