"""A knob whose track turns more into heat than it stands."""

from collections.abc import Iterable

import numpy as np

from pedalwright.devices.part_facts import MEMORY
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.knobs._turned import TURNS, TrackCase, tracks
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named
from pedalwright.units.values import print_value

TRACK_W = 0.1
"""a carbon track of 16 mm as a whole (from memory); a part of it stands its share"""
BURNS_TIMES = 3.0
"""times the rating, from which a track is sure to go (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every knob and trim at seven places of its travel."""
    for case in tracks(survey):
        ohms = case.part.value or 0.0
        current = np.maximum(np.abs(case.lower_a), np.abs(case.upper_a))
        if ohms <= 0 or not np.isfinite(current).any():
            continue
        load = float(np.nanmax(current)) ** 2 * ohms
        if load > TRACK_W:
            yield _finding(survey, case, current, load)


def _finding(survey: Survey, case: TrackCase, current: np.ndarray, load: float) -> Finding:
    worst, place = float(np.nanmax(current)), 10 * TURNS[int(np.nanargmax(current))]
    most = (TRACK_W / (case.part.value or 1.0)) ** 0.5
    return Finding(
        parts=(case.part.ref,),
        what=(
            f"{print_value(worst, 'A')} flow through the track of {named(survey.bench, case.part.ref)} at "
            f"{place:g}; it stands {print_value(most, 'A')} at any one place."
        ),
        evidence=(
            Evidence(
                name="current through the track",
                value=worst,
                unit="A",
                high=most,
                basis=f"{case.part.ref} at {place:g}; {TRACK_W:g} W for the whole track",
            ),
        ),
        cure="Put a resistor in series that limits the current, or use a wire-wound knob made for the power.",
        gravity=Gravity.DAMAGE if load > BURNS_TIMES * TRACK_W else Gravity.POOR,
    )


SPEAKING = """
supply V 9V wall
knob STARVE 1k linear at 5
V > STARVE.3
STARVE.2 > R1 47 > gnd
output OUT 1M
V > R2 10k > OUT
"""

RULE = Rule(
    code="K02",
    name="track-burns",
    title="A knob's track gets too hot",
    gravity=Gravity.DAMAGE,
    why=(
        "A carbon track stands a tenth of a watt, and only when all of it shares the heat. Near an end of "
        "the travel the whole current flows through a short piece, which burns out first."
    ),
    source=f"rating of a 16 mm carbon track: {MEMORY}",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("STARVE",)),),
    quiet=(Trial(text=SPEAKING.replace("R1 47", "R1 4k7")),),
)
