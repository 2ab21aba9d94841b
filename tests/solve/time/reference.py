"""A slow and exact second opinion on circuits in time: their full equations given to scipy's Radau.

Written apart from the engine: other states (see `reference_layout`), other laws in code (`reference_laws`),
other integration. Radau IIA of fifth order with error control: Hairer and Wanner, Solving Ordinary
Differential Equations II (1996), section IV.8. What follows from the states at once is found by Newton's
method inside the right-hand side.

The amplifier's law in time: (1/(2 pi GBW)) dv_out/dt = e_s tanh((v+ - v- - (S/A) atanh z)/e_s), e_s being
slew over 2 pi GBW, infinite where no slew is given.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
from scipy.integrate import solve_ivp

from pedalwright.circuit.primitives import ClippingAmplifier, Primitive
from pedalwright.solve.equations import thermal_voltage
from pedalwright.solve.rest import ROOM_K, OperatingPoint
from tests.solve.time.reference_laws import Floats
from tests.solve.time.reference_layout import Layout, Refused

__all__ = ["Circuit", "Refused", "Run", "Tolerances", "Waveform"]

Waveform = Callable[[float], float]
"""volts (or amperes) of a source at a time [s], in place of its direct value"""
NEWTON_ROUNDS = 40
SETTLED = 1e-9
"""a Newton step below this (relative, and in volts) leaves an error of the order of its square"""
ROUNDING = 2.0 * float(np.finfo(float).eps)
"""residuals below this part of the sum of their terms are nothing but rounding"""
LARGEST_STEP_V = 0.5
SMALLEST_SHARE = 1e-6
TRIAL_PATIENCE = 25


@dataclass(frozen=True, slots=True)
class Tolerances:
    """Of the integration, each step: relative, and absolute in volts and amperes.

    Ten times tighter moves the results of the package circuits by less than 2e-8 of their swing. Far tighter
    and the steps drown in the rounding of currents through junctions that do not conduct.
    """

    relative: float = 1e-8
    absolute: float = 1e-9


USUAL = Tolerances()


@dataclass(frozen=True, kw_only=True, eq=False)
class Run:
    """What was found: `volts` (moments, outputs), the `states` at the end, and how often rates were asked."""

    times_s: Floats
    volts: Floats
    states: Floats
    evaluations: int


@dataclass
class _Last:
    """The last solution of what follows at once, where the next search starts."""

    y: Floats
    z: Floats
    d: Floats
    evaluations: int = field(default=0)


class Circuit:
    """A circuit ready to be integrated. Raises Refused for what is not of index one by its structure."""

    def __init__(self, primitives: Sequence[Primitive], temperature_k: float = ROOM_K) -> None:
        self.layout = layout = Layout(primitives)
        self.thermal_v = thermal_voltage(temperature_k)
        self.direct = np.array([*(p.dc_v for p in layout.sources), *(p.dc_a for p in layout.pumps)])
        self._shape()

    def _shape(self) -> None:
        """unknowns = a states + b followers + d drives; rates = rate equations; 0 = follow equations."""
        lay = self.layout
        coils = slice(lay.nets, lay.nets + len(lay.inductors))
        regulators = slice(coils.stop, lay.unknowns)
        amplifiers = slice(lay.unknowns, lay.equations)
        sources = len(lay.sources)
        poles = 2.0 * np.pi * np.array([_pole_hz(part) for part in lay.amplifiers])
        moving, still = np.isfinite(poles), ~np.isfinite(poles)
        island, held = lay.islands
        charged, free = (island @ part for part in lay.clusters)
        charge = np.asarray(
            np.linalg.solve(charged.T @ lay.farads @ charged, charged.T @ lay.farads), dtype=np.float64
        )
        # States are charges as volts; what the held voltages put into them is taken off again.
        held = held - charged @ charge @ held
        every, rows = np.eye(lay.unknowns), np.eye(lay.equations)
        self.a = np.hstack([_tall(charged, lay), every[:, coils], _tall(held[:, sources:][:, moving], lay)])
        self.b = np.hstack([_tall(free, lay), every[:, regulators], _tall(held[:, sources:][:, still], lay)])
        self.d = np.hstack([_tall(held[:, :sources], lay), np.zeros((lay.unknowns, len(lay.pumps)))])
        solved = np.linalg.solve(charged.T @ lay.farads @ charged, charged.T @ rows[: lay.nets])
        henries = np.array([part.henries for part in lay.inductors])
        moves = rows[amplifiers][moving] * poles[moving][:, None]
        self.rate = np.vstack([-solved, rows[coils] / henries[:, None], moves])
        self.follow = np.vstack([free.T @ rows[: lay.nets], rows[regulators], rows[amplifiers][still]])
        self.sizes = np.abs(self.follow) @ np.abs(lay.linear)
        outputs = [lay.between(part.output, "gnd") for part in lay.amplifiers]
        tops = np.array(outputs).reshape(-1, lay.unknowns)[moving]
        self.entry = np.vstack([_tall(charge.T, lay).T, every[coils], tops])

    @property
    def size(self) -> int:
        """How many states."""
        return int(self.a.shape[1])

    def drives(self, waveforms: Mapping[str, Waveform], t: float) -> Floats:
        """Volts and amperes of all sources at a time."""
        found = self.direct.copy()
        for place, part in enumerate([*self.layout.sources, *self.layout.pumps]):
            if part.name in waveforms:
                found[place] = waveforms[part.name](t)
        return found

    def equations(self, x: Floats, d: Floats) -> tuple[Floats, Floats]:
        """The equations' left sides (equations,) at unknowns and drives, and the slopes against unknowns."""
        lay = self.layout
        found = lay.linear @ x + lay.pumped @ d[len(lay.sources) :]
        slopes = lay.linear.copy()
        for bank in lay.nonlinear:
            controls = (bank.controls @ x).reshape(-1, len(bank.law.controls))
            outputs, g = bank.law.evaluate(controls, bank.figures, self.thermal_v)
            found += bank.outputs @ outputs.ravel()
            pushed = np.einsum("epo,poc->epc", bank.outputs.reshape(lay.equations, *outputs.shape), g)
            slopes += pushed.reshape(lay.equations, -1) @ bank.controls
        return found, slopes

    def unknowns(self, z: Floats, y: Floats, d: Floats) -> Floats:
        """Net voltages and branch currents of states, followers and drives."""
        return np.asarray(self.a @ z + self.b @ y + self.d @ d)

    def states_of(self, rest: OperatingPoint) -> Floats:
        """The states (size,) of a certified rest point. Raises NotCertified."""
        x = np.zeros(self.layout.unknowns)
        for net, place in self.layout.place.items():
            if place:
                x[place - 1] = rest.volts(net)
        for row, part in enumerate(self.layout.inductors, start=self.layout.nets):
            x[row] = rest.amperes(part.name)
        return np.asarray(self.entry @ x)

    def nothing(self) -> _Last:
        """The dead circuit: no charge, no drive, no voltage anywhere."""
        return _Last(y=np.zeros(self.b.shape[1]), z=np.zeros(self.size), d=np.zeros(len(self.direct)))

    def _newton(self, z: Floats, y: Floats, d: Floats) -> Floats | None:
        """The followers by Newton's method from `y`; None when it does not settle.

        A net between two junctions that do not conduct stands where rounding puts it; there only the current
        law can tell when to stop.
        """
        for _ in range(NEWTON_ROUNDS):
            x = self.unknowns(z, y, d)
            found, slopes = self.equations(x, d)
            left = self.follow @ found
            if (np.abs(left) <= ROUNDING * (self.sizes @ np.abs(x))).all():
                return y
            try:
                step = np.linalg.solve(self.follow @ slopes @ self.b, left)
            except np.linalg.LinAlgError:
                return None
            largest = float(np.abs(step).max(initial=0.0))
            if not np.isfinite(largest):
                return None
            y = y - step * min(1.0, LARGEST_STEP_V / max(largest, LARGEST_STEP_V))
            if largest <= SETTLED * (1.0 + float(np.abs(y).max(initial=0.0))):
                return y
        return None

    def followers(self, z: Floats, d: Floats, last: _Last, patience: int = 1000) -> Floats:
        """The followers, led from the last known place in as many parts as it takes, `patience` at most."""
        last.evaluations += 1
        if not len(last.y):
            return last.y
        done, share, y = 0.0, 1.0, last.y
        while done < 1.0:
            patience -= 1
            to = min(1.0, done + share)
            new = self._newton(last.z + to * (z - last.z), y, last.d + to * (d - last.d))
            if new is None:
                share *= 0.25
                if share < SMALLEST_SHARE or patience <= 0:
                    raise Refused("what follows from the states at once could not be found")
            else:
                done, y, share = to, new, 2.0 * share
        last.y, last.z, last.d = y, z.copy(), d.copy()
        return y

    def rates(self, z: Floats, d: Floats, last: _Last, patience: int = 1000) -> Floats:
        """dz/dt."""
        y = self.followers(z, d, last, patience)
        found, _ = self.equations(self.unknowns(z, y, d), d)
        return np.asarray(self.rate @ found)

    def slopes(self, z: Floats, d: Floats, last: _Last) -> Floats:
        """d(dz/dt)/dz (states, states), the followers moving along."""
        y = self.followers(z, d, last)
        _, slopes = self.equations(self.unknowns(z, y, d), d)
        try:
            moved = np.linalg.solve(self.follow @ slopes @ self.b, self.follow @ slopes @ self.a)
        except np.linalg.LinAlgError as singular:
            raise Refused("some voltages follow from nothing") from singular
        return np.asarray(self.rate @ slopes @ (self.a - self.b @ moved))

    def run(
        self,
        start: Floats,
        waveforms: Mapping[str, Waveform],
        times_s: Floats,
        outputs: Sequence[str],
        *,
        breaks_s: Sequence[float] = (),
        tolerances: Tolerances = USUAL,
    ) -> Run:
        """Integrate from the states `start` at the first of `times_s` to the last.

        `breaks_s` are moments at which a waveform jumps or has a corner; on the moment of a jump, what is
        told is from before it. Raises Refused when Radau gives up.
        """
        last, volts = self.nothing(), np.zeros((len(times_s), len(outputs)))
        found = Run(times_s=times_s, volts=volts, states=start, evaluations=0)
        inner = sorted(b for b in breaks_s if times_s[0] < b < times_s[-1])
        for begin, end in pairwise([float(times_s[0]), *inner, float(times_s[-1])]):
            found = self._stretch(found, waveforms, outputs, (begin, end), tolerances, last)
        return replace(found, evaluations=last.evaluations)

    def _stretch(
        self,
        before: Run,
        waveforms: Mapping[str, Waveform],
        outputs: Sequence[str],
        span: tuple[float, float],
        tolerances: Tolerances,
        last: _Last,
    ) -> Run:
        """One stretch without jumps, told into the volts of `before`."""
        inset = 1e-12 * (span[1] - span[0])

        def driven(t: float) -> Floats:
            return self.drives(waveforms, min(max(t, span[0] + inset), span[1] - inset))

        def rates(t: float, z: Floats) -> Floats:
            # A trial step too long leads where nothing can be found; told so, Radau tries a shorter one.
            try:
                return self.rates(z, driven(t), last, TRIAL_PATIENCE)
            except Refused:
                return np.full(self.size, np.nan)

        self.rates(before.states, driven(span[0]), last)
        inside = np.flatnonzero((before.times_s > span[0]) & (before.times_s <= span[1]))
        if span[0] == before.times_s[0]:
            inside = np.append(0, inside)
        moments = np.unique(np.append(before.times_s[inside], span[1]))
        found = solve_ivp(
            rates,
            span,
            before.states,
            method="Radau",
            jac=lambda t, z: self.slopes(z, driven(t), last),
            t_eval=moments,
            rtol=tolerances.relative,
            atol=tolerances.absolute,
        )
        if not found.success:
            raise Refused(found.message)
        rows = np.array([self.layout.between(net, "gnd") for net in outputs])
        for place in inside:
            t = before.times_s[place]
            z, d = found.y[:, np.searchsorted(moments, t)], driven(t)
            before.volts[place] = rows @ self.unknowns(z, self.followers(z, d, last), d)
        return replace(before, states=found.y[:, -1])


def _pole_hz(part: ClippingAmplifier) -> float:
    """The gain-bandwidth product, infinite for an amplifier that answers at once."""
    return np.inf if part.ideal or part.gain_bandwidth_hz is None else part.gain_bandwidth_hz


def _tall(upper: Floats, layout: Layout) -> Floats:
    """Columns of net voltages (nets, n) as columns of all unknowns (unknowns, n)."""
    return np.vstack([upper, np.zeros((layout.unknowns - layout.nets, upper.shape[1]))])
