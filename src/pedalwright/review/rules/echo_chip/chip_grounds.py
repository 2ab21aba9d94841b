"""A ground pin of the chip that is not at ground."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, chips
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.units.values import print_value

OFF_V, LOST_V = 0.02, 0.5
"""20 mV: from a published set of pin readings, with 50 mV on the digital ground of a unit that crackled; half
a volt: the chip's clock and sound refer to different grounds (house rule)
"""
GROUNDS = {"3": "analogue", "4": "digital"}


def look(survey: Survey) -> Iterable[Finding]:
    """Pins 3 and 4 of every chip at rest."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for chip in chips(survey):
        for pin, name in GROUNDS.items():
            rests_v = chip.volts(pin)
            if abs(rests_v) > OFF_V:
                yield Finding(
                    parts=(chip.ref,),
                    what=(
                        f"The {name} ground of {chip.ref}, pin {pin}, rests at {print_value(rests_v, 'V')}, "
                        "not at ground."
                    ),
                    evidence=(
                        Evidence(
                            name=f"pin {pin} against ground", value=rests_v, unit="V", low=-OFF_V, high=OFF_V
                        ),
                    ),
                    cure=f"Join pin {pin} to ground with short, thick copper, and pins 3 and 4 at the chip.",
                    gravity=Gravity.DEAD if abs(rests_v) > LOST_V else None,
                )


RULE = Rule(
    code="E24",
    name="chip-grounds",
    title="A ground of the echo chip is not at ground",
    gravity=Gravity.POOR,
    why=(
        "Sound refers to pin 3 and clock and memory to pin 4. A resistance in the way of either brings the "
        "chip's own supply current, with the clock on it, into the sound."
    ),
    source=f"{SHEET}: application circuits; limit from a published set of pin readings, 2019",
    look=look,
    speaks=(
        Trial(
            text=echo(("supply=V5", "supply=V5 4=DG")) + "U1.4 > R30 10 > gnd\n", blames=("U1",), says="pin 4"
        ),
    ),
    quiet=(Trial(text=echo()),),
)
