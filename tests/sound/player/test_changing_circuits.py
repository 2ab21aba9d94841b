"""Switches thrown, knobs turned to their ends and supplies switched on while a circuit plays."""

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.notation import read_text
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.movement import Flip, Glide, KnobMovement, SwitchMovement
from pedalwright.sound.player import Player
from pedalwright.sound.unusable import UnusableSound

RATE_HZ = 48000
TWO_CAPACITORS = """supply VIN 9V wall
input IN line
output A 10M
switch S off on at off
IN > R1 10M > A
VIN > R2 10M > A > C1 1u > gnd
A > S.common
S.on > C2 {farads} || R3 10M > gnd
"""


def noise(frames: int, peak_v: float = 0.5) -> FloatArray:
    return np.random.default_rng(7).uniform(-peak_v, peak_v, frames)


def all_of(player: Player, sound: FloatArray) -> FloatArray:
    return player.play(np.concatenate([sound, np.zeros(player.latency_frames)]))[player.latency_frames :]


@pytest.mark.parametrize("microfarads", (0.01, 1.0, 47.0))
def test_a_switch_that_joins_two_capacitors_shares_their_charge(microfarads: float) -> None:
    circuit = read_text(TWO_CAPACITORS.format(farads=f"{microfarads}u"))
    flips = SwitchMovement(ref="S", stands_at="off", flips=(Flip(position="on", at_s=0.1),))
    player = Player.of(circuit, movements=(flips,), probes=("A",), oversampling=2)
    player.play(np.zeros(RATE_HZ // 4))
    volts, at = np.concatenate(player.probed)[:, 0], RATE_HZ * 2 // 10
    # Ten megohms and a microfarad make ten seconds: in ten steps the resistors move hardly anything.
    assert volts[at + 10] == pytest.approx(volts[at - 10] / (1.0 + microfarads), rel=1e-3)


@pytest.mark.parametrize(
    "name", [name for name in circuits.names() if read_text(circuits.text(name)).switches]
)
def test_switches_thrown_while_it_plays_leave_numbers(name: str) -> None:
    circuit = read_text(circuits.text(name))
    for switch in circuit.switches:
        places = [pin for pin in dict(switch.pins) if pin != "common"]
        flips = tuple(
            Flip(position=place, at_s=0.05 * k) for k, place in enumerate([*places, *places], start=1)
        )
        move = SwitchMovement(ref=switch.ref, stands_at=str(switch.setting), flips=flips)
        out_v = all_of(Player.of(circuit, movements=(move,), oversampling=2), noise(RATE_HZ // 2))
        assert np.isfinite(out_v).all() and np.abs(out_v).max() < 18.0


@pytest.mark.slow
@pytest.mark.parametrize("name", [n for n in circuits.names() if read_text(circuits.text(n)).knobs])
def test_every_knob_to_both_ends_at_once_while_it_plays(name: str) -> None:
    """Jumps from end to end: tracks of a few ohms, and of all they have, from one step to the next."""
    circuit = read_text(circuits.text(name))
    jumps = tuple(
        Glide(first=10.0 * (k % 2), last=10.0 * ((k + 1) % 2), start_s=0.04 * (k + 1), over_s=0.0)
        for k in range(4)
    )
    moves = [KnobMovement(ref=knob.ref, stands_at=0.0, glides=jumps) for knob in circuit.knobs]
    player = Player.of(circuit, movements=moves, oversampling=2)
    out_v = all_of(player, noise(RATE_HZ // 4))
    assert not player.remarks
    assert np.isfinite(out_v).all() and np.abs(out_v).max() < 18.0


def settled(circuit: Circuit, nets: list[str], seconds: int) -> FloatArray:
    player = Player.of(circuit, power_on=True, oversampling=1, probes=nets)
    for _ in range(seconds):
        player.probed.clear()
        assert np.isfinite(player.play(np.zeros(RATE_HZ))).all()
    return np.asarray(np.concatenate(player.probed)[-RATE_HZ // 2 :])


@pytest.mark.slow
@pytest.mark.parametrize("name", circuits.names())
def test_a_circuit_switched_on_comes_to_its_rest(name: str) -> None:
    """Every net within 1 % (10 mV below a volt); of an oscillator, the nets that stand still."""
    circuit = read_text(circuits.text(name))
    analysis = Analysis(circuit)
    nets = [net for net in circuit.nets if net != "gnd" and net in analysis.system.rows]
    volts = settled(circuit, nets, 40 if analysis.rest.stays else 20)
    for place, net in enumerate(nets):
        rest_v, found = analysis.rest.volts(net), volts[:, place]
        if analysis.rest.stays or np.ptp(found) < 1e-3:
            bound = 0.01 * max(abs(rest_v), 1.0)
            assert abs(found.mean() - rest_v) < bound, f"{name} {net}: {found.mean():.4f}, rest {rest_v:.4f}"


def decoder_levels(text: str, seconds: float) -> tuple[FloatArray, tuple[str, ...]]:
    """Effective volts at the decoder in every 20 ms after switch-on, a tone at the input from the first."""
    circuit = read_text(text).with_settings({"TIME": 0.0})
    player = Player.of(circuit, power_on=True, probes=[circuit.by_ref["U2"].net("12")], oversampling=1)
    player.play(0.2 * np.sin(2 * np.pi * 1000 * np.arange(round(seconds * RATE_HZ)) / RATE_HZ))
    volts = np.concatenate(player.probed)[:, 0]
    volts = volts[: len(volts) // 960 * 960].reshape(-1, 960)
    # The tone alone: the reference comes up slowly meanwhile.
    turn = np.exp(-2j * np.pi * 1000 * np.arange(960) / RATE_HZ)
    ramp = np.linspace(0, 1, 960)
    flat = volts - volts[:, :1] - (volts[:, -1:] - volts[:, :1]) * ramp
    return np.abs(flat @ turn) / 480, tuple(player.remarks)


def test_the_echo_comes_up_after_the_start_up_mute() -> None:
    """The data sheet has the sound up 400 ms after switch-on; before half of that nothing is heard."""
    levels, remarks = decoder_levels(circuits.text("lantern-echo"), 1.5)
    full = levels[60:].mean()
    assert not remarks
    assert levels[3:10].max() < 0.02 * full
    assert levels[24:30].mean() == pytest.approx(full, rel=0.1)
    assert levels[15:17].mean() < 0.7 * full


def test_a_time_pin_below_a_kilohm_at_switch_on_locks_the_clock_up() -> None:
    text = circuits.text("lantern-echo").replace("R12 2k2", "R12 470")
    levels, remarks = decoder_levels(text, 1.0)
    assert any("does not start" in remark and "U2" in remark for remark in remarks), remarks
    assert levels[5:].max() < 1e-3
    healthy, _ = decoder_levels(circuits.text("lantern-echo"), 1.0)
    assert healthy[-5:].min() > 0.05


BEHIND_OPEN_SWITCH = """input IN line
output O 10k
IN > R1 1k > O
switch S off on at off
O > S.common
S.on > C2 1u > gnd
"""

AWAY_FROM_THE_SOUND = """supply VIN 9V wall
input IN line
output A 10M
IN > R1 10k > gnd
VIN > R2 10M > A > C1 1u > gnd
switch S off on at off
A > S.common
S.on > C2 1u || R3 10M > gnd
"""

AT_A_RAIL = """supply VIN 9V wall
input IN line
output O 100k
part U2 dual-opamp NE5532 v+=VIN v-=gnd
VIN > R902 47k > VB > R903 47k > gnd
U2a.out > C10 47n > O
IN > R3 10k > U2a.non
U2a.non > R5 680k > U2a.out
U2a.inv > VB
"""


def test_a_capacitor_behind_an_open_switch_does_not_matter() -> None:
    open_v = all_of(Player.of(read_text(BEHIND_OPEN_SWITCH), oversampling=2), noise(4800))
    without = BEHIND_OPEN_SWITCH.replace("1u", "1p")
    np.testing.assert_allclose(
        open_v, all_of(Player.of(read_text(without), oversampling=2), noise(4800)), atol=1e-6
    )


def test_a_switch_keeps_the_charge_of_what_no_sound_reaches() -> None:
    movement = SwitchMovement(ref="S", stands_at="off", flips=(Flip(position="on", at_s=0.05),))
    circuit = read_text(AWAY_FROM_THE_SOUND)
    told = all_of(Player.of(circuit, oversampling=2, movements=(movement,)), np.zeros(4800))
    # 10M and the load of 10M: 4.5 V; then the same charge on twice the farads, and no time to leak.
    assert told[1000] == pytest.approx(4.5, rel=1e-3)
    assert told[2500] == pytest.approx(2.25, rel=1e-2)


def test_an_amplifier_that_rests_at_its_rail_is_silent_and_not_refused() -> None:
    player = Player.of(read_text(AT_A_RAIL), oversampling=2)
    assert np.abs(all_of(player, noise(9600))).max() < 2e-3  # the tolerance of a few parts of a step
    assert not player.remarks


def test_what_is_no_number_is_refused_and_not_played() -> None:
    player = Player.of(read_text(BEHIND_OPEN_SWITCH), oversampling=1)
    with pytest.raises(UnusableSound, match="no solution is found"):
        player.play(np.full(4800, np.nan))
