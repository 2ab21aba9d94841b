"""Stars, sources at one amplifier, and one transistor as its conductances: book examples and SymPy."""

import pytest
import sympy

from pedalwright.formulas.hybrid_pi import emitter_stage, follower_stage
from pedalwright.formulas.multiple_feedback import response as multiple_feedback_response
from pedalwright.formulas.sallen_key import response as sallen_key_response
from pedalwright.formulas.star import star_gains, star_ohms
from pedalwright.formulas.superposition import adding_subtracting_gains, meeting_gains


def test_a_star_is_its_nodal_equation() -> None:
    # SymPy solves Kirchhoff's current law at the middle.
    v, one, two = sympy.symbols("v one two")
    solved = sympy.solve((one - v) / 3300 + (two - v) / 15000 - v / 4700, v)[0]
    gains = star_gains(arm_ohms=[3300.0, 15000.0], shunt_ohms=[4700.0])
    assert gains[0] == pytest.approx(float(solved.subs({one: 1, two: 0})), rel=1e-12)
    assert gains[1] == pytest.approx(float(solved.subs({one: 0, two: 1})), rel=1e-12)
    assert star_ohms(arm_ohms=[3300.0, 15000.0], shunt_ohms=[4700.0]) == pytest.approx(gains[0] * 3300.0)


def test_summing_examples() -> None:
    # Floyd, example 13.7, and Gayakwad, example 6.5: the same stages as gains for each input.
    gains = adding_subtracting_gains(
        feedback_ohms=10e3, negative_ohms=[47e3, 100e3, 10e3], positive_ohms=[1.0]
    )
    total = sum(gain * volts for gain, volts in zip(gains, (3.0, 2.0, 8.0), strict=False))
    assert total == pytest.approx(-8.838, abs=5e-4)
    gains = adding_subtracting_gains(
        feedback_ohms=2e3, negative_ohms=[], negative_shunt_ohms=[1e3], positive_ohms=[1e3] * 3
    )
    assert sum(g * v for g, v in zip(gains, (2.0, -3.0, 4.0), strict=True)) == pytest.approx(3.0)


def test_both_sides_and_their_shunts() -> None:
    # SymPy solves the two input nodes of an ideal amplifier, all values unlike.
    out, plus, a, b, c, d = sympy.symbols("out plus a b c d")
    minus_node = (a - plus) / 4700 + (b - plus) / 22000 - plus / 3300 + (out - plus) / 68000
    plus_node = (c - plus) / 10000 + (d - plus) / 15000 - plus / 8200
    solved = sympy.solve([minus_node, plus_node], [out, plus], dict=True)[0][out]
    gains = adding_subtracting_gains(
        feedback_ohms=68e3,
        negative_ohms=[4.7e3, 22e3],
        negative_shunt_ohms=[3.3e3],
        positive_ohms=[10e3, 15e3],
        reference_ohms=[8.2e3],
    )
    for driven, gain in zip((a, b, c, d), gains, strict=True):
        driven_alone = {source: int(source == driven) for source in (a, b, c, d)}
        assert gain == pytest.approx(float(solved.subs(driven_alone)), rel=1e-12)


def test_arms_that_meet_before_one_resistor() -> None:
    # SymPy solves the meeting point; the inverting input stands still.
    out, met, a, b = sympy.symbols("out met a b")
    nodes = [(a - met) / 10000 + (b - met) / 33000 - met / 1500, met / 1500 + out / 47000]
    solved = sympy.solve(nodes, [out, met], dict=True)[0][out]
    gains = meeting_gains(feedback_ohms=47e3, common_ohms=1.5e3, arm_ohms=[10e3, 33e3])
    assert gains[0] == pytest.approx(float(solved.subs({a: 1, b: 0})), rel=1e-12)
    assert gains[1] == pytest.approx(float(solved.subs({a: 0, b: 1})), rel=1e-12)


def test_further_inputs_of_two_pole_filters() -> None:
    """SymPy solves both filters with two inputs at one complex frequency, resistors and capacitors unlike."""
    out, inner, plus, a, b = sympy.symbols("out inner plus a b")
    y = {"a": 1e-4, "b": 3e-5, "back": 7e-5, "on": 2e-4, "shunt": 5e-5j, "last": 1.3e-4j}
    inputs = y["a"] * (a - inner) + y["b"] * (b - inner)
    multiple = [
        inputs + y["back"] * (out - inner) - y["on"] * inner - y["shunt"] * inner,
        y["on"] * inner + y["last"] * out,
    ]
    gain = sympy.solve(multiple, [out, inner], dict=True)[0][out].subs({a: 0, b: 1})
    found = multiple_feedback_response(
        input_y=y["b"], feedback_y=y["back"], inverting_y=y["on"], bridging_y=y["last"],
        other_y=y["a"] + y["shunt"],
    )  # fmt: skip
    assert found == pytest.approx(complex(gain), rel=1e-12)
    followed = [
        inputs + y["back"] * (out - inner) + y["on"] * (plus - inner),
        y["on"] * (inner - plus) - y["last"] * plus,
        out - sympy.Float(1.5) * plus,
    ]
    gain = sympy.solve(followed, [out, inner, plus], dict=True)[0][out].subs({a: 0, b: 1})
    arms = [1 / y["a"], 1 / y["b"]]
    whole = sallen_key_response(
        input_z=star_ohms(arm_ohms=arms), middle_z=1 / y["on"], ground_z=1 / y["last"],
        feedback_z=1 / y["back"], gain=1.5,
    )  # fmt: skip
    assert whole * star_gains(arm_ohms=arms)[1] == pytest.approx(complex(gain), rel=1e-12)


def test_the_emitter_stage_formula_is_the_hybrid_pi_solved() -> None:
    """SymPy solves the two current equations of the hybrid-pi; the formula must agree for odd values of
    all.
    """
    gm, gpi, go, yl, ze, yb, vb, ve, vc, i = sympy.symbols("gm gpi go yl ze yb vb ve vc i")
    collector = gm * (vb - ve) + go * (vc - ve) + yl * vc + yb * (vc - vb) - i
    emitter = ve / ze - (gm + gpi) * (vb - ve) - go * (vc - ve)
    solved = sympy.solve([collector, emitter], [vc, ve], dict=True)[0][vc]
    values = {gm: 0.031, gpi: 2.3e-4, go: 1.7e-5, yl: 2.1e-4, ze: 137.0, yb: 3.3e-6}
    stage = emitter_stage(
        gm=0.031, gpi=2.3e-4, go=1.7e-5, load_siemens=2.1e-4, emitter_ohms=137.0, bridge_siemens=3.3e-6
    )
    assert stage.gain == pytest.approx(float(solved.subs({**values, vb: 1, i: 0})), rel=1e-12)
    assert stage.output_ohms == pytest.approx(float(solved.subs({**values, vb: 0, i: 1})), rel=1e-12)


def test_the_follower_formula_is_the_hybrid_pi_solved() -> None:
    """SymPy again, the collector at ground."""
    gm, gpi, go, ye, vb, ve, i = sympy.symbols("gm gpi go ye vb ve i")
    solved = sympy.solve((gm + gpi) * (vb - ve) - go * ve - ye * ve + i, ve)[0]
    values = {gm: 0.031, gpi: 2.3e-4, go: 1.7e-5, ye: 2.1e-4}
    stage = follower_stage(gm=0.031, gpi=2.3e-4, go=1.7e-5, emitter_siemens=2.1e-4)
    assert stage.gain == pytest.approx(float(solved.subs({**values, vb: 1, i: 0})), rel=1e-12)
    assert stage.output_ohms == pytest.approx(float(solved.subs({**values, vb: 0, i: 1})), rel=1e-12)
