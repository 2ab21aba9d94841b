"""Clocks of several chips on one supply, whose difference can be heard."""

from collections.abc import Iterable, Mapping
from itertools import combinations, product
from math import isfinite

import numpy as np

from pedalwright.echo.chip import ChipState
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import Chip, chips
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.review.wants import desk_of
from pedalwright.stages.wording import hz, listed

HIGHEST_HZ = 20e3
"""the end of hearing"""
MOST_TIMES = 5
"""multiples of the clocks that are strong enough to matter (house rule)"""
SHARED = 0.5
"""of what one chip's clock does to its own supply, arriving at the other's (house rule)"""
AT_HZ = 100e3
"""where that is measured"""


def look(survey: Survey) -> Iterable[Finding]:
    """All chips whose supplies are hardly kept apart, in one finding."""
    found = chips(survey)
    if len(found) < 2:
        return
    survey.rest  # noqa: B018  (raises where nothing can be said)
    states = {one.ref: one for one in desk_of(survey).states if isfinite(one.clock_hz)}
    pairs = [
        (first, second)
        for first, second in combinations(found, 2)
        if first.ref in states and second.ref in states and _share(survey, first, second) >= SHARED
    ]
    if pairs:
        yield _finding(survey, pairs, states)


def _share(survey: Survey, first: Chip, second: Chip) -> float:
    """How much of a current's effect at one chip's supply is there at the other's too."""
    band = survey.band
    place = int(np.argmin(np.abs(band.frequency_hz - AT_HZ)))
    a, b = band.row(first.part.net("1")), band.row(second.part.net("1"))
    own = abs(band.table[place, a, a])
    # A supply taken as perfect lets nothing across; then only the same net counts as shared.
    if own < 1e-9:
        return 1.0 if first.net("1") == second.net("1") else 0.0
    return float(abs(band.table[place, b, a]) / own)


def beats(first_hz: float, second_hz: float) -> tuple[tuple[int, int, float], ...]:
    """Multiples of two clocks, up to the fifth, whose difference can be heard: (of the first, of the second,
    difference [Hz]), the lowest multiples first.
    """
    pairs = product(range(1, MOST_TIMES + 1), repeat=2)
    found = [(k, m, abs(k * first_hz - m * second_hz)) for k, m in pairs]
    return tuple(sorted((one for one in found if one[2] < HIGHEST_HZ), key=lambda one: one[0] + one[1]))


def _finding(survey: Survey, pairs: list[tuple[Chip, Chip]], states: Mapping[str, ChipState]) -> Finding:
    refs = tuple(dict.fromkeys(chip.ref for pair in pairs for chip in pair))
    heard = [
        (k, m, apart, first.ref, second.ref)
        for first, second in pairs
        for k, m, apart in beats(states[first.ref].clock_hz, states[second.ref].clock_hz)
    ]
    heard.sort(key=lambda one: one[0] + one[1])
    now = "typical ones are far enough apart as the knobs stand, but chips differ by 5 %"
    if heard:
        k, m, apart, first, second = heard[0]
        now = f"with the knobs as they stand {k} x {first} and {m} x {second} are {hz(apart)} apart"
    return Finding(
        parts=refs,
        what=f"{listed(list(refs))} share one supply, and their clocks can whine together; {now}.",
        evidence=(
            Evidence(
                name="of one clock at the other's supply",
                value=max(_share(survey, *pair) for pair in pairs),
                unit="x",
                high=SHARED,
                basis="at 100 kHz",
            ),
            *(
                Evidence(name=f"{k} x clock of {first} - {m} x clock of {second}", value=apart, unit="Hz")
                for k, m, apart, first, second in heard[:3]
            ),
        ),
        cure="Feed each chip through a resistor of its own, 4.7 to 10 Ω, with 100 µF and 100 nF behind it.",
    )


PAIR = "part U11 echo-chip supply=V5\nU11.6 > R11 10k > gnd\n"
APART = """
part U11 echo-chip supply=V5B
U11.6 > R11 10k > gnd
V5 > R22 4R7 > V5B > C22 100u (electrolytic, 10V) > gnd
"""

RULE = Rule(
    code="E19",
    name="clocks-beat",
    title="Two clocks on one supply can whine",
    gravity=Gravity.NOTE,
    why=(
        "Each chip's clock runs at millions of cycles a second, unheard. Where two meet on one supply their "
        "difference is heard as a whistle that wanders with the time knobs."
    ),
    source="common practice, no source: one regulator or one filter for each chip; differences computed",
    look=look,
    speaks=(Trial(text=echo() + PAIR, blames=("U1", "U11")),),
    quiet=(Trial(text=echo()), Trial(text=echo() + APART)),
)
