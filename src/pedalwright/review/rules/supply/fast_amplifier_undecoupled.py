"""A fast amplifier without a small capacitor at its supply pins."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.devices.kinds.capacitor import is_polarised
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

FAST_HZ = 8e6
"""gain-bandwidth product from which a long supply lead alone can make an amplifier sing (from memory)"""
LEAST_F, MOST_F = 9e-9, 11e-6
"""a ceramic or film capacitor between these counts (common practice, no source: 100 nF)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Fast packages, by what lies between their supply pins or from these to ground."""
    for part in survey.view.parts_of("opamp"):
        speed = device(part.kind).figures_for(part)["gain_bandwidth_hz"]
        if speed.value >= FAST_HZ and not _is_decoupled(survey, part):
            yield Finding(
                parts=(part.ref,),
                what=(
                    f"{named(survey.bench, part.ref)} is fast ({print_value(speed.value, 'Hz')}) and has no "
                    "small capacitor at its supply."
                ),
                evidence=(
                    Evidence(
                        name="gain-bandwidth product",
                        value=speed.value,
                        unit="Hz",
                        high=FAST_HZ,
                        basis=speed.source,
                    ),
                ),
                cure="Put 100 nF (ceramic) between its supply pins, as close as it goes.",
            )


def _is_decoupled(survey: Survey, part: Part) -> bool:
    pins = {survey.view.net(part, "v+"), survey.view.net(part, "v-")} - {GROUND}
    ends = pins | {GROUND}
    return all(
        any(
            leaf.sort == "C"
            and leaf.other(net) in ends
            and LEAST_F <= leaf.value <= MOST_F
            and not is_polarised(survey.circuit.by_ref[leaf.ref])
            for leaf in survey.view.on(net)
        )
        for net in pins
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 dual-opamp NE5532 v+=V v-=gnd
V > C9 100u (electrolytic, 16V) > gnd
IN > C1 100n > U1a.non > R1 100k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1a.out > U1a.inv
U1a.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="S19",
    name="fast-amplifier-undecoupled",
    title="A fast amplifier has no small capacitor at its supply",
    gravity=Gravity.NOTE,
    why=(
        "To a fast amplifier a few centimetres of supply lead are a coil. A small capacitor at its pins "
        "takes it out of the loop; large electrolytics are too slow."
    ),
    source="common practice, no source; makers' sheets of fast amplifiers ask for it",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1",)),),
    quiet=(
        Trial(text=SPEAKING + "V > C8 100n (ceramic) > gnd\n"),
        Trial(text=SPEAKING.replace("NE5532", "TL072")),
    ),
)
