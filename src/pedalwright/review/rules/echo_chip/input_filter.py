"""No low-pass in front of the coder."""

from collections.abc import Iterable
from math import pi

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips, from_jack, level_db
from pedalwright.review.rules.echo_chip._trial import ECHO, echo
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads
from pedalwright.units.preferred import Series, nearest_by_ratio

ABOVE_HZ, LEAST_FALL_DB = 30e3, 6.0
"""a single pole at 17 kHz falls by as much; the maker's filter by 17 dB (house rule)"""
CORNER_HZ = 8e3
"""for the cure: between the maker's 7.3 and 10.8 kHz"""
PASSED_HZ = (200.0, 2000.0)
FAINT_DB = -80.0


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip the input jack is heard by."""
    for chip in chips(survey):
        if survey.circuit.input is not None and chip.uses("15"):
            gain = from_jack(survey, chip.part.net("15"))
            frequency = survey.band.frequency_hz
            passed = (frequency >= PASSED_HZ[0]) & (frequency <= PASSED_HZ[1])
            most = float(20 * np.log10(max(np.abs(gain[passed]).max(), 1e-12)))
            fall = most - level_db(survey, gain, ABOVE_HZ)
            if most > FAINT_DB and fall < LEAST_FALL_DB:
                yield _finding(survey, chip, fall)


def _finding(survey: Survey, chip: Chip, fall: float) -> Finding:
    across = chip.between("15", "16", "R")
    cure = "Give the amplifier between pins 15 and 16 a low-pass of 3 to 10 kHz."
    if across:
        size = nearest_by_ratio(1 / (2 * pi * across[0].value * CORNER_HZ), Series.E12)
        cure = (
            f"Put {farads(size)} across {across[0].ref}, from pin 15 to pin 16: treble falls from 8 kHz on."
        )
    return Finding(
        parts=(chip.ref,),
        what=(
            f"Nothing takes the highest treble away before the coder of {chip.ref}: 30 kHz arrives only "
            f"{max(fall, 0.0):.1f} dB below the middle."
        ),
        evidence=(Evidence(name="fall from the middle to 30 kHz", value=fall, unit="dB", low=LEAST_FALL_DB),),
        cure=cure,
    )


PLAIN = echo(
    (ECHO[ECHO.index("IN > C8") : ECHO.index("U1.12 > R5")], "IN > C8 1u > R2 22k > U1.16 > R4 22k > U1.15\n")
)

RULE = Rule(
    code="E13",
    name="input-filter",
    title="The coder gets treble it cannot follow",
    gravity=Gravity.POOR,
    why=(
        "The coder follows a limited slope and takes one bit at a time. Treble above its reach, and what "
        "radio or clock comes with it, is not left out but folded down and heard as grit in the echo."
    ),
    source=f"{SHEET}: input filters of 9.7 and 11 kHz in its two circuits; limits: house rule",
    look=look,
    speaks=(Trial(text=PLAIN, blames=("U1",), says="30 kHz"),),
    quiet=(Trial(text=echo()), Trial(text=PLAIN + "U1.16 > C10 1n > U1.15\n")),
)
