"""How the small-signal figures of transistors and diodes move when a part's change moves the resting
voltages.
"""

from collections.abc import Iterable, Mapping

import numpy as np

from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.rest import OperatingPoints

MOVES = 1e-4
"""relative change of a small-signal figure that is worth carrying"""


def moved_parameters(small: SmallSignal, rests: OperatingPoints) -> tuple[Mapping[str, float], ...]:
    """For every variant the small-signal figures (``Q1/gm`` ...) that differ from those at the nominal rest
    point.

    Variants whose rest point is not certified get no entry: their signal figures are not known either.
    """
    found: tuple[dict[str, float], ...] = tuple({} for _ in range(len(rests.x)))
    with np.errstate(all="ignore"):
        for name, values in _figures(rests):
            if name not in small.names:
                continue
            nominal = small.parameter(name)
            for place in np.flatnonzero(np.abs(values - nominal) > MOVES * abs(nominal)):
                if rests.ok[place]:
                    found[int(place)][name] = float(values[place])
    return found


def _figures(rests: OperatingPoints) -> Iterable[tuple[str, np.ndarray]]:
    """Every conductance-like figure of every nonlinear part, over the variants."""
    for bank in rests.system.banks:
        terms = [term for term in bank.law.small if not term.inverse and term.suffix != "supply"]
        if not terms:
            continue
        _, slopes = bank.law.evaluate(bank.controls(rests.x), bank.parameters, rests.conditions)
        for term in terms:
            values = np.asarray(term.value(slopes))
            for place, name in enumerate(bank.names):
                yield f"{name}/{term.suffix}", values[:, place]
