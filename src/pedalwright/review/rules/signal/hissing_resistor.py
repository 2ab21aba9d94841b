"""A large resistor in the first stage that hisses louder than the guitar."""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import from_source, op_amps, place
from pedalwright.review.rules.signal._trials import FOLLOWERS, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import named, ohms

FOUR_KT = 4 * 1.380649e-23 * 300.15
"""thermal noise of a resistor [V^2/Hz/ohm] at room temperature (Nyquist 1928; SI value of k)"""
QUIET_OHMS = 390e3
"""thermal noise of so much in series with the guitar is 11 uV in 20 kHz, 80 dB below 0.1 V (Nyquist 1928;
80 dB is a house rule)"""
SOURCES = 4.0
"""resistors that hiss less than so many times the source's own resistance are not to blame (house rule)"""
AIM_OHMS = 220e3
HALF = 0.5
"""an amplifier that gets less than this is not the first, or stands behind a knob that is turned down"""


def look(survey: Survey) -> Iterable[Finding]:
    """The resistance whose noise at the jack equals that of all resistors up to the quietest amplifier."""
    worst = [
        (_equivalent(survey, amplifier.output), amplifier.output)
        for amplifier, _ in op_amps(survey)
        if _is_fed(survey, amplifier)
    ]
    known = [(total, net, ref) for (total, ref), net in worst if total is not None]
    if not known:
        return
    total, net, ref = min(known)
    port = survey.circuit.input
    own = port.ohms if port is not None and port.source == "custom" else 0.0
    if total <= max(QUIET_OHMS, SOURCES * own) or not ref:
        return
    less = total / AIM_OHMS
    hiss = float(np.sqrt(FOUR_KT * total))
    yield Finding(
        parts=(ref,),
        nets=(net,),
        what=(
            f"The resistors of the first stage hiss like {ohms(total)} in series with the guitar, most of it "
            f"from {named(survey.bench, ref)}."
        ),
        evidence=(
            Evidence(
                name="thermal noise at the input as a resistance",
                value=total,
                unit="ohm",
                high=QUIET_OHMS,
                basis=f"at 1 kHz, {hiss * 1e9:.0f} nV per root hertz; the source's own is left out",
            ),
        ),
        cure=(
            f"Divide {ref} and the resistors that set the gain with it by {less:.2g}, or put a follower "
            "before them."
        ),
    )


def _is_fed(survey: Survey, amplifier: ClippingAmplifier) -> bool:
    """Nothing before it takes the signal down: no knob turned low stands before its non-inverting input."""
    if survey.classes.is_still(survey.view.joined[amplifier.non_inverting]):
        return True
    at = place(survey.band, 1e3)
    return bool(abs(from_source(survey)[at, survey.band.row(amplifier.non_inverting)]) >= HALF)


def _equivalent(survey: Survey, net: str) -> tuple[float | None, str]:
    """Noise at a net over gain from the source, as a resistance, and the part that brings most of it."""
    band, at = survey.band, place(survey.band, 1e3)
    gain = abs(from_source(survey)[at, band.row(net)])
    if gain < HALF:
        return None, ""
    shares = {
        part.ref: _through(survey, part.ref, net, at) ** 2 / (part.value or 1.0) / gain**2
        for part in survey.parts_of("resistor")
        if part.ref in survey.small.names and (part.value or 0.0) > 0
    }
    if not shares:
        return None, ""
    return float(sum(shares.values())), max(shares, key=lambda ref: shares[ref])


def _through(survey: Survey, ref: str, net: str, at: int) -> float:
    """Volts at a net for one ampere across a resistor."""
    small, band = survey.small, survey.band
    spot = small.element(ref)
    plus, minus = small.stamps.row_plus[spot], small.stamps.row_minus[spot]
    row = band.row(net)
    return float(abs(band.table[at, row, plus] - band.table[at, row, minus]))


INVERTING = """
U1a.non > VB
IN > R1 2M2 > gnd
IN > C1 100n (film) > R3 {ohms} > U1a.inv > R4 {ohms} > U1a.out
"""
AFTER = "U1a.out > U1b.non\nU1b.out > U1b.inv\n"
RULE = Rule(
    code="L16",
    name="hissing-resistor",
    title="Resistors at the input hiss",
    gravity=Gravity.NOTE,
    why=(
        "Every resistor hisses by the warmth of its electrons, the more the larger it is. In front of the "
        "gain it counts as if it were in the guitar: an inverting stage with a megohm in its way is never "
        "quiet."
    ),
    source="Nyquist 1928: 4 k T R per hertz; the limit is a house rule",
    look=look,
    speaks=(Trial(text=pedal(AFTER, front=INVERTING.format(ohms="1M")), blames=("R4",)),),
    quiet=(
        Trial(text=pedal(AFTER, front=INVERTING.format(ohms="100k"))),
        Trial(text=pedal(FOLLOWERS)),
    ),
)
