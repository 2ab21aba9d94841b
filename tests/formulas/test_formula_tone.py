"""Tone networks against handbook figures and against nodal analysis done here."""

import math

import numpy as np
import pytest

from pedalwright.formulas import amplifier, tone
from pedalwright.formulas.tone import ToneStackParts

STACK = ToneStackParts(
    treble_farads=250e-12, bass_farads=20e-9, middle_farads=20e-9,
    treble_ohms=250e3, bass_ohms=1e6, middle_ohms=25e3, slope_ohms=56e3,
)  # fmt: skip
HERTZ = (20, 80, 300, 500, 1000, 3000, 10000)


def db(ratio: complex) -> float:
    return 20 * math.log10(abs(ratio))


def active_tone_db(hertz: float, *, bass: float = 0.5, treble: float = 0.5) -> float:
    s = 2j * math.pi * hertz
    tees = [
        tone.bass_tee(s, boost=bass, end_ohms=11e3, pot_ohms=100e3, end_farads=51e-9, inverting_ohms=11e3),
        tone.treble_tee(s, boost=treble, end_ohms=3.6e3, pot_ohms=500e3, farads=5.1e-9),
    ]
    return db(complex(tone.inverting_tees_response(tees)))


@pytest.mark.parametrize(
    ("bass", "treble", "levels"),
    [
        (1.0, 0.5, (18.3081, 16.8032, 9.1796, 2.6629, 0.3162, 0.0362, 0.0033, 0.0008)),
        (0.5, 1.0, (0.0909, 0.1818, 0.6914, 1.2452, 4.0426, 10.7280, 17.3981, 18.9273)),
        (1.0, 1.0, (18.5958, 17.2645, 9.9199, 3.1508, 3.5895, 10.6111, 17.3845, 18.9236)),
        (0.5, 0.5, (0.0,) * 8),
    ],
)
def test_active_bass_and_treble(bass: float, treble: float, levels: tuple[float, ...]) -> None:
    """Parts of Franco, 3rd ed., example 3.7; levels recomputed from them by nodal analysis."""
    for hertz, level in zip((20, 30, 100, 300, 1000, 3000, 10000, 20000), levels, strict=True):
        assert active_tone_db(hertz, bass=bass, treble=treble) == pytest.approx(level, abs=1e-4)
        assert active_tone_db(hertz, bass=1 - bass, treble=1 - treble) == pytest.approx(-level, abs=1e-4)


def test_limits_of_the_active_control() -> None:
    assert db(tone.bass_limit(11e3, 100e3)) == pytest.approx(20.0786, abs=1e-4)
    assert active_tone_db(0.01, bass=1.0) == pytest.approx(20.0786, abs=1e-3)
    limit = tone.treble_limit(bass_end_ohms=11e3, treble_end_ohms=3.6e3, inverting_ohms=11e3)
    assert db(limit) == pytest.approx(20.1436, abs=1e-4)


@pytest.mark.parametrize(
    ("treble", "middle", "bass", "levels"),
    [
        (0.5, 0.5, 0.5, (-2.4638, -2.2325, -8.4511, -11.5125, -11.7494, -6.5741, -4.5920)),
        (1.0, 0.0, 0.0, (-23.3369, -15.1092, -13.9711, -14.1744, -10.4769, -2.7544, -0.3170)),
        (0.0, 1.0, 0.0, (-18.6285, -11.5486, -10.2568, -10.1499, -9.9842, -9.4389, -9.0897)),
        (0.0, 0.0, 1.0, (-1.0909, -1.6176, -7.4899, -11.2343, -16.5597, -24.4258, -33.8847)),
        (1.0, 1.0, 1.0, (-0.9483, -2.1328, -7.9442, -9.0530, -7.0907, -2.0464, -0.2360)),
        (0.8, 0.2, 0.6, (-2.0246, -2.0735, -9.3815, -14.8478, -12.8005, -4.3858, -2.0281)),
    ],
)
def test_passive_tone_stack(treble: float, middle: float, bass: float, levels: tuple[float, ...]) -> None:
    """Parts of Yeh and Smith, DAFx-06; levels recomputed from them by nodal analysis."""
    s = 2j * np.pi * np.array(HERTZ)
    h = tone.tone_stack_response(s, STACK, treble=treble, middle=middle, bass=bass)
    np.testing.assert_allclose(20 * np.log10(np.abs(h)), levels, atol=1e-4)


def tone_stack_by_nodes(s: complex, parts: ToneStackParts, t: float, m: float, low: float) -> complex:
    """The stack as a network: nets top, slope, bottom, middle top, wiper of the middle pot, output."""
    nets = ("top", "slope", "bottom", "middle", "wiper", "out")
    branches = [
        ("in", "top", s * parts.treble_farads), ("top", "out", 1 / ((1 - t) * parts.treble_ohms)),
        ("out", "bottom", 1 / (t * parts.treble_ohms)), ("in", "slope", 1 / parts.slope_ohms),
        ("slope", "bottom", s * parts.bass_farads), ("bottom", "middle", 1 / (low * parts.bass_ohms)),
        ("middle", "wiper", 1 / ((1 - m) * parts.middle_ohms)), ("wiper", "gnd", 1 / (m * parts.middle_ohms)),
        ("slope", "wiper", s * parts.middle_farads),
    ]  # fmt: skip
    rows, right = np.zeros((6, 6), complex), np.zeros(6, complex)
    for a, b, y in branches:
        for here, there in ((a, b), (b, a)):
            if here in nets:
                rows[nets.index(here), nets.index(here)] += y
                if there in nets:
                    rows[nets.index(here), nets.index(there)] -= y
                elif there == "in":
                    right[nets.index(here)] += y
    return complex(np.linalg.solve(rows, right)[-1])


@pytest.mark.parametrize("hertz", [33.0, 610.0, 4200.0])
def test_passive_tone_stack_with_unlike_parts_agrees_with_nodal_analysis(hertz: float) -> None:
    parts = ToneStackParts(
        treble_farads=470e-12, bass_farads=100e-9, middle_farads=33e-9,
        treble_ohms=220e3, bass_ohms=470e3, middle_ohms=10e3, slope_ohms=68e3,
    )  # fmt: skip
    s = 2j * math.pi * hertz
    h = tone.tone_stack_response(s, parts, treble=0.3, middle=0.7, bass=0.2)
    assert complex(h) == pytest.approx(tone_stack_by_nodes(s, parts, 0.3, 0.7, 0.2), rel=1e-9)


def test_record_equaliser() -> None:
    """Franco, 3rd ed., example 3.6: 340, 316k, 28k, 10 nF, 2.7 nF; the standard curve lies within 0.3 dB."""

    def level(hertz: float) -> float:
        s = 2j * math.pi * hertz
        z = 316e3 / (1 + s * 316e3 * 10e-9) + 28e3 / (1 + s * 28e3 * 2.7e-9)
        return db(complex(amplifier.non_inverting_gain(z, 340.0)))

    assert level(1000.0) == pytest.approx(40.475, abs=1e-3)
    exact = {20: 19.006, 50: 16.700, 100: 12.868, 500: 2.570, 2122: -2.846, 10e3: -13.723, 20e3: -19.584}
    standard = {20: 19.274, 50: 16.946, 100: 13.088, 500: 2.648, 2122: -2.866, 10e3: -13.734, 20e3: -19.620}
    for hertz, expected in exact.items():
        assert level(hertz) - level(1000.0) == pytest.approx(expected, abs=1e-3)
        assert level(hertz) - level(1000.0) == pytest.approx(standard[hertz], abs=0.3)


def test_pot_across_inputs_by_node_equations() -> None:
    a, b, f, g = 3.3e3, 6.8e3, 22e3, 470 + 1 / (2j * math.pi * 900 * 220e-9)
    h = tone.pot_across_inputs_response(plus_half_z=a, minus_half_z=b, wiper_z=g, feedback_z=f)
    # One volt at both inputs: node law at the wiper, then the current through b flows through f.
    wiper = (1 / a + 1 / b) / (1 / a + 1 / b + 1 / g)
    assert complex(h) == pytest.approx(1 + (1 - wiper) / b * f, rel=1e-12)


def test_shelf() -> None:
    s = 2j * math.pi * 720.0
    # Non-inverting stage with 4.7k, 1k and a capacitor: 1 to 5.7.
    farads = 1 / (2 * math.pi * 720.0 * 1e3)
    expected = amplifier.non_inverting_gain(4.7e3, 1e3 + 1 / (s * farads))
    h = tone.shelf_response(s, low_gain=1.0, high_gain=5.7, pole_hz=720.0)
    assert complex(h) == pytest.approx(complex(expected), rel=1e-12)
