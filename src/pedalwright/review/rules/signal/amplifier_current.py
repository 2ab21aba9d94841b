"""An operational amplifier asked for more current than it gives."""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import ladder, op_amps, place
from pedalwright.review.rules.signal._opamp_current import limit_of
from pedalwright.review.rules.signal._trials import FOLLOWERS, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.wording import ohms, volts
from pedalwright.units.preferred import Series, step
from pedalwright.units.values import print_value

LOWEST_HZ, HIGHEST_HZ = 80.0, 5000.0
"""a guitar's fundamentals and most of its overtones (common practice, no source)"""


def look(survey: Survey) -> Iterable[Finding]:
    """The peak current into everything on the output, at the swing that hard playing asks for."""
    swings = {survey.band.row(rung.net): min(rung.limit_v, rung.peaks_v[1]) for rung in ladder(survey)}
    for amplifier, part in op_amps(survey):
        swing = swings.get(survey.band.row(amplifier.output))
        if swing is None:
            continue
        limit, source = limit_of(part.type)
        peak = swing * _per_volt(survey, amplifier)
        if peak > limit:
            yield _finding(survey, amplifier, part, swing, peak, (limit, source))


def _per_volt(survey: Survey, amplifier: ClippingAmplifier) -> float:
    """Amperes out of the amplifier for one volt at its output, the most over the band."""
    band = survey.band
    places = slice(place(band, LOWEST_HZ), place(band, HIGHEST_HZ) + 1)
    column = exciting_column(band, amplifier.output)
    moved = band.table[places, :, column]
    volts_there = moved[:, band.row(amplifier.output)]
    amperes = moved[:, band.small.system.branches[amplifier.name]]
    return float(np.max(np.abs(amperes) / np.maximum(np.abs(volts_there), 1e-12)))


def _finding(
    survey: Survey,
    amplifier: ClippingAmplifier,
    part: Part,
    swing: float,
    peak: float,
    known: tuple[float, str],
) -> Finding:
    limit, source = known
    least = step(swing / limit, Series.E12, 1)
    return Finding(
        parts=(part.ref,),
        nets=(amplifier.output,),
        what=(
            f"{amplifier.owner} has to give {print_value(peak, 'A')} at peaks of {volts(swing)}; a "
            f"{part.type or 'part like it'} gives about {print_value(limit, 'A')}."
        ),
        evidence=(
            Evidence(name="peak output current", value=peak, unit="A", high=limit, basis=source),
            Evidence(name="load it amounts to", value=swing / peak, unit="ohm"),
        ),
        cure=f"Let it see {ohms(least)} or more, or take a part that drives such a load.",
    )


LOADED = "U1b.out > C9 47u (electrolytic, 16V) > OUT > R9 {load} > gnd\n"
RULE = Rule(
    code="L07",
    name="amplifier-current",
    title="An amplifier is asked for more current than it gives",
    gravity=Gravity.POOR,
    why=(
        "An operational amplifier reaches its full swing only into a light load. Into a few hundred ohms its "
        "current limit cuts the peaks long before the supply does."
    ),
    source="data sheets where the finding says so, else from memory",
    look=look,
    speaks=(Trial(text=pedal(FOLLOWERS, back=LOADED.format(load="68")), blames=("U1",)),),
    quiet=(
        Trial(text=pedal(FOLLOWERS, back=LOADED.format(load="2k2"))),
        Trial(text=pedal(FOLLOWERS, chip="NE5532", back=LOADED.format(load="68"))),
    ),
)
