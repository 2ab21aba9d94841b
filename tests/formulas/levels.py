"""Complex frequencies, and responses in decibels."""

import math

from pedalwright.formulas import two_pole
from pedalwright.formulas._kinds import Phasor
from pedalwright.formulas.two_pole import TwoPole


def at(hertz: float) -> complex:
    return 2j * math.pi * hertz


def db(ratio: Phasor) -> float:
    return 20 * math.log10(abs(complex(ratio)))


def low_db(stage: TwoPole, hertz: float) -> float:
    return db(two_pole.low_pass_response(at(hertz), stage))


def high_db(stage: TwoPole, hertz: float) -> float:
    return db(two_pole.high_pass_response(at(hertz), stage))


def band_db(stage: TwoPole, hertz: float) -> float:
    return db(two_pole.band_pass_response(at(hertz), stage))
