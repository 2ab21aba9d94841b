"""A loop that gives back direct current."""

from collections.abc import Iterable

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._loop import loop_of, most_back
from pedalwright.review.rules.echo_chip._trial import REPEATING, echo
from pedalwright.review.survey import Survey

SLOW_HZ = 1.0
MOST = 0.7
"""an offset of the chip then builds up to a little more than three times itself (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The loop at 1 Hz, the repeats turned up where that is louder."""
    around = loop_of(survey)
    if around is None:
        return
    back = float(most_back(around, around.desk.loop.gains[None], frequency_hz=np.array([SLOW_HZ]))[0])
    if back < MOST:
        return
    grows = back >= 1.0
    knob = around.knob.ref if around.knob is not None else ""
    effect = (
        "small offsets grow until the chip stands at the end of its swing"
        if grows
        else f"an offset builds up to {1 / (1 - back):.0f} times itself, and so does rumble"
    )
    yield Finding(
        parts=(*((knob,) if knob else ()), *around.desk.loop.chips),
        what=f"The loop gives back {back:.2f} of what is slower than any note: {effect}.",
        evidence=(
            Evidence(
                name="back at 1 Hz",
                value=back,
                unit="x",
                high=MOST,
                basis=f"{knob} at its loudest" if knob else "",
            ),
        ),
        cure="Put a capacitor of 100 nF to 1 µF into the way back.",
        gravity=Gravity.POOR if grows else None,
    )


OPEN = echo(
    ("WET > C15 1u (film) > REPEATS.3\nREPEATS.1 > gnd", "U1.14 > REPEATS.3\nREPEATS.1 > U1.2"),
    ("R10 33k > C16 1u (film) > MIX", "R10 22k > MIX"),
    base=REPEATING,
)

RULE = Rule(
    code="E17",
    name="loop-direct-current",
    title="The way back lets direct current through",
    gravity=Gravity.NOTE,
    why=(
        "Coder and memory pass on even what does not move. Without a capacitor in the way back, the small "
        "offset of the chip goes round and round and takes away from its swing."
    ),
    source="computed: gain once round at 1 Hz; limit: house rule",
    look=look,
    speaks=(Trial(text=OPEN, blames=("U1",), says="slower"),),
    quiet=(Trial(text=REPEATING),),
)
