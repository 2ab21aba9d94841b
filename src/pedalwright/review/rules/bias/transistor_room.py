"""A collector or drain that rests near one end of its swing."""

from collections.abc import Iterable
from math import log10

from pedalwright.analysis.rooms import rooms_at
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._transistors import Resting, driven, trouble_of
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

FOLLOWERS = frozenset({"emitter-follower", "source-follower"})
WORTH_DB = 10.0
"""room lost that is worth knowing (house rule: a fuzz is lopsided on purpose, so the mark is high)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The amplifying transistors whose output could swing much further."""
    for one in driven(survey):
        follows = one.kind in FOLLOWERS or one.item.top in {item.control for item in survey.view.transistors}
        if trouble_of(one) is None and not survey.classes.is_still(one.item.top) and not follows:
            yield from _lopsided(survey, one)


def _lopsided(survey: Survey, one: Resting) -> Iterable[Finding]:
    rooms = [room for room in rooms_at(survey.analysis, one.item.top) if one.ref in room.limited_by]
    for room in rooms:
        lost = 20 * log10((room.volts + room.most_v) / 2 / max(room.volts, 1e-3))
        if lost < WORTH_DB:
            continue
        word = "collector" if one.item.family == "bipolar" else "drain"
        resistors = [leaf.ref for leaf in survey.view.on(one.item.top) if leaf.sort == "R"]
        yield Finding(
            parts=(one.ref, *resistors),
            what=(
                f"The {word} of {one.ref} rests at {volts(survey.rest.volts(one.item.top))}: "
                f"{volts(room.volts)} to one side, {volts(room.most_v)} to the other. In the middle it "
                f"could swing {lost:.0f} dB further before it is cut."
            ),
            evidence=(
                Evidence(name="room to the nearer side", value=room.volts, unit="V", basis=room.limited_by),
                Evidence(name="room lost", value=lost, unit="dB", high=WORTH_DB),
            ),
            cure=(
                f"Move the {word} towards the middle by the resistors that set its current, unless the "
                "sound is meant so."
            ),
        )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
IN > C1 100n > Q1.b
V > R1 100k > Q1.b > R2 22k > gnd
V > R3 470 > Q1.c
Q1.e > R4 1k > gnd
Q1.c > C2 1u > OUT > R5 100k > gnd
"""

RULE = Rule(
    code="B10",
    name="transistor-room",
    title="A transistor rests near one end of its swing",
    gravity=Gravity.NOTE,
    why=(
        "A collector swings between its supply and the emitter. Resting near one of them it cuts that half "
        "of the wave early: rough on quiet notes already, unless roughness is the plan."
    ),
    source="limits: supply and saturation voltage (data sheets); the mark is a house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("Q1", "R3")),),
    quiet=(Trial(text=SPEAKING.replace("R3 470", "R3 4k7")),),
)
