"""Qualities and peaks of two-pole responses against handbook tables and a fine grid."""

import numpy as np
import pytest

from pedalwright.formulas import sallen_key, two_pole
from pedalwright.formulas.two_pole import TwoPole


def test_butterworth_qualities() -> None:
    # Op Amps for Everyone, table 16.7; gains of Floyd, example 15.4: 1.152 and 2.235.
    assert two_pole.butterworth_qs(1) == ()
    assert two_pole.butterworth_qs(4) == pytest.approx((0.5412, 1.3066), abs=5e-5)
    assert two_pole.butterworth_qs(6) == pytest.approx((0.5176, 0.7071, 1.9319), abs=5e-5)
    gains = [sallen_key.equal_parts_gain(q) for q in two_pole.butterworth_qs(4)]
    assert gains == pytest.approx([1.152, 2.235], abs=5e-4)
    partial = [two_pole.low_pass_minus_3db_hz(1.0, q) for q in two_pole.butterworth_qs(6)]
    assert partial == pytest.approx([0.676, 1.000, 1.479], abs=6e-4)


def test_peak_of_a_low_pass_is_where_the_response_is_largest() -> None:
    stage = TwoPole(natural_hz=1000.0, q=1.9, gain=1.0)
    hertz = np.linspace(500, 1500, 200001)
    sizes = np.abs(two_pole.low_pass_response(2j * np.pi * hertz.astype(complex), stage))
    assert two_pole.low_pass_peak_hz(1000.0, 1.9) == pytest.approx(hertz[int(np.argmax(sizes))], rel=1e-4)
    assert two_pole.peak_ratio(1.9) == pytest.approx(float(sizes.max()), rel=1e-8)
    assert two_pole.peak_ratio(0.6) == 1.0
