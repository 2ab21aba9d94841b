"""Every build of a circuit made linear around its own rest point, ready to be driven."""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.voltages.population import Population
from pedalwright.analysis.voltages.spreads import Draws
from pedalwright.circuit.primitives import Capacitance
from pedalwright.echo.tolerance import tolerance_of
from pedalwright.solve.arrays import FloatArray
from pedalwright.solve.equations import Aid, equations
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.rest import ROOM_K
from pedalwright.solve.system import System
from pedalwright.solve.variants import Variants


def capacitances(analysis: Analysis, draws: Draws) -> Mapping[str, FloatArray]:
    """The capacitors of every build [farad], each evenly within its tolerance: at rest they do not count, so
    they are not among the values that resting voltages draw.
    """
    parts, found = analysis.circuit.by_ref, {}
    for one in analysis.primitives:
        if isinstance(one, Capacitance) and one.name == one.owner and one.owner in parts:
            share = tolerance_of(parts[one.owner])
            if share:
                found[one.name] = one.farads * draws.share(one.name, share)
    return found


@dataclass(frozen=True, kw_only=True, eq=False)
class Builds:
    """Builds solved at rest, `people`, with all their values, `changes` by name (builds,)."""

    people: Population
    changes: Mapping[str, FloatArray]

    @property
    def count(self) -> int:
        """How many builds."""
        return self.people.versions.count

    def linear(self, small: SmallSignal, chosen: slice) -> Variants:
        """Some of the builds made linear: of the circuit itself, or of one that differs from it by what
        drives it, whose rest point is the same.
        """
        system, x = small.system, _on(small.system, self.people, chosen)
        changes = {name: array[chosen] for name, array in self.changes.items()}
        batch = equations(system, _named(changes, _of_rest(system), small, len(x)), ROOM_K)
        with np.errstate(all="ignore"):
            _, slopes = batch.evaluate(x, batch.controls(x), Aid())
        plain = small.changed(_named(changes, frozenset(small.names), small, len(x)))
        return replace(plain, g=slopes - system.rest_g + system.signal_g)


def _named(
    changes: Mapping[str, FloatArray], known: frozenset[str], small: SmallSignal, count: int
) -> Mapping[str, FloatArray]:
    """The changes of known names; never none, for they tell how many builds there are."""
    found = {name: array for name, array in changes.items() if name in known}
    return found or {small.names[0]: np.full(count, small.values[0])}


def _of_rest(system: System) -> frozenset[str]:
    laws = (f"{name}.{key}" for bank in system.banks for name in bank.names for key in bank.parameters)
    return frozenset((*system.names, *laws))


def _on(system: System, people: Population, chosen: slice) -> FloatArray:
    """The unknowns of a population as those of a system with the same nets."""
    if system is people.system:
        return people.x[chosen]
    x = np.zeros((len(people.x[chosen]), system.size + 1))
    for net, row in system.rows.items():
        x[:, row] = people.x[chosen, people.system.row(net)]
    x[:, system.size] = 0.0
    return x
