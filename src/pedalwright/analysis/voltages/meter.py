"""What a meter's own resistance does to the voltage it reads, node by node.

A linear circuit with a resistance hung on one node reads V Rm/(Rm + Rt), where Rt, the resistance it sees, is
that node's diagonal element of the inverse of the Jacobian (Thevenin's theorem). For a circuit that is not
linear this holds only while the load moves little: every node is therefore solved with the meter on it once,
in the circuit as written, and where the theorem is off by more than is worth telling, in every build.
"""

from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.voltages.population import BRIEF, Population, Versions, solve
from pedalwright.solve.arrays import FloatArray, IndexArray

METER_OHMS = 10e6
WORTH_V = 2e-4
"""a load that moves a node by less is left out"""
MOST_SOLVED = 8
"""rows that are solved with the meter in every version, at most"""
OFF_V, OFF_SHARE = 1e-3, 1e-3
"""how far Thevenin's theorem may be from the solved circuit before every build is solved with the meter"""


@dataclass(frozen=True, kw_only=True, eq=False)
class Metered:
    """`x` (count, size + 1): what a meter reads in every version, node by node; `solved` names the rows that
    were solved with the meter in every version because the theorem did not hold, `doubtful` those where it
    does not hold either but there were too many.
    """

    x: FloatArray
    solved: tuple[int, ...] = ()
    doubtful: tuple[int, ...] = ()


def read_by_meter(people: Population, meter_ohms: float, *, everywhere: bool = False) -> Metered:
    """The readings of all nodes. `meter_ohms` must be above zero; infinite for a meter that takes nothing.

    `everywhere` loads every node in every version by the theorem alone: for versions that differ so much that
    the first says nothing of the others.
    """
    system = people.system
    if not np.isfinite(meter_ohms) or not system.node_count:
        return Metered(x=people.x)
    siemens = 1.0 / meter_ohms
    firm = np.flatnonzero(system.firm[: system.node_count])
    if everywhere:
        return Metered(x=_by_theorem(people, firm, siemens))
    true_v = _first_loaded(people, firm, siemens)
    moved = firm[~(np.abs(true_v - people.x[0, firm]) <= WORTH_V)]
    if not len(moved):
        return Metered(x=people.x)
    x = _by_theorem(people, moved, siemens)
    truth = true_v[np.searchsorted(firm, moved)]
    off = np.abs(x[0, moved] - truth) > OFF_V + OFF_SHARE * np.abs(truth)
    bent = [int(row) for row in moved[off]]
    for row in bent[:MOST_SOLVED]:
        found = solve(system, people.versions.loaded(row, siemens), people.x[0], BRIEF)
        x[:, row] = np.where(found.ok, found.x[:, row], np.nan)
    return Metered(x=x, solved=tuple(bent[:MOST_SOLVED]), doubtful=tuple(bent[MOST_SOLVED:]))


def _by_theorem(people: Population, rows: IndexArray, siemens: float) -> FloatArray:
    x = people.x.copy()
    x[:, rows] /= 1.0 + siemens * _resistance_seen(people, rows)
    return x


def _first_loaded(people: Population, rows: IndexArray, siemens: float) -> FloatArray:
    """The first version solved anew with the meter on each row in turn (rows,) [V]; nan where that failed."""
    count, first = len(rows), people.versions.some(0, 1)
    across = [(v, a, b, s) for v in range(count) for _, a, b, s in first.across]
    versions = Versions(
        count=count,
        changes={name: np.repeat(array, count) for name, array in first.changes.items()},
        bias=None if first.bias is None else np.repeat(first.bias, count, axis=0),
        across=(*across, *((v, int(row), -1, siemens) for v, row in enumerate(rows))),
    )
    found = solve(people.system, versions, people.x[0], BRIEF)
    return np.where(found.ok, found.x[np.arange(count), rows], np.nan)


def _resistance_seen(people: Population, rows: IndexArray) -> FloatArray:
    """The resistance into each row (versions, rows) [ohm] with everything else attached; nan where a version
    has no inverse.
    """
    wanted = np.zeros((people.system.size, len(rows)))
    wanted[rows, np.arange(len(rows))] = 1.0
    pieces = [_answers(jacobian, wanted)[:, rows, np.arange(len(rows))] for _, jacobian in people.slopes]
    return np.asarray(np.maximum(np.concatenate(pieces), 0.0))


def _answers(jacobian: FloatArray, wanted: FloatArray) -> FloatArray:
    """The solutions (versions, size, rows); nan for a singular version."""
    with np.errstate(all="ignore"):
        try:
            return np.asarray(
                np.linalg.solve(jacobian, np.broadcast_to(wanted, (len(jacobian), *wanted.shape)))
            )
        except np.linalg.LinAlgError:
            return np.stack([_answer(one, wanted) for one in jacobian])


def _answer(jacobian: FloatArray, wanted: FloatArray) -> FloatArray:
    try:
        return np.asarray(np.linalg.solve(jacobian, wanted))
    except np.linalg.LinAlgError:
        return np.full_like(wanted, np.nan)
