"""A reminder for those who sell: the chip's clock is a radio frequency."""

from collections.abc import Iterable

import numpy as np

from pedalwright.echo.delay_law import clock_hz
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.review.wants import desk_of
from pedalwright.stages.wording import hz, listed

RULED_FROM_HZ = 9e3
"""where rules on emission begin to count a clock (from memory; 1.705 MHz is a line of some too)"""


def look(survey: Survey) -> Iterable[Finding]:
    """All chips of a circuit together, over their dials."""
    if not survey.view.parts_of("echo-chip"):
        return
    survey.rest  # noqa: B018  (raises where nothing can be said)
    places = desk_of(survey).time_places
    clocks = [float(clock_hz(place.delay_s)) for _, place in places if np.isfinite(place.delay_s)]
    if clocks and max(clocks) >= RULED_FROM_HZ:
        refs = tuple(dict.fromkeys(ref for ref, _ in places))
        low, high = hz(min(clocks)), hz(max(clocks))
        span = low if low == high else f"{low} to {high}"
        yield Finding(
            parts=refs,
            what=(
                f"The clock of {listed(list(refs))} runs at {span}: where pedals are sold, rules on radio "
                "emission count it."
            ),
            evidence=(
                Evidence(
                    name="highest clock",
                    value=max(clocks),
                    unit="Hz",
                    basis=f"typical chip; such rules count clocks from {hz(RULED_FROM_HZ)}",
                ),
            ),
            cure=(
                "For yourself: nothing. To sell it, ask what rules on radio emission apply where you sell; "
                "a metal box and short clock wiring help."
            ),
        )


RULE = Rule(
    code="E27",
    name="clock-emission",
    title="The clock counts where pedals are sold",
    gravity=Gravity.NOTE,
    why=(
        "Rules on radio emission cover devices that make or use clocks above 9 kHz. This is a caution, not "
        "a verdict: what applies is for local law and a test laboratory to say."
    ),
    source="from memory; builders' threads on selling. No verdict is given",
    look=look,
    speaks=(Trial(text=echo(), blames=("U1",), says="MHz"),),
    quiet=(Trial(text="input IN line\noutput OUT 1M\nIN > R1 1k > OUT\n"),),
)
