"""An envelope follower at the time pin, as `repeats` tells it."""

import json
from pathlib import Path

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.echo_envelope import EnvelopeAnswer
from pedalwright.analysis.echo_records import EchoAnswers
from pedalwright.analysis.memo import Analysis
from pedalwright.cli.main import main
from pedalwright.echo.modulation import moved_once
from pedalwright.notation import read_text
from pedalwright.report.markdown_page import markdown_page
from pedalwright.report.repeats_document import repeats_document
from tests.echo.circuits import APPLICATION_ECHO

# A rectifier (amplifier, diode, reservoir with its bleeder), a follower, and 47 kohm to the time pin.
FOLLOWER = (
    APPLICATION_ECHO.replace(
        "U1.6 > R5 10k > TIME.1\nTIME.2 > TIME.3 > gnd\n", "U1.6 > R5 10k > gnd\n"
    ).replace("knob TIME 20k linear at 5\n", "")
    + """supply V9 9V wall
part U2 dual-opamp TL072 v+=V9 v-=gnd
V9 > R20 22k > VB > R21 22k > gnd
VB > C20 47u (electrolytic, 16V) > gnd
IN > C21 100n > U2a.non
U2a.non > R22 1M > VB
U2a.out > R23 100k > U2a.inv
U2a.inv > R24 10k > C22 1u > gnd
U2a.out > D1 1N4148 > ENV
ENV > C23 1u > gnd
ENV > R25 300k > gnd
ENV > U2b.non
U2b.out > U2b.inv
U2b.out > R26 47k > U1.6
"""
)


def answered(text: str) -> EchoAnswers:
    found = echo_answers(Analysis(read_text(text), text), 3, 10)
    assert found is not None
    return found


def envelope_of(found: EchoAnswers) -> EnvelopeAnswer:
    (one,) = found.envelopes
    return one


# By hand: pin 6 is 2.5 V behind 2.59 kohm (computed from the maker's and measured figures), with 10 kohm to
# ground and 47 kohm to the follower. Side by side 2.59 k and 10 k are 2.058 k, so a volt at the follower
# moves the pin by 2.058 / (2.058 + 47) = 41.9 mV.
PIN_OHMS, PIN_V_PER_V = 2.59e3, 0.0419
# Maker's data sheet, Echo Processor IC, V1.6, February 2010, table 1: kilohms at pin 6, delay in ms.
ROWS = ((12.1, 171.0), (14.3, 196.0), (17.2, 228.0))


def clock_at(found: EchoAnswers, envelope_v: float) -> float:
    """The clock over its rate at rest, straight between rows of the maker's table."""
    state = found.chips[0].state

    def delay_ms(moved_v: float) -> float:
        kilohms = (state.time_pin_v + moved_v) / (state.time_pin_a - moved_v / PIN_OHMS) / 1e3
        return float(np.interp(kilohms, *np.array(ROWS).T))

    return delay_ms(0.0) / delay_ms(PIN_V_PER_V * envelope_v)


def test_the_follower_drives_the_pin_and_no_oscillator_does() -> None:
    found = answered(FOLLOWER)
    assert found.modulation == () and envelope_of(found).net == "~U2b.inv"
    assert envelope_of(found).rest_s == found.chips[0].state.delay_s


def test_the_lowest_pitch_is_the_hand_figure() -> None:
    """After 10 ms the clock is slowest, and what comes out went in at the rate of rest: their ratio."""
    found = answered(FOLLOWER)
    moved = envelope_of(found).moved
    assert moved is not None
    assert moved.down_cents == pytest.approx(1200 * np.log2(clock_at(found, 1.0)), rel=0.02)


def test_delay_and_pitch_are_those_of_the_clock_integral() -> None:
    found = answered(FOLLOWER)
    one = envelope_of(found)
    assert one.moved is not None
    time_s = np.arange(0.0, 4.0, 1e-3)
    volts = np.where(time_s < 10e-3, time_s / 10e-3, np.exp(-(time_s - 10e-3) / 300e-3))
    deviation = np.array([clock_at(found, at) for at in volts]) - 1
    want = moved_once(time_s, deviation, delay_s=one.rest_s)
    assert one.moved.delay_s.max() - one.rest_s == pytest.approx(want.delay_s.max() - one.rest_s, rel=0.02)
    assert one.moved.up_cents == pytest.approx(want.up_cents, rel=0.02)
    assert one.moved.delay_s.min() == pytest.approx(one.rest_s, rel=1e-4)


def test_a_coupling_capacitor_lets_the_delay_come_back_the_other_way() -> None:
    through = FOLLOWER.replace("> R26 47k >", "> C24 4u7 > R26 47k >")
    moved = envelope_of(answered(through)).moved
    assert moved is not None
    # 4.7 uF and 49 kohm are 0.23 s: what the fall takes back goes below rest (a high-pass has no mean).
    assert moved.delay_s.min() < envelope_of(answered(through)).rest_s - 1e-4


def test_a_volt_that_stops_the_clock_is_told_and_not_computed() -> None:
    found = answered(FOLLOWER.replace("> R26 47k >", "> C24 47u > R26 470 >"))
    one = envelope_of(found)
    assert one.reach.stalls and one.moved is None and 0 < one.at_limit_s < 2
    assert "the clock stops there" in markdown_page(repeats_document(found))


def test_what_an_oscillator_moves_is_no_envelope() -> None:
    found = answered(circuits.text("duckpond-chorus"))
    assert found.modulation and found.envelopes == ()
    assert answered(circuits.text("lantern-echo")).envelopes == ()


def test_every_medium_shows_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("own.pedal").write_text(FOLLOWER, encoding="utf-8")
    heading = "Envelope from U2b.inv into U1"
    assert main(["repeats", "own.pedal"]) == 0
    told = capsys.readouterr().out
    assert heading in told and "one volt" in told
    assert main(["repeats", "own.pedal", "--html", "out.html"]) == 0
    assert heading in Path("out.html").read_text(encoding="utf-8")
    assert main(["repeats", "own.pedal", "--json"]) == 0
    (one,) = json.loads(capsys.readouterr().out)["envelopes"]
    assert one["shortest_s"] <= one["rest_s"] < one["longest_s"] and one["down_cents"] < 0 < one["up_cents"]
