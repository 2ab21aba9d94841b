"""The reference itself against closed forms, scipy.signal and statics."""

import numpy as np
import pytest
from scipy.signal import lsim

from pedalwright.formulas._wright_omega import wright_omega
from pedalwright.solve.rest import operating_point
from pedalwright.solve.system import compile_system
from tests.solve.parts import GND, Parts, amplifier, capacitor, delay, inductor, resistor, source
from tests.solve.time.cases import LIMITER_A, LIMITER_OHMS, LIMITER_V, limiter_parts, package_parts
from tests.solve.time.keeping import case, computed, reference_v
from tests.solve.time.reference import Circuit, Refused, Tolerances, Waveform
from tests.solve.time.reference_laws import Floats


def step_of_one(parts: Parts, duration_s: float, output: str = "out") -> tuple[Floats, Floats]:
    """Moments and output when a volt is switched on with everything discharged."""
    circuit, t = Circuit(parts), np.linspace(0.0, duration_s, 101)
    found = circuit.run(np.zeros(circuit.size), {"input": lambda t: 1.0}, t, [output])
    return t, found.volts[:, 0]


def test_step_of_a_low_pass() -> None:
    parts: Parts = [
        source("input", "in"),
        resistor("R1", "in", "out", 1e3),
        capacitor("C1", "out", GND, 1e-6),
    ]
    t, found = step_of_one(parts, 5e-3)
    assert found == pytest.approx(1.0 - np.exp(-t / 1e-3), abs=1e-7)


def test_step_of_a_damped_resonance() -> None:
    ohms, henries, farads = 100.0, 10e-3, 1e-6
    parts: Parts = [source("input", "in"), resistor("R1", "in", "a", ohms)]
    parts += [inductor("L1", "a", "out", henries), capacitor("C1", "out", GND, farads)]
    t, found = step_of_one(parts, 3e-3)
    decay = ohms / (2.0 * henries)
    turning = np.sqrt(1.0 / (henries * farads) - decay**2)
    wanted = 1.0 - np.exp(-decay * t) * (np.cos(turning * t) + decay / turning * np.sin(turning * t))
    assert found == pytest.approx(wanted, abs=1e-7)


def test_a_jump_divides_over_capacitors_at_once() -> None:
    parts: Parts = [
        source("input", "in"),
        capacitor("C1", "in", "out", 3e-9),
        capacitor("C2", "out", GND, 1e-9),
    ]
    parts += [resistor("R1", "out", GND, 1e5), capacitor("C3", "in", GND, 1e-6)]
    t, found = step_of_one(parts, 1e-3)
    assert found == pytest.approx(0.75 * np.exp(-t / (1e5 * 4e-9)), abs=1e-7)


def test_a_jump_within_the_run() -> None:
    parts: Parts = [
        source("input", "in"),
        resistor("R1", "in", "out", 1e3),
        capacitor("C1", "out", GND, 1e-6),
    ]
    circuit, t = Circuit(parts), np.linspace(0.0, 2e-3, 41)
    wave: Waveform = lambda t: 0.0 if t < 1e-3 else 1.0  # noqa: E731
    found = circuit.run(np.zeros(circuit.size), {"input": wave}, t, ["out"], breaks_s=[1e-3]).volts[:, 0]
    assert found == pytest.approx(np.where(t < 1e-3, 0.0, 1.0 - np.exp(-(t - 1e-3) / 1e-3)), abs=1e-7)


def test_amplifier_with_a_pole_against_scipy_signal() -> None:
    # Gain of ten, gain-bandwidth 1 MHz: G / (1 + s (1/A + ...)) with a noise gain of ten.
    parts: Parts = [source("V1", "VA", 9.0), source("V2", "VE", -9.0), source("input", "in")]
    parts += [amplifier("U1", "in", "n", "out", rails=("VA", "VE"), gain_bandwidth_hz=1e6)]
    parts += [resistor("R1", "n", GND, 1e3), resistor("R2", "n", "out", 9e3)]
    circuit, t = Circuit(parts), np.linspace(0.0, 2e-4, 401)
    wave: Waveform = lambda t: 1e-4 * float(np.sin(2e4 * np.pi * t))  # noqa: E731
    found = circuit.run(
        circuit.states_of(operating_point(compile_system(parts))), {"input": wave}, t, ["out"]
    )
    fine = np.linspace(0.0, 2e-4, 40001)
    _, wanted, _ = lsim(
        ([1.0], [1.0 / (2e6 * np.pi), 0.1 + 1.0 / 2e5]), 1e-4 * np.sin(2e4 * np.pi * fine), fine
    )
    assert found.volts[:, 0] == pytest.approx(wanted[::100], abs=1e-9)


def test_limiter_in_slow_motion_is_its_static_curve() -> None:
    # Lambert W of one diode: what the other and the leak carry is nothing where this one conducts.
    circuit, t = Circuit(limiter_parts()), np.linspace(0.0, 10.0, 51)
    wave: Waveform = lambda t: 0.45 * t  # noqa: E731
    found = circuit.run(np.zeros(circuit.size), {"input": wave}, t, ["out"]).volts[:, 0]
    u = 0.45 * t
    inner = np.log(LIMITER_A * LIMITER_OHMS / LIMITER_V) + (u + LIMITER_A * LIMITER_OHMS) / LIMITER_V
    amperes = wright_omega(inner) * LIMITER_V / LIMITER_OHMS - LIMITER_A
    conducting = u > 0.5
    assert found[conducting] == pytest.approx((u - amperes * LIMITER_OHMS)[conducting], abs=1e-4)


def test_slewing_follower_rises_as_fast_as_its_sheet_says() -> None:
    volts = reference_v("slow-follower")
    fastest = np.abs(np.diff(volts)).max() * case("slow-follower").told_hz
    assert 0.97 * 0.3e6 < fastest < 0.3e6 * (1.0 + 1e-6)


def test_tones_settle_where_rails_zener_and_regulator_say() -> None:
    rails = reference_v("into-rails")
    # The curve goes on as a straight line of 5e-12 V a volt beyond: a microvolt for 4 V of overdrive.
    assert rails.min() == pytest.approx(1.5, abs=2e-6) and rails.max() == pytest.approx(7.5, abs=2e-6)
    # The breakdown carries 1 mA at 5.1 V by the law's own definition; here about 3.4 mA.
    assert reference_v("zener-clamp").max() == pytest.approx(5.1 + 0.02585 * np.log(3.4), abs=3e-3)
    regulated = reference_v("starved-regulator")
    assert regulated.max() == pytest.approx(5.0 - 0.1 * 5.0 / 220.0, abs=1e-3)
    assert regulated.min() < 4.0


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ([source("input", "in"), source("V1", "in"), resistor("R1", "in", GND, 1e3)], "loop"),
        (
            [
                source("input", "in"),
                resistor("R1", "in", GND, 1e3),
                delay("X1", "in", "y", delay_s=0.1, gain=1.0),
            ],
            "delay",
        ),
    ],
)
def test_what_is_outside_is_refused(parts: Parts, says: str) -> None:
    with pytest.raises(Refused, match=says):
        Circuit(parts)


def test_coils_in_series_alone_are_refused() -> None:
    parts: Parts = [source("input", "in"), inductor("L1", "in", "a", 1e-3), inductor("L2", "a", "out", 1e-3)]
    circuit = Circuit([*parts, resistor("R1", "out", GND, 1e3)])
    with pytest.raises(Refused):
        circuit.run(np.zeros(circuit.size), {"input": lambda t: 1.0}, np.linspace(0.0, 1e-3, 5), ["out"])


@pytest.mark.slow
@pytest.mark.parametrize("name", ["limiter", "booster"])
def test_kept_runs_are_what_is_computed(name: str) -> None:
    kept = reference_v(name)
    assert computed(name) == pytest.approx(kept, abs=1e-6 * float(np.ptp(kept)))


@pytest.mark.slow
def test_tighter_tolerances_change_nothing_that_counts() -> None:
    kept = reference_v("limiter")
    tight = computed("limiter", Tolerances(relative=1e-10, absolute=1e-11))
    assert tight == pytest.approx(kept, abs=1e-7 * float(np.ptp(kept)))


def test_package_circuits_rest_in_the_reference_too() -> None:
    for name in (
        "kilnhouse-drive",
        "plumtree-fuzz",
        "doorbell-booster",
        "millwheel-tremolo",
        "ferryman-phaser",
    ):
        parts = package_parts(name)
        circuit, rest = Circuit(parts), operating_point(compile_system(parts))
        z, d = circuit.states_of(rest), circuit.direct
        x = circuit.unknowns(z, circuit.followers(z, d, circuit.nothing()), d)
        worst = max(
            abs(x[place - 1] - rest.volts(net)) for net, place in circuit.layout.place.items() if place
        )
        assert worst < 1e-6, name
