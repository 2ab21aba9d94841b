"""A resting voltage away from the middle of the swing: one half of the wave is cut before the other."""

from collections.abc import Iterable
from math import log10

from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._dividers import Divider, divider_behind, mended
from pedalwright.review.rules.bias._sections import Section
from pedalwright.review.rules.bias._troubles import hearing_sections, is_told_elsewhere
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed, volts

WORTH_DB, MUCH_DB = 4.0, 6.0
"""room lost that is worth knowing, and that will disappoint (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The sections that could swing much further, those behind one divider told together."""
    groups: dict[tuple[str, ...], list[tuple[Section, Divider | None]]] = {}
    for section in hearing_sections(survey):
        if section.is_railed or lost_db(section) < WORTH_DB or is_told_elsewhere(survey, section):
            continue
        divider = divider_behind(survey, section.amplifier.out)
        key = (divider.upper.ref, divider.lower.ref) if divider else (section.ref,)
        groups.setdefault(key, []).append((section, divider))
    for found in groups.values():
        yield _finding(survey, [section for section, _ in found], found[0][1])


def lost_db(section: Section) -> float:
    """How much further the output could swing, both ways alike, if it rested in the middle."""
    return 20 * log10(section.swing_v / 2 / max(section.room_v, 1e-3 * section.swing_v))


def _finding(survey: Survey, found: list[Section], divider: Divider | None) -> Finding:
    worst = max(found, key=lost_db)
    lost, middle_v = lost_db(worst), (worst.low_v + worst.high_v) / 2
    names = [section.ref for section in found]
    parts = ((divider.upper.ref, divider.lower.ref) if divider else ()) + tuple(names)
    cure, changes = _cure(survey, worst, divider, middle_v)
    return Finding(
        parts=parts,
        what=(
            f"{listed(names)} {'rests' if len(names) == 1 else 'rest'} at {volts(worst.output_v)}, but the "
            f"middle of the swing is {volts(middle_v)}: {lost:.1f} dB less before the wave is cut on one "
            "side."
        ),
        evidence=(
            Evidence(
                name=f"{worst.ref}'s output at rest",
                value=worst.output_v,
                unit="V",
                low=worst.low_v,
                high=worst.high_v,
                basis="the limits are where the output stops",
            ),
            Evidence(name="room lost", value=lost, unit="dB", high=WORTH_DB),
        ),
        cure=cure,
        changes=changes,
        gravity=Gravity.POOR if lost >= MUCH_DB else None,
    )


def _cure(
    survey: Survey, section: Section, divider: Divider | None, middle_v: float
) -> tuple[str, tuple[Change, ...]]:
    plain = f"Bring the resting voltage to {volts(middle_v)}."
    if divider is None:
        return plain, ()
    wanted_v = survey.rest.volts(divider.at) + middle_v - section.output_v
    found = mended(survey, divider, wanted_v) if wanted_v > 0 else None
    if found is None:
        return plain, ()
    change, words = found
    return f"{words}: then {section.ref} rests near {volts(middle_v)}.", (change,)


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 22k > VB > R3 9k1 > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="B03",
    name="half-supply-off-middle",
    title="The resting voltage is not in the middle of the swing",
    gravity=Gravity.NOTE,
    why=(
        "The wave swings around the resting voltage. The nearer limit cuts it first, so what the other side "
        "could still give is lost."
    ),
    source="limits of the output: the type's card; the share worth telling is a house rule",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("R2", "R3", "U1")),
        Trial(text=SPEAKING.replace("R3 9k1", "R3 47k"), blames=("R3",)),
    ),
    quiet=(Trial(text=SPEAKING.replace("R3 9k1", "R3 22k")),),
)
