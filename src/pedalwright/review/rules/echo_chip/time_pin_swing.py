"""A slow oscillator that moves the time pin further than the chip can follow."""

from collections.abc import Iterable

from pedalwright.analysis.echo_movement import ModulationAnswer
from pedalwright.analysis.wants import Desk, NotKnown
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._trial import fixed
from pedalwright.review.survey import Pose, Survey
from pedalwright.review.wants import desk_of

OSCILLATORS = ("schmitt-trigger", "comparator", "relaxation-oscillator", "phase-shift-oscillator")
NETWORK = "delay-time-network"
HELD_SHARE = 0.02
"""of the period that may be cut flat before it is told (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip whose time pin an oscillator of known height moves, the depth knobs up as well."""
    networks = [stage for stage in survey.stages_of(NETWORK) if stage.inputs]
    if not networks or not survey.stages_of(*OSCILLATORS):
        return
    depth = [ref for stage in networks for ref in stage.with_role("depth knob")]
    poses = [survey.pose({}), *(survey.pose({ref: 10.0}) for ref in dict.fromkeys(depth))]
    told: set[str] = set()
    for pose in poses:
        for answer in _moved(survey, pose):
            if answer.chip not in told and answer.known and _is_too_far(answer):
                told.add(answer.chip)
                yield _finding(answer, pose.says)


def _moved(survey: Survey, pose: Pose) -> tuple[ModulationAnswer, ...]:
    from pedalwright.analysis.echo_movement import modulation_answers

    desk = desk_of(survey) if not pose.says else Desk(pose.analysis)
    try:
        return tuple(modulation_answers(pose.analysis, desk.chips, desk.loop))
    except NotKnown:
        return ()


def _is_too_far(answer: ModulationAnswer) -> bool:
    return answer.reach.stalls or (answer.reach.held and answer.reach.at_limit > HELD_SHARE)


def _finding(answer: ModulationAnswer, says: str) -> Finding:
    where = f" with {says}" if says else ""
    share = 100 * answer.reach.at_limit
    effect = (
        f"takes away all of the current from its time pin for {share:.0f} % of each period: the echo stops "
        "there"
        if answer.reach.stalls
        else f"wants less than its shortest delay, 31 ms, for {share:.0f} % of each period: it is held there"
    )
    return Finding(
        parts=(answer.chip,),
        what=f"The slow oscillator at {answer.chip}{where} {effect}.",
        evidence=(
            Evidence(
                name="share of the period beyond the chip's reach",
                value=share,
                unit="%",
                high=100 * HELD_SHARE,
                basis=f"{says or 'knobs as they stand'}, {answer.rate_hz:.2f} Hz",
            ),
        ),
        cure="Use a larger resistor between the oscillator and pin 6, or a longer delay at rest.",
        gravity=None if answer.reach.stalls else Gravity.NOTE,
    )


SWUNG = fixed(
    "U1.6 > R1 4k7 > gnd\nsupply V9 9V wall\npart U3 dual-opamp TL072 v+=V9 v-=gnd\n"
    "V9 > R40 22k > VM > R41 22k > gnd\nVM > C40 47u (electrolytic, 16V) > gnd\n"
    "U3b.out > R42 47k > U3a.non\nU3a.non > R43 100k > U3a.out\nU3a.inv > VM\n"
    "U3a.out > R44 470k > U3b.inv\nU3b.inv > C41 1u (film) > U3b.out\nU3b.non > VM\n"
    "U3b.out > C42 470u (electrolytic, 16V) > R45 220 > U1.6"
)

RULE = Rule(
    code="E23",
    name="time-pin-swing",
    title="The delay is moved further than the chip can follow",
    gravity=Gravity.POOR,
    why=(
        "The oscillator adds to and takes from the current out of pin 6. Where it takes all of it the "
        "clock stops; where it adds too much the delay cannot get shorter than 31 ms and the sweep is cut "
        "flat."
    ),
    source="published control law of the chip; shortest delay: maker's table, V1.6, 2010; share computed",
    look=look,
    speaks=(Trial(text=SWUNG, blames=("U1",)),),
    quiet=(Trial(text=SWUNG.replace("R45 220", "R45 22k")), Trial(text=fixed("U1.6 > R1 4k7 > gnd"))),
)
