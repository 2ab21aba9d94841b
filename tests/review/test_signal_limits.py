"""The figures of the rules on levels and loads, against handbook formulas and data-sheet examples."""

import numpy as np
import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.devices.sources import source_figures
from pedalwright.formulas.amplifier import slew_limited_hz
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.rule import Finding
from pedalwright.review.rules.signal import _loop
from pedalwright.review.rules.signal._bench import op_amps, place
from pedalwright.review.rules.signal._trials import FOLLOWERS, gain_of, pedal
from pedalwright.review.survey import Survey
from pedalwright.stages.pickup import peak_hz


def _survey(text: str) -> Survey:
    return Survey(Analysis(read_text("pedal Limits\n" + text)))


def _found(code: str, survey: Survey) -> list[Finding]:
    rule = rule_named(code)
    assert rule is not None
    return list(rule.look(survey))


def _value(finding: Finding, name: str) -> float:
    return next(one.value for one in finding.evidence if name in one.name)


def test_power_bandwidth_of_a_data_sheet() -> None:
    """9 V/us at 10 V peak: 143 kHz, printed as 140 kHz (ON Semiconductor, NE5532)."""
    assert slew_limited_hz(9e6, 10.0) == pytest.approx(143.2e3, rel=1e-3)


def test_the_slew_rule_tells_slew_over_two_pi_peak() -> None:
    """f = S/(2 pi V): 0.5 V/us and 10 V are 7957.75 Hz (Coughlin, example 10.8); here 0.3 V/us (LM358)."""
    text = pedal(gain_of("100k"), chip="LM358", source="line").replace(
        "supply VA 9V wall", "supply VA 30V wall"
    )
    found = _found("slew-short", _survey(text))
    assert found
    peak = _value(found[0], "peak")
    assert _value(found[0], "highest frequency") == pytest.approx(0.3e6 / (2 * np.pi * peak))


@pytest.mark.parametrize("feedback, noise_gain", [("1M", 1001.0), ("220k", 221.0)])
def test_the_loss_through_finite_bandwidth(feedback: str, noise_gain: float) -> None:
    """One pole at GBW over the noise gain (Coughlin, example 10.6: 1 MHz and a noise gain of 2 are 500 kHz);
    here 0.7 MHz (TI SLOS068T).
    """
    survey = _survey(pedal(gain_of(feedback, "1k"), chip="LM358"))
    hertz = survey.band.frequency_hz[place(survey.band, 10e3)]
    corner = 0.7e6 / noise_gain
    expected = 10 * np.log10(1 + (hertz / corner) ** 2)
    found = _found("bandwidth-short", survey)
    assert _value(found[0], "loss at 10 kHz") == pytest.approx(expected, rel=0.02)


@pytest.mark.parametrize("load, ohms", [("47k", 47e3), ("100k", 100e3)])
def test_the_pickup_on_a_load(load: str, ohms: float) -> None:
    """The divider of coil and resistance against cable, knob and load, written out (circuit theory)."""
    survey = _survey(
        pedal(FOLLOWERS, front=f"IN > R1 {load} > gnd\nIN > C1 1u (film) > U1a.non > R2 10M > VB\n")
    )
    figures = source_figures("pickup")
    hertz = survey.band.frequency_hz[place(survey.band, peak_hz(figures))]
    s = 2j * np.pi * hertz

    def arrives(load_ohms: float) -> float:
        assert figures.volume_ohms is not None
        across = 1 / (1 / load_ohms + 1 / figures.volume_ohms + s * figures.farads)
        return float(abs(across / (across + figures.ohms + s * figures.henries)))

    together = 1 / (1 / ohms + 1 / 10e6)
    expected = 20 * np.log10(arrives(1e6) / arrives(together))
    assert _value(_found("loads-the-pickup", survey)[0], "loss") == pytest.approx(expected, abs=0.05)


def test_the_output_behind_a_resistor() -> None:
    """47 kohm: 1/(2 pi R C) with 1 nF and 20 log(1 + 47/100) (closed forms)."""
    text = pedal(FOLLOWERS, back="U1b.out > C9 10u > R8 47k > OUT > R9 10M > gnd\n")
    found = _found("weak-output", _survey(text))[0]
    seen = 1 / (1 / 47e3 + 1 / 10e6)
    assert _value(found, "impedance") == pytest.approx(seen, rel=1e-3)
    assert _value(found, "corner") == pytest.approx(1 / (2 * np.pi * seen * 1e-9), rel=1e-3)
    assert _value(found, "loss") == pytest.approx(20 * np.log10(1 + seen / 100e3), rel=1e-3)


def test_a_coupling_capacitor_is_a_high_pass() -> None:
    """10 log(1 + (fc/f)^2) with fc = 1/(2 pi R C) (closed form): 4.7 nF into 100k || 1M."""
    survey = _survey(pedal(FOLLOWERS, back="U1b.out > C9 4n7 > OUT > R9 100k > gnd\n"))
    hertz = survey.band.frequency_hz[place(survey.band, 82.4)]
    corner = 1 / (2 * np.pi * 4.7e-9 / (1 / 100e3 + 1 / 1e6))
    expected = 10 * np.log10(1 + (corner / hertz) ** 2)
    assert _value(_found("bass-lost", survey)[0], "loss") == pytest.approx(expected, rel=0.01)


def test_two_equal_resistors_of_an_inverting_stage_hiss_as_their_sum() -> None:
    """Signal gain 1: 4kT R1 and 4kT R2 referred to the input add up to R1 + R2 (Nyquist 1928)."""
    front = "U1a.non > VB\nIN > C1 10u > R3 1M > U1a.inv > R4 1M > U1a.out\n"
    text = pedal("U1a.out > U1b.non\nU1b.out > U1b.inv\n", front=front, source="line")
    assert _value(_found("hissing-resistor", _survey(text))[0], "thermal") == pytest.approx(2e6, rel=0.01)


def test_the_current_into_a_load() -> None:
    """Peak over load: 68 ohm beside the next pedal's megohm (Ohm's law)."""
    text = pedal(FOLLOWERS, source="line", back="U1b.out > C9 4700u > OUT > R9 68 > gnd\n")
    found = _found("amplifier-current", _survey(text))[0]
    assert _value(found, "load") == pytest.approx(68.0, rel=0.02)


def test_the_phase_margin_of_an_inverter_with_large_resistors() -> None:
    """L = A/2 / (1 + s (R/2) C) with A = GBW/jf, as in any handbook; the crossing is found by bisection."""
    text = pedal("U1a.out > U1a.inv\nU1a.out > R3 1M > U1b.inv > R4 1M > U1b.out\nU1b.non > VB\n")
    survey = _survey(text.replace("output OUT 1M", "output OUT 1G"))
    amplifier = next(one for one, _ in op_amps(survey) if one.owner == "U1b")
    found = _loop.margins(survey, [amplifier])[0]

    def gain(hertz: float) -> complex:
        s = 2j * np.pi * hertz
        opened = 1 / (1 / 200e3 + 1j * hertz / 3e6)
        return complex(opened / 2 / (1 + s * 0.5e6 * _loop.INPUT_FARADS))

    low, high = 1e4, 1e7
    for _ in range(60):
        middle = float(np.sqrt(low * high))
        low, high = (middle, high) if abs(gain(middle)) > 1 else (low, middle)
    assert found.crossing_hz == pytest.approx(low, rel=0.08)
    margin = 180 + np.degrees(np.angle(gain(low)))
    assert found.stiff_deg == pytest.approx(margin, abs=3.0)


def test_an_echo_at_half_the_level_is_told_in_decibels() -> None:
    """A summing resistor ten times larger makes the echo 20 dB quieter (inverting mixer, handbook)."""
    from pedalwright.review.rules.signal._echo_trials import mixer

    quiet = _found("echo-too-quiet", _survey(pedal(mixer(wet="1M"))))[0]
    quieter = _found("echo-too-quiet", _survey(pedal(mixer(wet="10M"))))[0]
    assert _value(quiet, "first repeat") - _value(quieter, "first repeat") == pytest.approx(20.0, abs=0.3)
