"""What is told of a circuit's noise: finite and certified or refused, shares that add up, cures that hold."""

import math
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from pedalwright import circuits, read_text
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import NetMistake
from pedalwright.analysis.noise import STATES, NoiseAnswers, noise_answers
from pedalwright.analysis.noise.bench import NoiseBench
from pedalwright.analysis.noise.picture import FINE, picture, settled_picture
from pedalwright.analysis.noise.trials import partners
from pedalwright.circuit.circuit import Circuit
from pedalwright.solve import certificate

BOLTZMANN = 1.380649e-23


@cache
def told(name: str, source: str = "pickup") -> NoiseAnswers:
    return noise_answers(read_text(circuits.text(name)), source=source)


def weighted_v(answers: NoiseAnswers) -> float:
    assert answers.chosen is not None and answers.chosen.weighted_v is not None
    return answers.chosen.weighted_v


@pytest.mark.parametrize("name", circuits.names())
@pytest.mark.parametrize("position", [0.0, 5.0, 10.0])
def test_every_circuit_gives_finite_certified_figures(name: str, position: float) -> None:
    circuit = read_text(circuits.text(name)).circuit
    found = noise_answers(Analysis(circuit.with_settings({knob.ref: position for knob in circuit.knobs})))
    assert found.is_sound, found.refusals
    assert all(one.ok for one in found.certificates)
    assert [one.state for one in found.inputs] == list(STATES)
    for one in found.inputs:
        assert one.weighted_v is not None and one.unweighted_v is not None
        # A milliohm at 300 K is 0.6 nV over the band; a quiet pedal stays below a volt.
        assert 1e-9 < one.weighted_v < 1.0 and 1e-9 < one.unweighted_v < 1.0
    assert np.isfinite(found.density_v_per_rthz).all() and (found.density_v_per_rthz > 0).all()


@pytest.mark.parametrize("name", circuits.names())
@pytest.mark.parametrize("source", STATES)
def test_shares_add_up_and_the_loudest_comes_first(name: str, source: str) -> None:
    found = told(name, source)
    loudness = [one.weighted_v for one in found.contributors]
    assert loudness == sorted(loudness, reverse=True)
    for shares in (
        [one.weighted_share for one in found.contributors],
        [one.unweighted_share for one in found.contributors],
        *([share for _, share in one.causes] for one in found.contributors if one.weighted_v),
    ):
        assert math.fsum(shares) == pytest.approx(1.0, abs=1e-9)
    assert math.hypot(*loudness) == pytest.approx(weighted_v(found), rel=1e-9)


def shuffled(circuit: Circuit, seed: int) -> Circuit:
    order = np.random.default_rng(seed).permutation(len(circuit.parts))
    return replace(circuit, parts=tuple(circuit.parts[place] for place in order))


@pytest.mark.parametrize("name", ["lantern-echo", "kilnhouse-drive", "plumtree-fuzz", "ferryman-phaser"])
def test_the_order_of_the_parts_does_not_matter(name: str) -> None:
    circuit = read_text(circuits.text(name)).circuit
    for seed in range(2):
        other = noise_answers(Analysis(shuffled(circuit, seed)))
        assert weighted_v(other) == pytest.approx(weighted_v(told(name)), rel=1e-7)
        assert [one.name for one in other.contributors[:5]] == [
            one.name for one in told(name).contributors[:5]
        ]


LOUD = """pedal Resistors
input IN 10 1V
output OUT 1G
IN > R1 100k > OUT
OUT > R2 100k > gnd
OUT > R3 1M > gnd
"""


def test_a_divider_ranks_as_its_conductances() -> None:
    """At a net that resistors alone join, each has the share of its conductance (4 k T G Z^2)."""
    found = noise_answers(read_text(LOUD))
    wanted = np.array([1 / 100e3, 1 / 100.01e3, 1 / 1e6])
    shares = {one.ref: one.weighted_share for one in found.contributors}
    assert [one.ref for one in found.contributors[:3]] == ["R2", "R1", "R3"]
    assert shares["R2"] == pytest.approx(wanted[0] / wanted.sum(), rel=1e-3)
    assert shares["R3"] == pytest.approx(wanted[2] / wanted.sum(), rel=1e-3)


def test_the_whole_is_nyquists_in_the_band() -> None:
    found = noise_answers(read_text(LOUD))
    ohms = 1 / (1 / 100e3 + 1 / 100.01e3 + 1 / 1e6 + 1e-9)
    assert found.chosen is not None and found.chosen.unweighted_v is not None
    total = math.sqrt(4 * BOLTZMANN * found.temperature_k * ohms * 19980.0)
    assert found.chosen.unweighted_v == pytest.approx(total, rel=1e-6)
    assert found.chosen.weighted_v == pytest.approx(total * math.sqrt(12467.18 / 19980.0), rel=1e-5)


def test_the_ratio_to_the_sound_is_that_of_the_figures_told() -> None:
    found = noise_answers(read_text(LOUD))
    assert found.playing is not None and found.chosen is not None
    gain = (1 / 100.01e3) / (1 / 100.01e3 + 1 / 100e3 + 1 / 1e6 + 1e-9)
    assert found.playing.output_v == pytest.approx(gain, rel=1e-5)
    ratio = 20 * math.log10(gain / math.sqrt(2) / weighted_v(found))
    assert found.chosen.signal_to_noise_db == pytest.approx(ratio, abs=1e-4)


def test_shorted_pickup_and_open_differ_as_the_source_does() -> None:
    """A buffer: 1 Mohm at its input hears itself alone when nothing is plugged in."""
    by_state = {one.state: one.weighted_v or 0.0 for one in told("gatepost-buffer").inputs}
    assert by_state["shorted"] < by_state["pickup"] < by_state["open"]
    for state in STATES:
        assert weighted_v(told("gatepost-buffer", state)) == pytest.approx(by_state[state])
    assert not any(one.label.startswith("the pickup") for one in told("gatepost-buffer", "open").contributors)


@pytest.mark.parametrize("name", circuits.names())
def test_every_cure_holds_when_it_is_made(name: str) -> None:
    """The part is changed in the circuit and the whole question asked again: the same decibels."""
    analysis = read_text(circuits.text(name))
    base = weighted_v(told(name))
    for cure in told(name).cures:
        if not cure.changes:
            continue
        parts = {}
        for ref, _, tried in cure.changes:
            part = analysis.circuit.by_ref[ref]
            parts[ref] = (
                replace(part, type=tried) if part.type else replace(part, value=_value(part.kind, tried))
            )
        after = noise_answers(Analysis(analysis.circuit.with_parts(parts)))
        assert 20 * math.log10(weighted_v(after) / base) == pytest.approx(cure.noise_db, abs=0.01), cure.says
        assert cure.better_db == pytest.approx(cure.level_db - cure.noise_db)
        assert cure.better_db >= 0.1


def _value(kind: str, text: str) -> float:
    from pedalwright.units.values import Quantity, parse_value

    return parse_value(text, Quantity.CAPACITANCE if kind == "capacitor" else Quantity.RESISTANCE)


@pytest.mark.parametrize("name", circuits.names())
def test_every_cure_changes_the_part_it_is_against(name: str) -> None:
    for cure in (*told(name).cures, *told(name).left_aside):
        refs = {ref for ref, _, _ in cure.changes}
        (against,) = (one.ref for one in told(name).contributors if (one.name,) == cure.against)
        assert not cure.changes or {against, against.rstrip("abcd")} & refs, cure.says


def test_cures_that_keep_the_level_come_first_and_best_first() -> None:
    for name in circuits.names():
        found = told(name).cures
        keeping = [cure.keeps_level for cure in found]
        assert keeping == sorted(keeping, reverse=True)
        for way in (True, False):
            better = [cure.better_db for cure in found if cure.keeps_level is way]
            assert better == sorted(better, reverse=True)


def test_the_quieter_amplifier_is_found() -> None:
    """A follower of a gain of two in ohms alone: en is all there is, and the NE5532 has least of it."""
    text = """supply VA 9V wall
input IN 10 1V
output OUT 100k
part U1 dual-opamp TL072 v+=VA v-=gnd
VA > R1 10k > VB > R2 10k > gnd
VB > C1 100u > gnd
IN > C2 10u > U1a.non > R3 1k > VB
U1a.inv > R4 100 > C3 100u > gnd
U1a.inv > R5 100 > U1a.out > C4 10u > OUT
U1b.inv > U1b.out
U1b.non > VB
"""
    found = noise_answers(read_text(text))
    assert found.contributors[0].ref == "U1a"
    best = found.cures[0]
    assert best.changes == (("U1", "TL072", "NE5532"),)
    # 18 to 5 nV/rtHz is 11.1 dB; the lower 1/f corner adds to that, the resistors of 100 ohm take from it.
    assert best.better_db == pytest.approx(20 * math.log10(18 / 5), abs=0.3)


def test_half_the_resistors_with_their_capacitors_are_half_the_power() -> None:
    """An inverting stage of a silent amplifier: all impedances halved, 3 dB less noise, the level kept."""
    text = circuits.text("lesson-inverting-amplifier")
    analysis = read_text(text)
    group = partners(NoiseBench(analysis), analysis.circuit.by_ref["R3"])
    assert sorted(part.ref for part in group) == ["C3", "C4", "R3", "R4"]
    scaled = {
        part.ref: replace(part, value=(part.value or 0.0) * (2.0 if part.kind == "capacitor" else 0.5))
        for part in group
    }
    before, after = (
        picture(NoiseBench(one, "shorted"), "OUT")
        for one in (analysis, Analysis(analysis.circuit.with_parts(scaled)))
    )
    assert after.signal == pytest.approx(before.signal, rel=1e-3)
    assert before.shares is not None and after.shares is not None
    thermal = [
        sum(
            share.sum()
            for source, share in zip(found.sources, shares, strict=True)
            if source.owner in ("R3", "R4")
        )
        for found, shares in ((before, before.shares), (after, after.shares))
    ]
    assert thermal[1] / thermal[0] == pytest.approx(0.5, rel=1e-3)


@pytest.mark.parametrize("name", ["duckpond-chorus", "ferryman-phaser", "millwheel-tremolo"])
def test_a_slow_oscillator_is_held_still_and_said_to_be(name: str) -> None:
    analysis = read_text(circuits.text(name))
    bench = NoiseBench(analysis)
    assert not analysis.rest.stays and bench.held and bench.rest.stays
    for net in bench.held:
        assert bench.rest.volts(net) == pytest.approx(analysis.rest.volts(net), abs=1e-6)
    assert any("held still" in said for said in told(name).conditions)


def test_an_unknown_oscillation_is_refused() -> None:
    """A Wien bridge of a gain of four swings at 1.6 kHz: no slow oscillator, and nothing rests."""
    text = """supply VA 9V wall
input IN 1k 1V
output OUT 100k
part U1 opamp TL071 v+=VA v-=gnd
VA > R1 10k > VB > R2 10k > gnd
VB > C1 100u > gnd
U1.out > R3 10k > C2 10n > U1.non
U1.non > R4 10k || C3 10n > VB
U1.inv > R5 10k > VB
U1.inv > R6 30k > U1.out > C4 1u > OUT
IN > R7 1M > U1.non
"""
    found = noise_answers(read_text(text))
    assert not found.is_sound
    assert any("oscillates by itself" in refusal for refusal in found.refusals)
    assert all(one.weighted_v is None for one in found.inputs)
    assert found.contributors == ()


def test_a_clipping_circuit_says_idle_only() -> None:
    assert any(said.startswith("Idle noise only") for said in told("kilnhouse-drive").conditions)
    assert not any(said.startswith("Idle noise only") for said in told("lantern-echo").conditions)


def test_what_is_not_certified_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(certificate, "RESIDUAL_BOUND", -1.0)
    found = noise_answers(read_text(LOUD))
    assert not found.is_sound
    assert any("not certified" in refusal for refusal in found.refusals)
    assert all(one.weighted_v is None and one.unweighted_v is None for one in found.inputs)
    assert len(found.density_v_per_rthz) == 0 and found.playing is None


def test_a_sharp_resonance_gets_more_frequencies() -> None:
    analysis = read_text(circuits.text("lesson-band-pass"))
    found = settled_picture(NoiseBench(analysis), "OUT")
    assert len(found.frequencies_hz) > FINE
    finer = picture(NoiseBench(analysis), "OUT", 4 * len(found.frequencies_hz) + 1)
    one, other = (float(shot.powers(shot.opened, weighted=True).sum()) for shot in (found, finer))
    assert one == pytest.approx(other, rel=1e-3)


def test_a_zener_that_conducts_is_told() -> None:
    text = "supply VA 9V wall\noutput OUT 1M\nVA > R1 1k > OUT\ngnd > D1 5V1 > OUT\n"
    found = noise_answers(read_text(text))
    assert any(said.startswith("D1 conducts backwards") for said in found.conditions)


def test_a_circuit_without_a_source_is_told_as_it_stands() -> None:
    found = noise_answers(read_text("output OUT 1M\nOUT > R1 10k > gnd\n"))
    assert [one.words for one in found.inputs] == ["no input jack"]
    assert found.playing is None and found.inputs[0].signal_to_noise_db is None
    assert found.inputs[0].weighted_v is not None


def test_where_to_listen_must_be_known() -> None:
    with pytest.raises(NetMistake, match="--at NET"):
        noise_answers(read_text("A > R1 10k > gnd\n"))
    found = noise_answers(read_text("A > R1 10k > gnd\n"), at="R1.1")
    assert found.at == "A"
    with pytest.raises(NetMistake, match="Nothing can be heard"):
        noise_answers(read_text("A > R1 10k > gnd\n"), at="gnd")
    with pytest.raises(ValueError, match="none of shorted, pickup, open"):
        noise_answers(read_text(LOUD), source="guitar")


def test_nothing_plugged_in_has_cures_too() -> None:
    """With an open input nothing sounds: levels are asked of the stated source."""
    found = told("kilnhouse-drive", "open")
    assert found.cures
    assert all(abs(cure.level_db) < 10 for cure in found.cures)
