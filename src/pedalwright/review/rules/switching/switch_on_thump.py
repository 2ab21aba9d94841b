"""The thump at the output when the supply comes on."""

from collections.abc import Iterable

from pedalwright.analysis.switching.pop import switch_on_thump
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import has_signal_diodes
from pedalwright.review.rules.switching._pops import capacitor_on, told
from pedalwright.review.rules.switching._trials import COLLECTOR, PULLED_IN, PULLED_OUT, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

LOUD_V = 5.0
"""more than any pedal puts out while playing on 9 V (Ohm's law: half of 9 V at most)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The output through the A curve while every capacitor charges, parts working as they do at rest."""
    port = survey.circuit.output
    if port is None or survey.circuit.input is None or not survey.circuit.supplies:
        return
    if has_signal_diodes(survey):
        return
    pop = told(lambda: switch_on_thump(survey.analysis))
    if pop.weighted_v <= LOUD_V:
        return
    capacitor = capacitor_on(survey, port.net)
    yield Finding(
        parts=(capacitor.ref,) if capacitor else (),
        nets=(port.net,),
        what=f"When the supply is plugged in, about {volts(pop.peak_v)} jump to the output at once.",
        evidence=(
            Evidence(
                name="A-weighted peak at switch-on",
                value=pop.weighted_v,
                unit="V",
                high=LOUD_V,
                basis="estimate: every capacitor empty, transistors and amplifiers as at rest",
            ),
        ),
        cure="Keep it bypassed, or the amplifier turned down, while the supply is plugged in.",
    )


RULE = Rule(
    code="P08",
    name="switch-on-thump",
    title="A loud thump when the supply is plugged in",
    gravity=Gravity.NOTE,
    why=(
        "An empty output capacitor hands the first jump of the stage before it straight to the jack. A stage "
        "that rests high, on a high supply, makes a jump larger than any note."
    ),
    source="linearised network from empty capacitors, an estimate; the limit is a house rule",
    look=look,
    speaks=(Trial(text=COLLECTOR.format(volts="18V") + PULLED_IN + PULLED_OUT.replace("10k", "100k")),),
    quiet=(Trial(text=pedal(PULLED_IN, PULLED_OUT)),),
)
