"""Direct voltage at the output jack: a thump at every switching, a crackle in the next volume knob."""

from collections.abc import Iterable
from math import pi

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads, listed, volts
from pedalwright.units.preferred import Series, step

MOST_V, LEAKING_V = 0.05, 0.5
"""allowed at the jack; below the second a leaking capacitor and no missing one is likely (house rule)"""
BASS_HZ = 5.0
"""corner of a blocking capacitor with the next input (house rule)"""
NEXT_OHMS = 100e3
"""a usual load to make the capacitor fit for (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The resting voltage of the output jack, when it has one."""
    port = survey.circuit.output
    if port is None:
        return
    rests_v = survey.rest.volts(port.net)
    if abs(rests_v) <= MOST_V:
        return
    leaky = [leaf.ref for leaf in survey.view.on(survey.view.output_net) if leaf.sort == "C"]
    leaks = abs(rests_v) <= LEAKING_V and bool(leaky)
    load = min(port.ohms, NEXT_OHMS)
    value = step(1.0 / (2 * pi * BASS_HZ * load), Series.E3, 1)
    cure = (
        f"Put a resistor of 100 kΩ from {port.net} to ground, or take a film capacitor for {listed(leaky)}."
        if leaks
        else f"Put a capacitor of {farads(value)} or more in front of {port.net}, plus to the higher side, "
        "and 100 kΩ from the jack to ground."
    )
    cause = f"{listed(leaky)} leaks" if leaks else "no capacitor keeps it off"
    yield Finding(
        nets=(port.net,),
        parts=tuple(leaky) if leaks else _way_in(survey),
        spans=(port.span,),
        what=f"{volts(rests_v)} of direct voltage stands at the output jack: {cause}.",
        evidence=(Evidence(name="output jack at rest", value=rests_v, unit="V", low=-MOST_V, high=MOST_V),),
        cure=cure,
        gravity=Gravity.NOTE if leaks else None,
    )


def _way_in(survey: Survey) -> tuple[str, ...]:
    """The resistors along which the voltage comes, from the jack to the first output that has it."""
    view, rest = survey.view, survey.rest
    found: dict[str, None] = {}
    pending, met = [view.output_net], {view.output_net}
    while pending:
        here = pending.pop()
        for leaf in view.on(here):
            far = leaf.other(here)
            if leaf.sort == "C" or far in met or abs(rest.volts(far)) < abs(rest.volts(here)):
                continue
            found[leaf.ref] = None
            met.add(far)
            if not any(amp.out == far for amp in view.amplifiers):
                pending.append(far)
            else:
                found.update(dict.fromkeys(amp.ref for amp in view.amplifiers if amp.out == far))
    return tuple(found)


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > R4 1k > OUT
"""

RULE = Rule(
    code="B07",
    name="dc-at-output",
    title="Direct voltage stands at the output jack",
    gravity=Gravity.POOR,
    why=(
        "Direct voltage at the jack thumps when a cable is plugged or a switch thrown, makes the next "
        "pedal's knobs crackle, and does a loudspeaker no good where nothing else keeps it off."
    ),
    source="common practice, no source; 50 mV is a house rule",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("OUT",)),
        Trial(text=SPEAKING.replace("R4 1k > OUT", "C4 100u (electrolytic, 16V) > OUT"), blames=("C4",)),
    ),
    quiet=(Trial(text=SPEAKING.replace("R4 1k > OUT", "C4 1u (film) > OUT > R4 100k > gnd")),),
)
