"""A level knob whose wiper has to drive far less than its track."""

from collections.abc import Iterable

from pedalwright.analysis.impedances import input_ohms
from pedalwright.circuit.part import Part
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, ohms

SHARE = 0.15
"""of the track: with less at the wiper its middle gives 8.5 dB less than it should (house rule)"""
BENDS_TIMES = 4.0
"""a track of so many times the load gives 6 dB less in its middle, which an ear forgives (house rule)"""
TRACKS = (1e3, 5e3, 10e3, 25e3, 50e3, 100e3, 250e3, 500e3, 1e6)
"""tracks sold everywhere (common practice, no source)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every level knob of audio law; a linear track gets nearer to that law by a load."""
    for part in survey.parts_of("knob"):
        role = survey.analysis.stages.roles.get(part.ref)
        if role is None or role.role != "level knob" or part.law != "audio" or not part.value:
            continue
        load = _load(survey, part)
        if load is not None and load < SHARE * part.value:
            yield _finding(survey, part, load)


def _load(survey: Survey, part: Part) -> float | None:
    """What all others on the wiper's net present there at 1 kHz [ohm]."""
    wiper = part.net("2")
    others = {pin.part.ref for pin in survey.view.pins(survey.view.joined[wiper])} - {part.ref}
    if not survey.band.knows(wiper) or not others or part.net("1") == wiper or part.net("3") == wiper:
        return None
    return input_ohms(survey.band, wiper, others)


def _finding(survey: Survey, part: Part, load: float) -> Finding:
    track = part.value or 0.0
    fitting = [one for one in TRACKS if load * BENDS_TIMES >= one and one < track]
    better = fitting[-1] if fitting else track / 10
    return Finding(
        parts=(part.ref,),
        what=(
            f"The wiper of {named(survey.bench, part.ref)} drives only {ohms(load)}: most of the track is "
            "loaded down, and the level comes up in the last part of the travel."
        ),
        evidence=(Evidence(name="load at the wiper, at 1 kHz", value=load, unit="ohm", low=SHARE * track),),
        cure=f"Take a track of {ohms(better)}, or more resistance behind the wiper.",
        changes=(Change(ref=part.ref, value=better),) if fitting else (),
    )


SPEAKING = """
supply V 9V wall
input IN buffered
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
knob LEVEL 1M audio at 5
V > R1 22k > VB > R2 22k > gnd
VB > C1 47u (electrolytic, 16V) > gnd
IN > C2 1u > LEVEL.3
LEVEL.1 > gnd
LEVEL.2 > C3 1u > R3 47k > U1.inv
U1.inv > R4 47k > U1.out
U1.non > VB
U1.out > C4 10u (electrolytic, 16V) > OUT
OUT > R5 100k > gnd
"""

RULE = Rule(
    code="K10",
    name="wiper-loaded",
    title="A level knob is loaded down",
    gravity=Gravity.NOTE,
    why=(
        "What hangs on a wiper lies beside the lower part of the track. Where it is much smaller than the "
        "track it, not the law of the track, decides how the level rises."
    ),
    source="computed: load at the wiper against the track; limits: house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("LEVEL",)),),
    quiet=(Trial(text=SPEAKING.replace("LEVEL 1M", "LEVEL 100k")),),
)
