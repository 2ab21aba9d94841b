"""How long resting voltages take after switch-on: the exact step response of the circuit made linear at rest.

At switch-on every capacitor is empty and every supply stands at once at its voltage. What then is missing of
the rest point decays by itself: with x the voltages at rest and d what is missing, G d + C d' = 0 and C d(0)
= -C x. The modes come from one real eigenproblem. Assumed: diodes, transistors, amplifiers and regulators
behave from the start as they do at rest; in life diodes let the first gulp in faster and amplifiers wait at
a rail, so a figure is good to some ten per cent. Modes that grow (oscillators) are left out.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.power.records import Settling
from pedalwright.circuit.primitives import VoltageSource
from pedalwright.solve.arrays import ComplexArray, FloatArray
from pedalwright.solve.linear import SmallSignal

SHIFTS = (1e2, 1e4, 1.0)
"""real shifts [1/s] at which the eigenproblem is tried, first one that is not singular"""
FASTEST = 1e-13
"""eigenvalues this much smaller than the largest belong to modes that are over at once"""
TRUSTED = 1e-6
"""the modes must add up to empty capacitors within this share of the largest voltage"""
EARLIEST_S, LATEST_S, POINTS = 1e-6, 1e4, 401
FADE_S = 0.4
"""an echo chip keeps still, then fades in, after power-on (maker's data sheet, page 4)"""
WORTH_V = 0.05
"""a resting voltage below this settles to nothing"""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Decay:
    """What is missing of the rest point: the sum over modes of `shapes` (size, modes) times exp(`rates` t).

    `growing` marks modes that do not die away (modes,); their share is left out.
    """

    rates: ComplexArray
    shapes: ComplexArray
    growing: FloatArray

    def missing(self, row: int, time_s: FloatArray) -> FloatArray:
        """What a net lacks at some times (times,) [V]."""
        kept = self.growing == 0.0
        waves = np.exp(np.outer(time_s, self.rates[kept]))
        return np.asarray((waves @ self.shapes[row, kept]).real)

    def stirred(self, row: int) -> float:
        """How much of the modes that grow reaches a net [V]."""
        return float(np.abs(self.shapes[row, self.growing > 0.0]).sum())


def decay_of(small: SmallSignal, rest_x: FloatArray) -> Decay | None:
    """The decay from empty capacitors to `rest_x` (size + 1,); None when the modes cannot be trusted."""
    columns = np.flatnonzero(np.abs(small.c).sum(axis=0) > 0.0)
    if not len(columns):
        return Decay(
            rates=np.zeros(0, complex), shapes=np.zeros((small.size, 0), complex), growing=np.zeros(0)
        )
    for shift in SHIFTS:
        try:
            solved = np.asarray(np.linalg.solve(small.g + shift * small.c, small.c[:, columns]), dtype=float)
            values, vectors = np.linalg.eig(solved[columns])
            weights = np.linalg.solve(vectors, rest_x[: small.size][columns].astype(complex))
        except np.linalg.LinAlgError:
            continue
        found = _decay(solved, values, vectors, weights, shift)
        if _adds_up(small, found, rest_x):
            return found
    return None


def _decay(
    solved: FloatArray, values: ComplexArray, vectors: ComplexArray, weights: ComplexArray, shift: float
) -> Decay:
    slow = np.abs(values) > FASTEST * np.abs(values).max(initial=0.0)
    kept = values[slow].astype(complex)
    shapes = -(solved @ vectors[:, slow]) / kept * weights[slow]
    rates = shift - 1.0 / kept
    return Decay(rates=rates, shapes=shapes, growing=(rates.real > 0.0).astype(float))


def _adds_up(small: SmallSignal, found: Decay, rest_x: FloatArray) -> bool:
    """Charges at the start are those of empty capacitors."""
    start = found.shapes.sum(axis=1).real
    left = small.c @ (start + rest_x[: small.size])
    # An ideal source fills at once what lies straight across it.
    left[[row for one in small.system.primitives if isinstance(one, VoltageSource)
          for row in (small.row(one.plus), small.row(one.minus)) if row < small.size]] = 0.0  # fmt: skip
    scale = np.abs(small.c) @ np.maximum(np.abs(rest_x[: small.size]), 1.0)
    return bool(np.isfinite(left).all() and np.all(np.abs(left) <= TRUSTED * np.maximum(scale, 1e-300)))


def settling(analysis: Analysis) -> tuple[Settling, ...]:
    """Rails, bias nets and chip references, the slowest first; empty without a supply or a certified rest
    point.
    """
    if analysis.small is None or not analysis.circuit.supplies:
        return ()
    decay = decay_of(analysis.small, analysis.rest.x)
    nets = [net for net in _nets(analysis) if abs(analysis.rest.volts(net)) > WORTH_V]
    found = [_settling(analysis, decay, net) for net in nets]
    return tuple(sorted(found, key=lambda one: -(one.within_1_s if one.within_1_s is not None else np.inf)))


def _nets(analysis: Analysis) -> Iterable[str]:
    """The nets that stand still, rails and bias, each once; supplies themselves are there at once."""
    classes, joined = analysis.bench.classes, analysis.view.joined
    supplies = {joined[one.net] for one in analysis.circuit.supplies if one.source != "battery"}
    still = [net for net in analysis.circuit.nets if net in classes.rails | classes.bias]
    return [net for net in still if net not in supplies]


def _settling(analysis: Analysis, decay: Decay | None, net: str) -> Settling:
    volts = analysis.rest.volts(net)
    row = analysis.system.row(net)
    known = decay is not None and decay.stirred(row) < 0.01 * abs(volts)
    return Settling(
        net=net,
        says=_says(analysis, net),
        volts=volts,
        within_5_s=within(decay, row, 0.05 * abs(volts)) if known and decay else None,
        within_1_s=within(decay, row, 0.01 * abs(volts)) if known and decay else None,
        fade_s=FADE_S if _is_reference(analysis, net) else None,
    )


def within(decay: Decay, row: int, allowed_v: float) -> float:
    """When a net last comes within `allowed_v` of its rest [s], to a part in a thousand; infinite when it
    never does before `LATEST_S`.
    """
    times = np.geomspace(EARLIEST_S, LATEST_S, POINTS)
    outside = np.flatnonzero(np.abs(decay.missing(row, times)) > allowed_v)
    if not len(outside):
        return 0.0
    last = int(outside[-1])
    if last == POINTS - 1:
        return float("inf")
    finer = np.linspace(times[last], times[last + 1], 61)
    beyond = np.flatnonzero(np.abs(decay.missing(row, finer)) > allowed_v)
    place = int(beyond[-1]) if len(beyond) else 0
    return float(finer[min(place + 1, len(finer) - 1)])


def _is_reference(analysis: Analysis, net: str) -> bool:
    view = analysis.view
    return any(view.net(part, "2") == net for part in view.parts_of("echo-chip"))


def _says(analysis: Analysis, net: str) -> str:
    chips = [part.ref for part in analysis.view.parts_of("echo-chip") if analysis.view.net(part, "2") == net]
    if chips:
        return f"reference of {' and '.join(chips)}"
    return "supply rail" if net in analysis.bench.classes.rails else "bias"
