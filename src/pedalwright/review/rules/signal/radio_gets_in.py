"""A high-gain input that hears radio."""

from collections.abc import Iterable
from math import pi

import numpy as np

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import db, from_source, input_net, place
from pedalwright.review.rules.signal._trials import gain_of, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import farads, hz, ohms
from pedalwright.units.preferred import Series, nearest_by_ratio

MUCH_DB = 36.0
"""gain from which radio in a cable becomes loud enough to hear (house rule)"""
LEAST_OHMS, LEAST_FARADS = 470.0, 10e-12
"""what begins to keep radio out: in series with the input, and across it (common practice, no source)"""
SERIES_OHMS, CORNER_HZ = 1e3, 1e6
"""the cure: small beside any input, and a corner between hearing and broadcasting (common practice, no
source)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Amplifiers and transistors straight on the input's coupling capacitor, with much gain behind them."""
    if survey.circuit.input is None:
        return
    net = input_net(survey)
    band = survey.band
    most = float(np.max(np.abs(from_source(survey)[place(band, 1e3), : survey.small.system.node_count])))
    if db(most) < MUCH_DB:
        return
    bare = _bare(survey, survey.view.joined[net])
    if not bare:
        return
    value = nearest_by_ratio(1 / (2 * pi * SERIES_OHMS * CORNER_HZ), Series.E6)
    corner = 1 / (2 * pi * SERIES_OHMS * value)
    yield Finding(
        parts=bare,
        nets=(net,),
        what=f"The input goes straight to {bare[0]}, with {db(most):.0f} dB of gain: it may hear radio.",
        evidence=(
            Evidence(
                name="gain from the input",
                value=db(most),
                unit="dB",
                high=MUCH_DB,
                basis="1 kHz, to the loudest net, as if nothing clipped, knobs as they stand",
            ),
        ),
        cure=(
            f"Put {ohms(SERIES_OHMS)} in series with the input and {farads(value)} from behind it to ground: "
            f"a corner at {hz(corner)}."
        ),
    )


def _bare(survey: Survey, start: str) -> tuple[str, ...]:
    """Controls reached from the jack through capacitors and small resistors alone; none where a capacitor to
    ground, or back from the output, is on the way.
    """
    view, seen, pending = survey.view, {start}, [start]
    found: list[str] = []
    while pending:
        here = pending.pop()
        for leaf in view.on(here):
            far = leaf.other(here)
            stops = survey.classes.is_still(far) or _is_driven(survey, far)
            if leaf.sort == "C" and leaf.value >= LEAST_FARADS and stops:
                return ()
            passes = leaf.sort == "C" or (leaf.sort == "R" and leaf.value < LEAST_OHMS)
            if passes and far not in seen and not stops:
                seen.add(far)
                pending.append(far)
        found += [one.part.ref for one in view.amplifiers if one.non == here]
        found += [one.ref for one in view.transistors if one.control == here]
    return tuple(dict.fromkeys(found))


def _is_driven(survey: Survey, net: str) -> bool:
    """An amplifier's output, a collector or a drain."""
    view = survey.view
    return any(one.out == net for one in view.amplifiers) or any(one.top == net for one in view.transistors)


FILTERED = "IN > R1 1M > gnd\nIN > R6 1k > C1 22n (film) > U1a.non > R2 1M > VB\n"
RULE = Rule(
    code="L14",
    name="radio-gets-in",
    title="Nothing keeps radio out of a high-gain input",
    gravity=Gravity.NOTE,
    why=(
        "A guitar cable is an aerial. What it catches is far above hearing, but the first junction makes "
        "sound of it, and much gain makes that loud. A resistor and a few picofarads keep it out and cost "
        "nothing."
    ),
    source="common practice, no source; the limit is a house rule",
    look=look,
    speaks=(Trial(text=pedal(gain_of("1M")), blames=("U1",)),),
    quiet=(
        Trial(text=pedal(gain_of("1M"), front=FILTERED)),
        Trial(text=pedal(gain_of("100k"))),
    ),
)
