"""A knob fed at its wiper: at one end of the travel it shorts the amplifier that drives it."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.devices.kinds._knob import END_OHMS
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, ohms

NEAR_OHMS = 220.0
"""a resistor of no more does not keep a short away from an output (house rule)"""
NEEDS_OHMS = 1e3
"""in series it keeps the load of an amplifier tolerable (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob with an amplifier at its wiper and an end that stands still."""
    outputs = {amp.out: amp.ref for amp in survey.view.amplifiers}
    followers = {
        item.bottom: item.ref
        for item in survey.view.transistors
        if survey.classes.is_still(item.top) and not survey.classes.is_still(item.bottom)
    }
    drivers = {**followers, **outputs}
    for part in survey.circuit.knobs:
        first, wiper, last = survey.view.knob_nets(part)
        ends = [(place, net) for place, net in ((0.0, first), (10.0, last)) if net != wiper]
        still = [(place, net) for place, net in ends if survey.classes.is_still(net)]
        if not still or survey.classes.is_still(wiper):
            continue
        driver = next((drivers[net] for net in _near(survey, part, wiper) if net in drivers), "")
        if driver:
            yield _finding(survey, part, driver, *still[0])


def _near(survey: Survey, part: Part, start: str) -> tuple[str, ...]:
    """The nets within a capacitor or a small resistor of a net, the knob's own track left out."""
    found, pending = [start], [start]
    while pending:
        here = pending.pop()
        for leaf in survey.view.on(here):
            passes = leaf.sort == "C" or (leaf.sort == "R" and leaf.value <= NEAR_OHMS)
            far = leaf.other(here)
            if leaf.ref != part.ref and passes and far not in found and not survey.classes.is_still(far):
                found.append(far)
                pending.append(far)
    return tuple(found)


def _finding(survey: Survey, part: Part, driver: str, place: float, net: str) -> Finding:
    return Finding(
        parts=(part.ref, driver),
        what=(
            f"{driver} drives the wiper of {named(survey.bench, part.ref)}: at {place:g} the track shorts "
            f"it to {net.lstrip('~')} with {ohms(END_OHMS)}."
        ),
        evidence=(
            Evidence(
                name="load at the end of the travel",
                value=END_OHMS,
                unit="ohm",
                low=NEEDS_OHMS,
                basis=f"{part.ref} at {place:g}",
            ),
        ),
        cure=(
            f"Feed {part.ref} at lug 3 and take the signal from its wiper, or put {ohms(NEEDS_OHMS)} "
            f"between {driver} and the wiper."
        ),
    )


SPEAKING = """
supply V 9V wall
input IN buffered
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
knob LEVEL 10k linear at 5
V > R1 22k > VB > R2 22k > gnd
VB > C1 47u (electrolytic, 16V) > gnd
IN > C2 1u > U1.non
U1.non > R3 1M > VB
U1.out > U1.inv
U1.out > C3 10u (electrolytic, 16V) > LEVEL.2
LEVEL.1 > gnd
LEVEL.3 > OUT
"""

RULE = Rule(
    code="K04",
    name="knob-shorts-driver",
    title="A knob shorts the amplifier in front of it",
    gravity=Gravity.POOR,
    why=(
        "A knob fed at the wiper lays its track from there to ground. Turned down it leaves an ohm: the "
        "amplifier distorts, its supply gets noisy, and whatever else it drives falls silent too."
    ),
    source="common practice, no source; end resistance: Holmes and van Walstijn, DAFx-19",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("LEVEL", "U1"), says="at 0"),),
    quiet=(
        Trial(text=SPEAKING.replace("> LEVEL.2\n", "> LEVEL.3\n").replace("LEVEL.3 > OUT", "LEVEL.2 > OUT")),
        Trial(text=SPEAKING.replace("> C3 10u (electrolytic, 16V) > LEVEL.2", "> C3 10u > R4 4k7 > LEVEL.2")),
    ),
)
