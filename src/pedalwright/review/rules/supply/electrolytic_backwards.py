"""A polarised capacitor whose plus end rests below its minus end."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.devices.kinds.capacitor import dielectric
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.ratings import BACKWARDS_V, SURVIVED_V, strain_on
from pedalwright.stages.wording import listed, named, volts


def look(survey: Survey) -> Iterable[Finding]:
    """The polarised capacitors that stand backwards, knobs as they stand."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for part in survey.parts_of("capacitor"):
        strain = strain_on(survey.bench, part.ref)
        if strain is None or not strain.is_backwards:
            continue
        backwards_v = -strain.across_v
        wears = backwards_v <= SURVIVED_V and dielectric(part) != "tantalum"
        yield Finding(
            parts=(part.ref,),
            what=f"{named(survey.bench, part.ref)} stands {volts(backwards_v)} backwards.",
            evidence=(
                Evidence(name="voltage across, backwards", value=backwards_v, unit="V", high=BACKWARDS_V),
            ),
            cure=f"Turn it round: plus to {_end(survey, part)}.",
            gravity=Gravity.POOR if wears else None,
        )


def _end(survey: Survey, part: Part) -> str:
    """The net at its other end; of one without a name, what else is on it."""
    net = part.net("2")
    others = dict.fromkeys(pin.part.ref for pin in survey.circuit.pins_on[net] if pin.part is not part)
    return listed(list(others)) if net.startswith("~") and others else net.removeprefix("~")


SPEAKING = """
supply V 9V wall
output OUT 1M
V > R1 10k > OUT > R2 10k > gnd
gnd > C1 10u (electrolytic, 16V) > OUT
"""
QUIET = SPEAKING.replace("gnd > C1 10u (electrolytic, 16V) > OUT", "OUT > C1 10u (electrolytic, 16V) > gnd")

RULE = Rule(
    code="S01",
    name="electrolytic-backwards",
    title="A polarised capacitor is the wrong way round",
    gravity=Gravity.DAMAGE,
    why=(
        "An electrolytic capacitor is insulated by an oxide layer that only the right polarity keeps up. "
        "Backwards it leaks, warms up and may vent or burst; a tantalum one can catch fire. Below a volt it "
        "wears out slowly."
    ),
    source="common practice, no source; the volt an aluminium part survives is from memory",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("C1",)),
        Trial(
            text=SPEAKING.replace("OUT\n", "OUT\ngnd > R4 1M > C4 1u (electrolytic, 16V) > R3 10k > V\n"),
            blames=("C4",),
        ),
    ),
    quiet=(Trial(text=QUIET),),
)
