"""Lugs left open: a wiper that leads nowhere, a variable resistor that opens when the wiper lifts."""

from collections.abc import Iterable

from pedalwright.circuit.part import Part
from pedalwright.review.rule import Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob and trim, its lugs as the text connects them."""
    for part in survey.circuit.knobs:
        free = [pin for pin, net in part.pins if survey.view.alone(survey.view.joined[net]) == part.ref]
        if "2" in free and len(free) < 3:
            yield _open_wiper(survey, part)
        elif len(free) == 1 and len({survey.view.joined[net] for net in part.nets}) == 3:
            yield _lifting(survey, part, free[0])


def _open_wiper(survey: Survey, part: Part) -> Finding:
    return Finding(
        parts=(part.ref,),
        what=(
            f"The wiper of {named(survey.bench, part.ref)}, lug 2, leads nowhere: the knob is a fixed "
            "resistor."
        ),
        cure=f"Connect lug 2 of {part.ref}.",
    )


def _lifting(survey: Survey, part: Part, lug: str) -> Finding:
    return Finding(
        parts=(part.ref,),
        what=(
            f"Lug {lug} of {named(survey.bench, part.ref)} is left open: when the wiper lifts off a worn or "
            "dirty track, the way opens altogether and it crackles."
        ),
        cure=f"Tie lug {lug} of {part.ref} to its wiper: the whole track then stays in the way.",
        gravity=Gravity.NOTE,
    )


SPEAKING = """
input IN buffered
output OUT 1M
knob TONE 100k linear at 5
IN > R1 10k > OUT
OUT > C1 10n > TONE.1
TONE.3 > gnd
"""
LIFTING = SPEAKING.replace("TONE.3 > gnd", "TONE.2 > gnd")

RULE = Rule(
    code="K06",
    name="wiper-open",
    title="A lug of a knob is left open",
    gravity=Gravity.POOR,
    why=(
        "A wiper is a spring on carbon: it loses contact for moments. Wired to one end as well, the "
        "circuit then sees the whole track; with that lug open it sees nothing at all."
    ),
    source="common practice, no source",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("TONE",), says="wiper"),
        Trial(text=LIFTING, blames=("TONE",), says="Lug 3"),
    ),
    quiet=(Trial(text=LIFTING.replace("TONE.2 > gnd", "TONE.2 > TONE.3 > gnd")),),
)
