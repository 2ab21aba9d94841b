"""Sections of an amplifier package that nothing is joined to."""

from collections.abc import Iterable

from pedalwright.devices.catalogue import amplifiers
from pedalwright.devices.device import AmplifierUnit, unused_net
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._dividers import dividers
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed


def look(survey: Survey) -> Iterable[Finding]:
    """The idle sections of each package, told together."""
    idle: dict[str, list[str]] = {}
    for unit in amplifiers(survey.circuit):
        if unit.role == "opamp" and _is_idle(unit):
            idle.setdefault(unit.part.ref, []).append(unit.ref)
    half = next((one.at.lstrip("~") for one in dividers(survey)), "the half supply")
    for refs in idle.values():
        one = refs[0]
        yield Finding(
            parts=tuple(refs),
            what=(
                f"{listed(refs)} {'is' if len(refs) == 1 else 'are'} not joined to anything: open inputs "
                "drift, and the section may rattle between its rails and be heard in its neighbours."
            ),
            evidence=(Evidence(name="sections left open", value=float(len(refs)), unit="", high=0.0),),
            cure=f"Tie it down as a follower: {one}.out > {one}.inv and {one}.non > {half}.",
        )


def _is_idle(unit: AmplifierUnit) -> bool:
    start = unused_net(unit.part.ref, "")
    return all(net.startswith(start) for net in (unit.non_inverting, unit.inverting, unit.output))


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp TL072 v+=V v-=gnd
IN > C1 100n > U1a.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1a.out > U1a.inv
U1a.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="N14",
    name="unused-section",
    title="A section of a package is left open",
    gravity=Gravity.NOTE,
    why=(
        "An amplifier without feedback and with open inputs wanders between its rails, draws more current, "
        "and couples into the section beside it."
    ),
    source="common practice, no source (makers' notes on unused sections say the same)",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1b",)),),
    quiet=(Trial(text=SPEAKING + "U1b.out > U1b.inv\nU1b.non > VB\n"),),
)
