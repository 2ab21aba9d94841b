"""One of the chip's amplifiers that does not rest at the half supply."""

from collections.abc import Iterable

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips, limit
from pedalwright.review.rules.echo_chip._trial import echo
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import volts

AMPLIFIERS = {
    "input filter": ("16", "15"),
    "output filter": ("13", "14"),
    "coder": ("10", "9"),
    "decoder": ("11", "12"),
}
OFF_V = 0.3
"""by so much the output may rest off the half supply: a sixth of its swing (house rule)"""
OPEN_OHMS = 20e6
"""output volts for one ampere into the inverting input at 1 Hz: no feedback is as weak (house rule)"""
OSCILLATING = (
    "schmitt-trigger",
    "comparator",
    "relaxation-oscillator",
    "phase-shift-oscillator",
)
STUCK_SHARE = 0.85
"""of the swing, from which an output counts as stuck at its end"""


def look(survey: Survey) -> Iterable[Finding]:
    """The four amplifiers of every chip, those in use."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for chip in chips(survey):
        for name, (inverting, output) in AMPLIFIERS.items():
            known = survey.band.knows(chip.part.net(output), chip.part.net(inverting))
            if known and (chip.uses(output) or chip.uses(inverting)):
                yield from _of_amplifier(survey, chip, name, inverting, output)


def _of_amplifier(survey: Survey, chip: Chip, name: str, inverting: str, output: str) -> Iterable[Finding]:
    off = chip.volts(output) - chip.volts("2")
    evidence = Evidence(
        name=f"pin {output} against pin 2",
        value=off,
        unit="V",
        low=-OFF_V,
        high=OFF_V,
        basis=f"typical swing {limit('output_swing_v'):.2f} V either way",
    )
    if not _holds_itself(survey, chip, inverting, output):
        yield Finding(
            parts=(chip.ref,),
            what=(
                f"Nothing holds the {name} of {chip.ref} at its half supply: no way for direct current leads "
                f"from pin {output} back to pin {inverting}, so it drifts to the end of its swing."
            ),
            evidence=(evidence,),
            cure=(
                f"Put a resistor of 10 to 22 kΩ from pin {output} to pin {inverting}, or to where the "
                "resistors at its input meet."
            ),
        )
    elif abs(off) > OFF_V:
        stuck = abs(off) >= STUCK_SHARE * limit("output_swing_v")
        yield Finding(
            parts=(chip.ref,),
            what=(
                f"The {name} of {chip.ref} rests at {volts(chip.volts(output))}, {volts(abs(off))} off its "
                f"half supply{' and at the end of its swing' if stuck else ''}: direct current comes in."
            ),
            evidence=(evidence,),
            cure=f"Put a capacitor of 1 µF into every way from outside to pin {inverting}.",
            gravity=None if stuck else Gravity.POOR,
        )


def _holds_itself(survey: Survey, chip: Chip, inverting: str, output: str) -> bool:
    """Whether a slow current into the inverting input moves the output no further than feedback lets it."""
    role = survey.analysis.stages.roles.get(chip.amplifier(inverting))
    if role is not None and (role.kind in OSCILLATING or (role.kind == "integrator" and _swings(survey))):
        return True
    band = survey.band
    moved = band.table[0, band.row(chip.part.net(output)), band.row(chip.part.net(inverting))]
    return bool(abs(moved) < OPEN_OHMS)


def _swings(survey: Survey) -> bool:
    """Whether an integrator may be one half of an oscillator."""
    return bool(survey.stages_of(*OSCILLATING))


RULE = Rule(
    code="E10",
    name="chip-amplifier-rest",
    title="An amplifier inside the echo chip does not rest at half supply",
    gravity=Gravity.DEAD,
    why=(
        "All four amplifiers of the chip hold their inverting inputs at the half supply, through a resistor "
        "from the output. Without it, or with direct current from outside, the output drifts to its end."
    ),
    source=f"{SHEET}: block diagram; a published set of pin readings has all eight pins at half supply",
    look=look,
    speaks=(
        Trial(text=echo(("STEPS > R7 10k > U1.14\n", "")), blames=("U1",), says="output filter"),
        Trial(
            text=echo(("IN > C8 1u (film) > R2 22k > MIX", "IN > R2 22k > MIX")),
            blames=("U1",),
            says="direct current comes in",
        ),
    ),
    quiet=(Trial(text=echo()),),
)
