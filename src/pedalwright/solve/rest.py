"""The rest point of a circuit: all direct voltages and currents, with a certificate, for one or many sets of
values.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.solve.arrays import BoolArray, FloatArray, frozen
from pedalwright.solve.balance import growing, tip_over
from pedalwright.solve.certificate import ERROR_BOUND, RESIDUAL_BOUND, Certificate, NotCertified
from pedalwright.solve.condition import condition_at
from pedalwright.solve.entry import Enters
from pedalwright.solve.equations import Equations, equations
from pedalwright.solve.ladder import COLD, WARM, Settings, Solved, climb, first_state
from pedalwright.solve.laws.law import Conditions
from pedalwright.solve.newton import State
from pedalwright.solve.reachable import BEYOND, beyond_sources
from pedalwright.solve.system import System

ROOM_K = 300.15
BATCH_NUMBERS = 4_000_000
"""how many matrix entries are worked on at once; keeps many variants of a large circuit within memory"""


USUAL = Settings()


@dataclass(frozen=True, kw_only=True, eq=False)
class OperatingPoint:
    """The rest point. `x` (size + 1,) holds voltages, then branch currents, then ground's zero: digits may be
    read only through `volts` and `amperes`, which raise NotCertified when the certificate is not `ok`.

    `floating` names the nets that no direct current can reach; their voltages mean nothing. `stays` is False
    when a circuit with amplifiers would leave this point by itself: it oscillates, or the point was never
    found again.
    """

    system: System
    x: FloatArray
    certificate: Certificate
    conditions: Conditions
    temperature_k: float
    stays: bool

    @property
    def floating(self) -> tuple[str, ...]:
        """The nets that no direct current can reach, tied to ground by 1e-12 S so that they have a voltage at
        all.
        """
        return self.system.floating

    def checked(self) -> "OperatingPoint":
        """Itself, when certified; raises NotCertified otherwise."""
        if not self.certificate.ok:
            raise NotCertified(self.certificate)
        return self

    def volts(self, net: str) -> float:
        """The voltage of a net against ground [V]. Raises NotCertified, or KeyError for an unknown net."""
        return float(self.checked().x[self.system.row(net)])

    @property
    def voltages(self) -> Mapping[str, float]:
        """The voltage of every net, ground included [V]. Raises NotCertified."""
        self.checked()
        return {net: float(self.x[row]) for net, row in self.system.rows.items()}

    def amperes(self, name: str) -> float:
        """The current of a primitive [A]: through a two-terminal part from its first net to its second,
        through a transistor from collector (drain) to emitter (source), out of an amplifier's or regulator's
        output.

        Raises NotCertified, or KeyError for an unknown name.
        """
        self.checked()
        return self._amperes[name]

    @cached_property
    def _amperes(self) -> Mapping[str, float]:
        system, x = self.system, self.x
        found = {name: _branch_current(system, name, x[row]) for name, row in system.branches.items()}
        weights = system.weights(system.values[None])[0]
        drops = x[system.stamps.column_plus] - x[system.stamps.column_minus]
        for place, name in enumerate(system.names):
            kind = system.kinds[place]
            if kind <= Enters.IN_G:
                found[name] = float(weights[place] * drops[place])
            elif name not in found:
                found[name] = float(system.values[place]) if kind == Enters.SOURCE else 0.0
        for bank in system.banks:
            i, _ = bank.law.evaluate(bank.controls(x[None]), bank.parameters, self.conditions)
            for place, name in enumerate(bank.names):
                found.setdefault(name, float(i[0, place, 0] * bank.polarity[place]))
        return found


def _branch_current(system: System, name: str, flowing_in: float) -> float:
    """A regulator's current already counts out of its output; an amplifier's counts into it and is turned
    round.
    """
    outward = {part.name for part in system.primitives if isinstance(part, ClippingAmplifier)}
    return float(-flowing_in if name in outward else flowing_in)


@dataclass(frozen=True, kw_only=True, eq=False)
class OperatingPoints:
    """The rest points of many variants. `x` (variants, size + 1), `ok` (variants,) says which are certified.

    `volts` gives nan where a variant is not certified; `methods` (variants,) says how each was reached.
    """

    system: System
    x: FloatArray
    residual_a: FloatArray
    correction: FloatArray
    methods: tuple[str, ...]
    iterations: int
    conditions: Conditions

    @cached_property
    def ok(self) -> BoolArray:
        """Which variants are certified: residual and last Newton step within the bounds, no device beyond its
        model.
        """
        fine: BoolArray = (self.residual_a <= RESIDUAL_BOUND) & (self.correction <= ERROR_BOUND)
        return fine & ~beyond_sources(self.system, self.x)

    def volts(self, net: str) -> FloatArray:
        """The voltages of a net (variants,) [V]; nan where not certified. KeyError for an unknown net."""
        return np.where(self.ok, self.x[:, self.system.row(net)], np.nan)


def operating_point(
    system: System, *, temperature_k: float = ROOM_K, settings: Settings = USUAL
) -> OperatingPoint:
    """The rest point of a circuit at a junction temperature [K]; always returns, the certificate says how
    well.
    """
    base = equations(system, {}, temperature_k)
    solved = climb(base, first_state(base), COLD, settings)
    direction = growing(base, solved.state.x) if solved.state.settled[0] else None
    if direction is not None:
        other = tip_over(base, solved, direction, settings)
        solved, direction = (solved, direction) if other is None else (other, None)
    return _point(base, solved, temperature_k, stays=direction is None)


def _point(base: Equations, solved: Solved, temperature_k: float, *, stays: bool) -> OperatingPoint:
    condition, bound = condition_at(base, solved.state.x)
    certificate = Certificate(
        residual_a=float(solved.residual_a[0]),
        condition=condition,
        iterations=solved.state.iterations,
        method=solved.methods[0],
        bound=bound,
        beyond=BEYOND if beyond_sources(base.system, solved.state.x)[0] else "",
    )
    return OperatingPoint(
        system=base.system,
        x=frozen(solved.state.x[0].copy()),
        certificate=certificate,
        conditions=base.conditions,
        temperature_k=temperature_k,
        stays=stays,
    )


def operating_points(
    system: System,
    changes: Mapping[str, FloatArray],
    *,
    nominal: OperatingPoint | None = None,
    temperature_k: float = ROOM_K,
    settings: Settings = USUAL,
) -> OperatingPoints:
    """The rest points of many variants: `changes` maps a linear value's name, or ``NAME.parameter`` of a
    nonlinear part (``Q1.forward_beta``), to an array (variants,) or one value for all.

    Starts from the `nominal` solution, which is found first when it is not given; a variant it does not lead
    to is solved from nothing. Raises KeyError for an unknown name, ValueError for arrays of unlike length.
    """
    first = nominal or operating_point(system, temperature_k=temperature_k, settings=settings)
    lengths = {len(np.atleast_1d(array)) for array in changes.values()} - {1}
    if len(lengths) > 1:
        raise ValueError(f"changes of unlike length: {sorted(lengths)}")
    count = max(lengths, default=1)
    wide = {name: np.broadcast_to(np.asarray(a, dtype=float), (count,)) for name, a in changes.items()}
    block = max(1, BATCH_NUMBERS // (system.size + 1) ** 2)
    pieces = []
    for at in range(0, count, block):
        some = {name: array[at : at + block] for name, array in wide.items()}
        batch = equations(system, some, temperature_k)
        pieces.append(climb(batch, _from(first, batch), (WARM, *COLD), settings))
    return OperatingPoints(
        system=system,
        x=frozen(np.concatenate([piece.state.x for piece in pieces])),
        residual_a=np.concatenate([piece.residual_a for piece in pieces]),
        correction=np.concatenate([piece.correction for piece in pieces]),
        methods=tuple(method for piece in pieces for method in piece.methods),
        iterations=sum(piece.state.iterations for piece in pieces),
        conditions=first.conditions,
    )


def _from(nominal: OperatingPoint, batch: Equations) -> State:
    """Every variant at the nominal point."""
    x = np.repeat(nominal.x[None], batch.count, axis=0)
    return State(x=x, w=batch.controls(x), settled=np.zeros(batch.count, dtype=bool))
