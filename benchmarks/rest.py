"""How fast a thousand rest points of varied parts are, beside scipy.optimize.root on the same equations.
Prints only.

The circuit is a two-transistor fuzz pair, then an amplifier with diodes in its feedback, on 9 V. SciPy gets a
residual and an exact Jacobian, once written for this one circuit by hand, once through our own laws, and
starts from the nominal solution, as ours does.
"""

import statistics
import time
from collections.abc import Callable

import numpy as np
from scipy.optimize import root

from pedalwright.circuit.primitives import (
    BipolarTransistor,
    ClippingAmplifier,
    Junction,
    Primitive,
    Resistance,
    VoltageSource,
)
from pedalwright.solve.equations import Aid, equations, thermal_voltage
from pedalwright.solve.laws.exponential import LEAK_S
from pedalwright.solve.rest import ROOM_K, operating_point, operating_points
from pedalwright.solve.system import System, compile_system

POINTS = 1000
SPREAD = 0.2
VT = thermal_voltage(ROOM_K)
SATURATION_A, FORWARD, REVERSE = 1e-14, 150.0, 4.0
DIODE_A, EMISSION = 2.52e-9, 1.752
GAIN, HEADROOM_V, SUPPLY_V = 2e5, 1.5, 9.0
RESISTORS = {
    "R1": ("VA", "c1", 33e3),
    "R2": ("VA", "x2", 470.0),
    "R3": ("x2", "c2", 8.2e3),
    "R4": ("e2", "gnd", 1e3),
    "R5": ("e2", "b1", 100e3),
    "R6": ("VA", "VB", 10e3),
    "R7": ("VB", "gnd", 10e3),
    "R8": ("c2", "n", 470e3),
    "R9": ("n", "o", 220e3),
    "R10": ("o", "out", 1e3),
    "R11": ("out", "gnd", 100e3),
}


def circuit() -> list[Primitive]:
    parts: list[Primitive] = [VoltageSource(owner="V1", name="V1", plus="VA", minus="gnd", dc_v=SUPPLY_V)]
    parts += [
        Resistance(owner=name, name=name, a=a, b=b, ohms=ohms) for name, (a, b, ohms) in RESISTORS.items()
    ]
    for name, collector, base, emitter in (("Q1", "c1", "b1", "gnd"), ("Q2", "c2", "c1", "e2")):
        parts.append(
            BipolarTransistor(
                owner=name,
                name=name,
                collector=collector,
                base=base,
                emitter=emitter,
                polarity=1,
                saturation_a=SATURATION_A,
                forward_beta=FORWARD,
                reverse_beta=REVERSE,
            )
        )
    for name, anode, cathode in (("D1", "n", "o"), ("D2", "o", "n")):
        parts.append(
            Junction(
                owner=name, name=name, anode=anode, cathode=cathode, saturation_a=DIODE_A, emission=EMISSION
            )
        )
    parts.append(
        ClippingAmplifier(
            owner="U1",
            name="U1",
            non_inverting="VB",
            inverting="n",
            output="o",
            positive_rail="VA",
            negative_rail="gnd",
            dc_gain=GAIN,
            gain_bandwidth_hz=3e6,
            high_headroom_v=HEADROOM_V,
            low_headroom_v=HEADROOM_V,
        )
    )
    return parts


class ByHand:
    """The residual and Jacobian of this circuit, with as little overhead as plain NumPy and floats allow."""

    def __init__(self, system: System) -> None:
        self.row = {net: system.row(net) for net in ("c1", "b1", "e2", "c2", "n", "o")}
        self.branch = system.branches["U1"]
        self.fixed = system.fixed_g
        self.system = system
        self.size = system.size

    def with_values(self, ohms: dict[str, float]) -> None:
        values = self.system.values.copy()
        for name, value in ohms.items():
            values[self.system.element(name)] = value
        self.g = self.system.conductances(values[None])[0]
        self.b = self.system.drives(values[None])[0]

    def __call__(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        residual, jacobian = self.g @ x - self.b, self.g.copy()
        r = self.row
        self.transistor(x, residual, jacobian, r["c1"], r["b1"], None)
        self.transistor(x, residual, jacobian, r["c2"], r["c1"], r["e2"])
        for a, k in ((r["n"], r["o"]), (r["o"], r["n"])):
            e = np.exp(min((x[a] - x[k]) / (EMISSION * VT), 80.0))
            self.branch_current(
                residual,
                jacobian,
                a,
                k,
                DIODE_A * (e - 1.0) + LEAK_S * (x[a] - x[k]),
                ((a, k, DIODE_A * e / (EMISSION * VT) + LEAK_S),),
            )
        half, middle = 0.5 * SUPPLY_V - HEADROOM_V, 0.5 * SUPPLY_V
        z = min(max((x[r["o"]] - middle) / half, -0.999999), 0.999999)
        residual[self.branch] -= half / GAIN * np.arctanh(z)
        jacobian[self.branch, r["o"]] -= 1.0 / (GAIN * (1.0 - z * z))
        return residual, jacobian

    def transistor(self, x, residual, jacobian, c, b, e) -> None:
        ve = 0.0 if e is None else x[e]
        forward = np.exp(min((x[b] - ve) / VT, 80.0))
        reverse = np.exp(min((x[b] - x[c]) / VT, 80.0))
        gf, gr = SATURATION_A * forward / VT, SATURATION_A * reverse / VT
        add = self.branch_current
        add(residual, jacobian, c, e, SATURATION_A * (forward - reverse), ((b, e, gf), (b, c, -gr)))
        leak_f, leak_r = LEAK_S * (x[b] - ve), LEAK_S * (x[b] - x[c])
        base_f, base_r = SATURATION_A * (forward - 1.0) / FORWARD, SATURATION_A * (reverse - 1.0) / REVERSE
        add(residual, jacobian, b, e, base_f + leak_f, ((b, e, gf / FORWARD + LEAK_S),))
        add(residual, jacobian, b, c, base_r + leak_r, ((b, c, gr / REVERSE + LEAK_S),))

    @staticmethod
    def branch_current(residual, jacobian, a, b, amperes, slopes) -> None:
        for row, sign in ((a, 1.0), (b, -1.0)):
            if row is not None:
                residual[row] += sign * amperes
                for plus, minus, slope in slopes:
                    jacobian[row, plus] += sign * slope
                    if minus is not None:
                        jacobian[row, minus] -= sign * slope


class ByLaws:
    """The same through the solver's own law functions, one set of values at a time."""

    def __init__(self, system: System) -> None:
        self.system = system

    def with_values(self, ohms: dict[str, float]) -> None:
        changes = {name: np.array([value]) for name, value in ohms.items()}
        self.equations = equations(self.system, changes, ROOM_K)

    def __call__(self, x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        full = np.append(x, 0.0)[None]
        residual, jacobian = self.equations.evaluate(full, self.equations.controls(full), Aid())
        return residual[0], jacobian[0]


def by_scipy(
    problem: ByHand | ByLaws, start: np.ndarray, variants: list[dict[str, float]]
) -> tuple[np.ndarray, np.ndarray, float]:
    """The unknowns of every variant, which ones SciPy says it solved, and the seconds it took for each."""
    found, good = [], []
    begin = time.perf_counter()
    for ohms in variants:
        problem.with_values(ohms)
        result = root(problem, start, jac=True)
        found.append(result.x)
        good.append(result.success)
    return np.array(found), np.array(good), (time.perf_counter() - begin) / len(variants)


def seconds(work: Callable[[], object]) -> float:
    """The median of five runs."""
    runs = []
    for _ in range(5):
        begin = time.perf_counter()
        work()
        runs.append(time.perf_counter() - begin)
    return statistics.median(runs)


def main() -> None:
    system = compile_system(circuit())
    nominal = operating_point(system)
    rng = np.random.default_rng(1)
    factors = {name: rng.uniform(1 - SPREAD, 1 + SPREAD, POINTS) for name in RESISTORS}
    table = {name: RESISTORS[name][2] * column for name, column in factors.items()}
    variants = [{name: float(column[k]) for name, column in table.items()} for k in range(POINTS)]
    ours = operating_points(system, table, nominal=nominal)
    ours_s = seconds(lambda: operating_points(system, table, nominal=nominal)) / POINTS
    alone_s = seconds(lambda: operating_point(system))
    print(f"{system.size} unknowns, {POINTS} sets of {len(RESISTORS)} resistors, each within {SPREAD:.0%}")
    print(f"nominal: {nominal.certificate.says()}, {alone_s * 1e3:.2f} ms from nothing")
    print(f"ours {ours_s * 1e3:.4f} ms each, {int(ours.ok.sum())} certified")
    start, nodes = nominal.x[: system.size], system.node_count
    for name, problem in (("written by hand", ByHand(system)), ("through our laws", ByLaws(system))):
        theirs, good, theirs_s = by_scipy(problem, start, variants)
        difference = np.abs(ours.x[:, :nodes] - theirs[:, :nodes]).max(axis=1)
        wrong = np.flatnonzero(good & (difference > 1e-3))
        print(f"scipy.optimize.root, {name}: {theirs_s * 1e3:.4f} ms each, ratio {theirs_s / ours_s:.1f}")
        print(f"  reported solved: {int(good.sum())}, {len(wrong)} of them over a millivolt from ours")
        if len(wrong):
            left = [leftover(problem, variants[k], theirs[k], ours.x[k, : system.size]) for k in wrong]
            at_least, at_most = min(a for a, _ in left), max(b for _, b in left)
            print(f"  and these leave {at_least:.1e} A or more; ours leave {at_most:.1e} A or less")


def leftover(
    problem: ByHand | ByLaws, ohms: dict[str, float], theirs: np.ndarray, ours: np.ndarray
) -> tuple[float, float]:
    """The largest residual of two answers to one set of values."""
    problem.with_values(ohms)
    return float(np.abs(problem(theirs)[0]).max()), float(np.abs(problem(ours)[0]).max())


if __name__ == "__main__":
    main()
