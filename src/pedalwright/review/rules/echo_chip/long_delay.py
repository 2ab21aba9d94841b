"""More resistance at the time pin than sounds well."""

from collections.abc import Iterable

import numpy as np

from pedalwright.echo import delay_law
from pedalwright.echo.figures import value
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import Chip, chips
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.review.wants import desk_of
from pedalwright.stages.wording import named, ohms

TRACKS = (10e3, 20e3, 25e3, 50e3)
"""tracks that knobs are sold with, as far as they matter here (common practice, no source)"""
SPEAKS_FROM = 1.2
"""times the 50 kohm of the trade: a track a fifth too large is no finding"""
STILL_OHMS = 1e6


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip at the longest delay of its knobs."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    bound = SPEAKS_FROM * value("most_time_ohms")
    for chip in chips(survey):
        places = [place for ref, place in desk_of(survey).time_places if ref == chip.ref]
        longest = max(
            (place for place in places if np.isfinite(place.ohms)), key=lambda one: one.ohms, default=None
        )
        if longest is not None and bound < longest.ohms < STILL_OHMS:
            yield _finding(survey, chip, longest.ohms, longest.delay_s, longest.says)


def _finding(survey: Survey, chip: Chip, size: float, delay_s: float, says: str) -> Finding:
    noise = float(delay_law.noise_dbv(delay_s))
    rise = noise - float(delay_law.noise_dbv(value("clean_delay_s")))
    cure, changes = _cure(survey, size, says)
    where = f" with {says}" if says else ""
    return Finding(
        parts=(*(change.ref for change in changes), chip.ref),
        what=(
            f"{chip.ref} delays by {1000 * delay_s:.0f} ms{where}, with {ohms(size)} at pin 6: its noise is "
            f"then {noise:.0f} dBV, {rise:.0f} dB above that at 300 ms, and every repeat adds to it."
        ),
        evidence=(
            Evidence(
                name="resistance at the time pin",
                value=size,
                unit="ohm",
                high=value("most_time_ohms"),
                basis=says,
            ),
            Evidence(name="delay", value=delay_s, unit="s", basis="typical chip"),
        ),
        cure=cure,
        changes=changes,
        gravity=Gravity.POOR if delay_s > value("ugly_delay_s") else None,
    )


def _cure(survey: Survey, size: float, says: str) -> tuple[str, tuple[Change, ...]]:
    """A smaller track on the one knob that was turned up for it."""
    knob = survey.circuit.by_ref.get(says.split(" at ", maxsplit=1)[0]) if says.count(" at ") == 1 else None
    excess = size - value("most_time_ohms")
    if knob is not None and knob.value:
        fits = [track for track in TRACKS if track <= knob.value - excess + 0.2 * value("most_time_ohms")]
        if fits:
            track = fits[-1]
            cure = f"A track of {ohms(track)} for {named(survey.bench, knob.ref)} stays in the good range."
            return cure, (Change(ref=knob.ref, value=track),)
    return f"Take {ohms(excess)} out of the way from pin 6 to ground, or accept the noise.", ()


LONG = echo(("knob TIME 50k", "knob TIME 100k"))

RULE = Rule(
    code="E05",
    name="long-delay",
    title="The longest delay is noisy",
    gravity=Gravity.NOTE,
    why=(
        "The chip's memory holds a fixed number of bits. A longer delay leaves fewer of them for each "
        "second: noise rises by 26 dB for ten times the delay, and above some 630 ms decays begin to "
        "crackle."
    ),
    source=(
        "50 kohm, 630 ms: common practice, no source; noise over delay measured on a published module, 2025"
    ),
    look=look,
    speaks=(
        Trial(text=LONG, blames=("TIME", "U1")),
        Trial(
            text=echo(("U1.6 > R1 2k2 > TIME.1\nTIME.2 > TIME.3 > gnd", "U1.6 > R1 68k > gnd")),
            blames=("U1",),
        ),
    ),
    quiet=(Trial(text=echo()),),
)
