"""Every rating of every part while the pedal works as it should: how much of it is used."""

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.ranges import healthy
from pedalwright.analysis.power.records import Strain
from pedalwright.analysis.power.straining import Measure, measures
from pedalwright.analysis.power.wording import part_says


def ratings(analysis: Analysis) -> tuple[Strain, ...]:
    """What each part sees against what it stands, over the supply's range, the hardest used first.

    Empty without a supply, or where the circuit is not certified over that range. `at_v` is always None.
    """
    tried = healthy(analysis)
    if tried is None or not tried.ok.all():
        return ()
    found = [_strain(analysis, one) for one in measures(analysis, tried)]
    return tuple(sorted(found, key=lambda one: -one.factor))


def _strain(analysis: Analysis, measure: Measure) -> Strain:
    worst = int(np.argmax(measure.factors))
    return Strain(
        ref=measure.part.ref,
        says=part_says(analysis, measure.part.ref),
        rating=measure.rating,
        unit=measure.unit,
        value=float(measure.values[worst]),
        limit=measure.limit,
        factor=float(measure.factors[worst]),
        source=measure.source,
        blows=measure.blows,
    )
