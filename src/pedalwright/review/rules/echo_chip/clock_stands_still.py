"""A time pin that no current flows out of: no clock, no echo."""

from collections.abc import Iterable

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import Chip, chips
from pedalwright.review.rules.echo_chip._trial import echo, without
from pedalwright.review.survey import Survey
from pedalwright.review.wants import desk_of

MOST_OHMS = 1e6
"""a delay of more than eleven seconds: no clock worth the name (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip, knobs as they stand and everywhere else."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for chip in chips(survey):
        places = [place for ref, place in desk_of(survey).time_places if ref == chip.ref]
        still = [place for place in places if not np.isfinite(place.ohms) or place.ohms > MOST_OHMS]
        if still:
            yield _finding(chip, [place.says for place in still], still[0].amperes)


def _finding(chip: Chip, says: list[str], amperes: float) -> Finding:
    always = "" in says
    where = "" if always else f" with {says[0]}"
    return Finding(
        parts=(chip.ref,),
        what=(
            f"No current flows out of pin 6 of {chip.ref}{where}: its clock stands still, and there is no "
            "echo."
        ),
        evidence=(
            Evidence(
                name="current out of the time pin",
                value=amperes,
                unit="A",
                basis=says[0] or "knobs as they stand",
            ),
        ),
        cure=(
            "Lead pin 6 to ground through a resistance: 10 kΩ gives about 145 ms."
            if always
            else "Tie the free lug of the knob to its wiper, so that the way to ground never opens."
        ),
        gravity=None if always else Gravity.POOR,
    )


RULE = Rule(
    code="E04",
    name="clock-stands-still",
    title="The echo chip's clock stands still",
    gravity=Gravity.DEAD,
    why=(
        "The clock runs on the current that the parts at pin 6 draw to ground. Where nothing leads there, "
        "it stops."
    ),
    source="published control law of the chip: clock in proportion to the current out of pin 6",
    look=look,
    speaks=(
        Trial(text=without("U1.6 >", "TIME.2 >", "knob TIME"), blames=("U1",)),
        Trial(text=echo(("U1.6 > R1 2k2 > TIME.1", "U1.6 > R1 2k2 > V5\nTIME.1 > V5")), blames=("U1",)),
    ),
    quiet=(Trial(text=echo()),),
)
