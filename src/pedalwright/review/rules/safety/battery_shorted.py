"""A battery that gives more than a pedal ever needs."""

from collections.abc import Iterable

from pedalwright.circuit.ports import Supply
from pedalwright.devices.ports import BATTERY_OHMS
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.units.values import print_value

HOT_A = 0.5
"""a 9 V block of 2 ohm then makes half a watt of heat inside itself (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every battery at rest, switches in all their positions."""
    batteries = [one for one in survey.circuit.supplies if one.source == "battery"]
    if not batteries:
        return
    survey.rest  # noqa: B018  (raises where nothing can be said)
    switches = [part.ref for part in survey.circuit.switches]
    for battery in batteries:
        cases = [
            (pose.says, _given(survey if not pose.says else Survey(pose.analysis), battery))
            for pose in (survey.pose({}), *survey.poses_of(*switches))
            if pose.analysis.rest.certificate.ok
        ]
        says, most = max(cases, key=lambda one: one[1])
        if most > HOT_A:
            yield _finding(battery, says, most)


def _given(survey: Survey, battery: Supply) -> float:
    rest = survey.analysis.rest
    return abs(rest.volts(battery.net) - rest.volts(f"{battery.net}/cell")) / BATTERY_OHMS


def _finding(battery: Supply, says: str, most: float) -> Finding:
    where = f" with {says}" if says else ""
    return Finding(
        nets=(battery.net,),
        spans=(battery.span,),
        what=(
            f"The battery at {battery.net} gives {print_value(most, 'A')}{where}: it is as good as shorted, "
            "and gets hot."
        ),
        evidence=(
            Evidence(
                name="current out of the battery",
                value=most,
                unit="A",
                high=HOT_A,
                basis=f"behind {BATTERY_OHMS:g} ohm of its own",
            ),
        ),
        cure="Find the way from the battery to ground that is not meant, before connecting one.",
    )


SPEAKING = """
supply BAT 9V battery
output OUT 1M
BAT > R1 1 > gnd
BAT > R2 10k > OUT
"""

RULE = Rule(
    code="H05",
    name="battery-shorted",
    title="The battery is shorted",
    gravity=Gravity.DAMAGE,
    why=(
        "A shorted battery gets hot within a minute, leaks, and can burn what it touches. Rechargeable "
        "ones are far worse."
    ),
    source="computed; 2 ohm inside a fresh 9 V block, from memory; limit: house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("BAT",)),),
    quiet=(Trial(text=SPEAKING.replace("R1 1 ", "R1 1k ")),),
    stands=True,
)
