"""The chip's clock output with something on it."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, ohms

LEAST_OHMS = 10e3
"""a logic output of this age drives a milliampere with ease (from memory)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Pin 5 of every chip."""
    for chip in chips(survey):
        if not chip.uses("5"):
            continue
        net = chip.net("5")
        if net == chip.net("6"):
            yield _stopped(chip, "is joined to pin 6: the clock stops, and there is no echo")
        elif net == GROUND or net in survey.classes.rails:
            yield _stopped(
                chip, f"is tied to {'ground' if net == GROUND else 'a supply'}: the clock cannot swing"
            )
        else:
            yield from _loaded(survey, chip)


def _stopped(chip: Chip, effect: str) -> Finding:
    return Finding(
        parts=(chip.ref,), what=f"The clock output of {chip.ref}, pin 5, {effect}.", cure="Leave pin 5 open."
    )


def _loaded(survey: Survey, chip: Chip) -> Iterable[Finding]:
    for leaf in chip.outside("5"):
        if leaf.sort == "R" and leaf.value < LEAST_OHMS:
            yield Finding(
                parts=(leaf.ref, chip.ref),
                what=f"{named(survey.bench, leaf.ref)} loads the clock output of {chip.ref}, pin 5.",
                evidence=(Evidence(name="load at pin 5", value=leaf.value, unit="ohm", low=LEAST_OHMS),),
                cure=f"Leave pin 5 open, or let it drive {ohms(LEAST_OHMS)} and more.",
                gravity=Gravity.POOR,
            )
        elif leaf.sort == "C":
            yield Finding(
                parts=(leaf.ref, chip.ref),
                what=(
                    f"{named(survey.bench, leaf.ref)} hangs on the clock output of {chip.ref}, pin 5: it "
                    "carries megahertz wherever it leads."
                ),
                cure="Leave pin 5 open, or lead it to logic alone, away from the sound.",
                gravity=Gravity.POOR,
            )


RULE = Rule(
    code="E25",
    name="clock-output",
    title="The echo chip's clock output is not left alone",
    gravity=Gravity.DEAD,
    why=(
        "Pin 5 puts the clock out for those who want to count it. A bridge to pin 6 beside it stops the "
        "clock: all four amplifiers work, and nothing is delayed."
    ),
    source=f"{SHEET}: pin table; the bridge from pin 5 to 6: a builder's record, 2017",
    look=look,
    speaks=(
        Trial(text=echo() + "U1.5 > U1.6\n", blames=("U1",), says="joined to pin 6"),
        Trial(text=echo() + "U1.5 > R30 1k > gnd\n", blames=("R30",), says="loads"),
        Trial(text=echo() + "U1.5 > gnd\n", blames=("U1",), says="ground"),
    ),
    quiet=(Trial(text=echo()), Trial(text=echo() + "U1.5 > R30 100k > CLK > R31 100k > gnd\n")),
)
