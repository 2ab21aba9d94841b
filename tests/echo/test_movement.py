"""What `repeats` tells of several chips and moved delays, against counting, published rules, identities."""

import json
from itertools import product
from pathlib import Path

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.echo_movement import ModulationAnswer, ReverbAnswer
from pedalwright.analysis.echo_records import EchoAnswers
from pedalwright.analysis.memo import Analysis
from pedalwright.cli.main import main
from pedalwright.notation import read_text
from pedalwright.report.markdown_page import markdown_page
from pedalwright.report.repeats_document import repeats_document

DUCKPOND = circuits.text("duckpond-chorus")


def answered(text: str, **settings: float | str) -> EchoAnswers:
    found = echo_answers(Analysis(read_text(text).with_settings(settings), text), 3, 10)
    assert found is not None
    return found


@pytest.fixture(scope="module")
def grainloft() -> EchoAnswers:
    return answered(circuits.text("grainloft-reverb"))


def reverb_of(found: EchoAnswers) -> ReverbAnswer:
    assert found.reverb is not None
    return found.reverb


def movement_of(found: EchoAnswers) -> ModulationAnswer:
    (one,) = found.modulation
    return one


def test_echoes_are_counted_as_by_hand(grainloft: EchoAnswers) -> None:
    found = reverb_of(grainloft)
    first, second = found.delays_s
    for until, count, _ in found.counts:
        pairs = product(range(40), repeat=2)
        assert count == sum(a * first + b * second <= until for a, b in pairs)


def test_modes_follow_the_published_rule(grainloft: EchoAnswers) -> None:
    found = reverb_of(grainloft)
    # J. O. Smith, Physical Audio Signal Processing, Mode Density Requirement: the sum of the delays is the
    # number of modes per hertz, and 0.15 per hertz are wanted for each second.
    assert found.modes_per_hz == pytest.approx(sum(found.delays_s))
    assert found.enough_for_s == pytest.approx(sum(found.delays_s) / 0.15)


def test_the_octave_at_1_khz_is_the_decay_told_there(grainloft: EchoAnswers) -> None:
    assert grainloft.loop is not None and grainloft.decay_s is not None
    alone = grainloft.decay_s[grainloft.loop.at(1000.0)]
    assert dict(reverb_of(grainloft).octaves_s)[1000.0] == pytest.approx(alone, rel=0.02)


def test_advice_is_better_for_the_worst_chips_and_can_be_bought(grainloft: EchoAnswers) -> None:
    found = reverb_of(grainloft)
    assert found.advice is not None and found.advice.least_separate > found.least_separate
    # Maker's data sheet, table 1: 5.4 k 92.2 ms, 5.8 k 97.1 ms; 6.4 k 104.3 ms, 7.2 k 113.7 ms.
    assert found.advice.ohms == (5.6e3, 6.8e3)
    assert found.advice.delays_s == pytest.approx((94.65e-3, 109.0e-3), rel=1e-3)


def test_one_chip_is_no_reverberation() -> None:
    assert answered(circuits.text("lantern-echo")).reverb is None


def test_pitch_is_one_less_the_slope_of_the_delay() -> None:
    """What comes out is x(t - T(t)), so its pitch is 1 - dT/dt: Doppler, from first principles."""
    moved = movement_of(answered(DUCKPOND)).moved
    assert moved is not None
    slope = np.gradient(moved.delay_s, moved.time_s)
    inside = slice(2, -2)
    assert moved.pitch_ratio[inside] == pytest.approx(1 - slope[inside], abs=3e-4)


def test_the_rate_is_that_of_the_circuits_closed_form() -> None:
    # Triangle generator (Coughlin and Driscoll, ch. 6): f = R17 / (4 R16 (R18 + RATE) C20), RATE fully down.
    rates = [movement_of(answered(DUCKPOND, RATE=at)).rate_hz for at in (0.0, 10.0)]
    want = [100e3 / (4 * 47e3 * (100e3 + ohms) * 1e-6) for ohms in (1e6, 0.0)]
    assert sorted(rates) == pytest.approx(sorted(want), rel=0.01)


def test_without_dry_sound_it_is_a_vibrato() -> None:
    chorus, vibrato = (movement_of(answered(DUCKPOND, VOICE=at)).character for at in ("chorus", "vibrato"))
    assert chorus is not None and vibrato is not None
    # 67 ms: past the 50 ms up to which the ear speaks of a chorus (common practice, no source).
    assert (chorus.word, vibrato.word) == ("doubling", "vibrato")
    assert chorus.shortest_notches_hz[0] == pytest.approx(1 / (2 * chorus.shortest_s))
    assert vibrato.shortest_notches_hz == ()


def test_depth_down_moves_next_to_nothing() -> None:
    shallow, deep = (answered(DUCKPOND, DEPTH=at).modulation for at in (0.0, 10.0))
    # The oscillator's own half supply moves a little with it, so not quite nothing is left.
    assert deep[0].moved is not None and shallow[0].moved is not None
    assert shallow[0].moved.up_cents < 5 and deep[0].moved.up_cents > 50


def test_a_swing_that_stops_the_clock_is_told_and_not_computed() -> None:
    found = answered(
        DUCKPOND.replace("R20 22k", "R20 470").replace("R16 47k", "R16 91k"), DEPTH=10.0, RATE=10.0
    )
    one = movement_of(found)
    assert one.reach.stalls and one.moved is None
    assert "the clock stops there" in markdown_page(repeats_document(found))


def test_every_medium_shows_both(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    for name, heading, key in (
        ("grainloft-reverb", "As a reverberation", "reverb"),
        ("duckpond-chorus", "Movement of U2", "modulation"),
    ):
        Path(f"{name}.pedal").write_text(circuits.text(name), encoding="utf-8")
        assert main(["repeats", f"{name}.pedal"]) == 0
        assert heading in capsys.readouterr().out
        assert main(["repeats", f"{name}.pedal", "--html", "out.html", "--markdown", "out.md"]) == 0
        assert heading in Path("out.html").read_text(encoding="utf-8")
        assert heading in Path("out.md").read_text(encoding="utf-8")
        assert main(["repeats", f"{name}.pedal", "--json"]) == 0
        assert json.loads(capsys.readouterr().out)[key]
