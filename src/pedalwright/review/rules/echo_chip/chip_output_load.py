"""An output of the chip that has to drive too little resistance."""

from collections.abc import Iterable

from pedalwright.analysis.impedances import input_ohms
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import Chip, chips
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import ohms

LEAST_OHMS, GOOD_OHMS = 5e3, 10e3
"""warning and good (from memory: the maker publishes no output current and tests with 47 kohm)"""
OUTPUTS = {"12": "decoder", "14": "output filter", "15": "input filter"}


def look(survey: Survey) -> Iterable[Finding]:
    """The three outputs of every chip that sound is taken from, in every place of knobs that load them."""
    for chip in chips(survey):
        for pin, name in OUTPUTS.items():
            if chip.uses(pin):
                yield from _of_output(survey, chip, pin, name)


def _of_output(survey: Survey, chip: Chip, pin: str, name: str) -> Iterable[Finding]:
    net = chip.part.net(pin)
    owners = {one.owner for one in survey.analysis.primitives} - {chip.ref}
    load = input_ohms(survey.band, net, owners)
    if load is None or load >= LEAST_OHMS:
        return
    near = [leaf for leaf in chip.outside(pin) if leaf.sort == "R"]
    smallest = min(near, key=lambda leaf: leaf.value, default=None)
    yield Finding(
        parts=(*((smallest.ref,) if smallest is not None else ()), chip.ref),
        what=(
            f"The {name} of {chip.ref} has to drive {ohms(load)} at pin {pin}: it loses swing and distorts "
            "early."
        ),
        evidence=(
            Evidence(
                name=f"load at pin {pin}, at 1 kHz",
                value=load,
                unit="ohm",
                low=LEAST_OHMS,
                basis="knobs as they stand; 10 kohm and more is good",
            ),
        ),
        cure=f"Make what hangs on pin {pin} {ohms(GOOD_OHMS)} or more together, or put an op-amp between.",
    )


RULE = Rule(
    code="E21",
    name="chip-output-load",
    title="An output of the echo chip is loaded too much",
    gravity=Gravity.POOR,
    why=(
        "The chip's amplifiers are small: nobody publishes what current they give, and the maker tests "
        "them with 47 kohm. Below some 5 kohm they clip early; 10 kohm and more is safe."
    ),
    source="common practice, no source; limits from memory",
    look=look,
    speaks=(
        Trial(text=echo() + "U1.14 > C30 10u > R30 1k > gnd\n", blames=("U1",), says="pin 14"),
        Trial(text=echo(("R5 10k", "R5 1k"), ("R7 10k", "R7 1k")), blames=("U1",), says="pin 14"),
    ),
    quiet=(Trial(text=echo()), Trial(text=echo() + "U1.14 > C30 10u > R30 22k > gnd\n")),
)
