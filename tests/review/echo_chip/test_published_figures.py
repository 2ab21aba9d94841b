"""The figures of the rules about the echo chip, against published measurements and sums by hand.

Published: the maker's data sheet, Echo Processor IC, V1.6, February 2010 (table 1, gain, currents, the ECHO
circuit of page 2); capacitor measurements on one unit, 2021 (shelf, slope); Wiltshire, 2015 (delay law).
"""

import numpy as np
import pytest

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.time_pin_range import time_places
from pedalwright.notation.reading import read_text
from pedalwright.review.catalogue import rule_named
from pedalwright.review.rule import Finding
from pedalwright.review.rules.echo_chip._chips import Chip
from pedalwright.review.rules.echo_chip._loop import loop_of, most_back
from pedalwright.review.rules.echo_chip._start import least_start
from pedalwright.review.rules.echo_chip._trial import ECHO, REPEATING, echo, fixed
from pedalwright.review.rules.echo_chip.clocks_beat import beats
from pedalwright.review.rules.echo_chip.integrators_unequal import shelf_db
from pedalwright.review.survey import Survey
from tests.echo.circuits import APPLICATION_ECHO


def _survey(text: str) -> Survey:
    titled = text if text.lstrip().startswith("pedal ") else f"pedal Figures\n{text}"
    return Survey(Analysis(read_text(titled)))


def _found(code: str, text: str) -> list[Finding]:
    rule = rule_named(code)
    assert rule is not None
    return list(rule.look(_survey(text)))


def _value(finding: Finding, name: str) -> float:
    return next(one.value for one in finding.evidence if name in one.name)


def test_unequal_integrators_make_the_shelf_that_was_measured() -> None:
    """47 against 100 nF: 6.5 dB either way, measured on one unit; 20 log of the ratio is 6.56 dB."""
    assert shelf_db(100e-9, 47e-9) == pytest.approx(6.5, abs=0.1)
    assert shelf_db(47e-9, 100e-9) == pytest.approx(-6.5, abs=0.1)


def test_the_shelf_is_there_in_the_loop() -> None:
    """The whole circuit solved: with 100 and 47 nF the way back rises by the same from bass to treble."""
    alike = loop_of(_survey(REPEATING))
    unlike = loop_of(_survey(echo(("C7 100n", "C7 47n"), base=REPEATING)))
    assert alike is not None and unlike is not None
    lifted = 20 * np.log10(np.abs(unlike.desk.loop.a[:, 0, 0] / alike.desk.loop.a[:, 0, 0]))
    # Below 339 Hz and above 720 Hz, the corners of 4.7 kohm with 100 and with 47 nF.
    low, high = unlike.desk.loop.at(25.0), unlike.desk.loop.at(8000.0)
    assert lifted[high] - lifted[low] == pytest.approx(shelf_db(100e-9, 47e-9), abs=0.1)


@pytest.mark.parametrize(("peak_v", "clean_hz"), [(0.5, 3.3e3), (1.0, 1.7e3)])
def test_slope_limit_over_level(peak_v: float, clean_hz: float) -> None:
    """0.0105 V/us with 100 nF: 3.3 kHz at half a volt, 1.7 kHz at one (published plots); ten times the
    capacitance a tenth of it.
    """
    from pedalwright.echo.delay_law import highest_clean_hz, slope_v_per_s

    assert highest_clean_hz(slope_v_per_s(100e-9), peak_v) == pytest.approx(clean_hz, rel=0.03)
    told = _found("E08", echo(("C6 100n", "C6 1u")))[0]
    assert _value(told, "clean up to") == pytest.approx(330.0, rel=0.03)


def test_the_coder_rule_tells_the_peak_at_pin_15() -> None:
    """22 kohm over 22 kohm: as much as comes in, less what 100 ohm of source take from 22.1 kohm and what the
    filter takes at 1 kHz.
    """
    told = _found("E20", echo(("input IN buffered", "input IN 100 3V")))[0]
    peak = _value(told, "peak at pin 15")
    assert peak == pytest.approx(3.0 * 22e3 / 22.1e3, rel=0.03)
    assert _value(told, "followed up to") == pytest.approx(0.0105e6 / (2 * np.pi * peak), rel=1e-3)


@pytest.mark.parametrize(("level_db", "gain"), [(0.0, 0.897), (2.5, 1.196), (-0.5, 0.847)])
def test_the_makers_loop_over_the_spread_of_chips(level_db: float, gain: float) -> None:
    """Repeats full up in the maker's own circuit, middle of the band, by Ohm's law at the knob."""
    around = loop_of(_survey(APPLICATION_ECHO))
    assert around is not None and around.knob is not None and around.dial[around.loudest] == 10.0
    middle = np.array([150.0, 200.0, 250.0])
    gains = np.array([[10 ** (level_db / 20)]])
    assert most_back(around, gains, frequency_hz=middle)[0] == pytest.approx(gain, rel=0.005)


def test_the_makers_circuit_runs_away_with_some_chips_only() -> None:
    """Typical 0.847, largest 1.196: neither none nor all of the builds."""
    (told,) = _found("E15", APPLICATION_ECHO)
    assert 5.0 < _value(told, "builds that run away") < 60.0


@pytest.mark.parametrize(
    ("ohms", "delay_ms"), [("10k5", 151.0), ("27k6", 342.0), ("2k", 52.3), ("4k9", 86.3)]
)
def test_delays_of_the_makers_table(ohms: str, delay_ms: float) -> None:
    survey = _survey(fixed(f"U1.6 > R1 {ohms} > gnd"))
    (place,) = time_places(survey.analysis, survey.circuit.by_ref["U1"])
    assert 1000 * place.delay_s == pytest.approx(delay_ms, rel=2e-3)


def test_knobs_are_turned_together() -> None:
    """Two time knobs in a row: the longest delay has both fully up, 2.2 + 50 + 10 kohm (the law: 742 ms)."""
    more = "knob FINE 10k linear at 5\nTIME.2 > TIME.3 > FINE.1\nFINE.2 > FINE.3 > gnd"
    text = echo(("TIME.2 > TIME.3 > gnd", more))
    survey = _survey(text)
    places = time_places(survey.analysis, survey.circuit.by_ref["U1"])
    longest = max(places, key=lambda place: place.delay_s)
    assert longest.ohms == pytest.approx(62.2e3, rel=1e-3) and "FINE at 10" in longest.says
    assert 1000 * longest.delay_s == pytest.approx(11.46 * 62.2 + 29.70, rel=0.01)


def test_an_empty_capacitor_lets_its_resistor_count() -> None:
    """100 uF in series with 1 kohm beside 3.3 kohm: 767 ohm until it is charged; with 1 uF there is nothing
    to wait for, and 3.3 kohm count alone.
    """
    text = fixed("U1.6 > R1 3k3 > gnd\nIN > C20 100u > R20 1k > U1.6")
    for size, ohms in (("100u", 1 / (1 / 3.3e3 + 1 / 1e3)), ("1u", 3.3e3)):
        survey = _survey(text.replace("C20 100u", f"C20 {size}"))
        found = least_start(survey, Chip(survey, survey.circuit.by_ref["U1"]))
        assert found is not None
        assert found.ohms == pytest.approx(ohms, rel=0.01)
        assert bool(found.capacitors) == (size == "100u")


def test_three_chips_bring_a_small_regulator_to_its_limit() -> None:
    """30 mA each at most (data sheet): three are 90 mA of the 100 mA of a 78L05."""
    chips = "".join(f"part U{n} echo-chip supply=V5\nU{n}.6 > R{n} 10k > gnd\n" for n in (11, 12))
    supply = "supply VIN 9V wall\npart U2 regulator 5V in=VIN out=V5"
    regulated = echo(("supply V5 5V wall 4.9V..5.1V", supply))
    (told,) = _found("E18", regulated + chips)
    assert _value(told, "current out of the regulator") == pytest.approx(0.090, rel=0.05)


def test_beats_are_all_differences_up_to_the_fifth_multiples() -> None:
    """4 and 5.002 MHz: five of the one and four of the other are 8 kHz apart, and nothing else is."""
    assert [(k, m, round(apart)) for k, m, apart in beats(4e6, 5.002e6)] == [(5, 4, 8000)]
    assert beats(4e6, 4.1e6) == ()
    assert beats(4e6, 4e6)[0] == (1, 1, 0.0)


def test_the_reference_corner_is_that_of_five_and_a_half_kilohms() -> None:
    """1 uF against 5.5 kohm: 28.9 Hz; the maker's 47 uF 0.6 Hz."""
    (told,) = _found("E06", echo(("C3 47u", "C3 1u")))
    assert _value(told, "corner") == pytest.approx(1 / (2 * np.pi * 5.5e3 * 1e-6), rel=1e-6)


def test_noise_of_a_long_delay_rises_by_26_db_a_decade() -> None:
    """Measured between 52 and 600 ms on a published module: from 300 to 1176 ms by 26 log 3.92 = 15.4 dB."""
    (told,) = _found("E05", fixed("U1.6 > R1 100k > gnd"))
    assert "15 dB above that at 300 ms" in told.what
    assert _value(told, "delay") == pytest.approx(1.176, rel=0.01)


def test_the_start_switch_needs_the_time_of_its_capacitor() -> None:
    """10 uF over 100 kohm from 0.65 to 0.3 V: tau ln(0.65/0.3) = 0.77 s."""
    text = fixed(
        "part Q1 npn 2N3904\nU1.6 > R1 100 > Q1.c\nQ1.e > gnd\nV5 > R21 100k > Q1.b\n"
        "Q1.b > C21 10u (electrolytic, 16V) > gnd\nQ1.c > R22 4k7 > gnd"
    )
    (told,) = _found("E03", text)
    assert _value(told, "time to arm") == pytest.approx(1.0 * np.log(0.65 / 0.3), rel=1e-6)


def test_the_small_echo_of_the_trials_is_quiet_for_every_rule_but_the_reminder() -> None:
    """It is what most trials change one line of."""
    from pedalwright.review.catalogue import rules_in
    from pedalwright.review.reviewing import review

    for text in (ECHO, REPEATING):
        titled = f"pedal Small\n{text}"
        told = review(Analysis(read_text(titled), titled), only=rules_in("echo_chip"))
        assert {one.rule.code for one in told.found} == {"E27"}
        assert not told.unanswered
