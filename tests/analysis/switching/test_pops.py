"""Whole circuits whose pops have closed forms: dividers, charge sharing, RC discharge."""

import numpy as np
import pytest
from scipy import signal

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.switching.leaks import insulation_ohms
from pedalwright.analysis.switching.pop import (
    NEXT_FARADS,
    NEXT_OHMS,
    OFFSET_V,
    bypass_pop,
    bypassed,
    lamp_pop,
    offset_at,
    pop_of,
    shared_step_v,
    standing_v,
    switch_on_thump,
    throw_pop,
)
from pedalwright.analysis.switching.transient import COUNT, STEP_S
from pedalwright.analysis.switching.weighting import POLES_HZ, ZEROS
from pedalwright.circuit.circuit import Circuit
from pedalwright.notation.reading import read_text

BIASED = """pedal A biased capacitor
supply VB 4.5V wall
output OUT 1M
VB > R1 100 > A > C1 1u (film, leak={leak}) > OUT
OUT > R2 {pull} > gnd
"""


def _circuit(text: str) -> Circuit:
    return read_text(text)


@pytest.mark.parametrize("pull, ohms", [("10M", 10e6), ("2M2", 2.2e6), ("1M", 1e6), ("100k", 100e3)])
@pytest.mark.parametrize("leak, leak_ohms", [("45M", 45e6), ("450M", 450e6)])
def test_what_stands_on_an_open_output(pull: str, ohms: float, leak: str, leak_ohms: float) -> None:
    """V Rpd/(Rpd + Rleak), 4.5 V and 0.1 uA or 10 nA of leakage: 818, 210, 98, 10 mV and 98, 22, 10, 1 mV
    (own computation from Ohm's law).
    """
    pop = bypass_pop(Analysis(_circuit(BIASED.format(leak=leak, pull=pull))))
    stands = standing_v(4.5, ohms, leak_ohms)
    assert pop.output_v == pytest.approx(stands, rel=1e-3)
    assert pop.peak_v == pytest.approx(shared_step_v(stands, 1e-6), rel=2e-3)


def test_the_table_itself() -> None:
    """The same figures in millivolts, as round numbers."""
    slow = [round(1e3 * standing_v(4.5, ohms, 45e6)) for ohms in (10e6, 2.2e6, 1e6, 100e3)]
    good = [round(1e3 * standing_v(4.5, ohms, 450e6)) for ohms in (10e6, 2.2e6, 1e6, 100e3)]
    assert slow == [818, 210, 98, 10]
    assert good == [98, 22, 10, 1]


def test_without_a_pull_down_all_of_it_arrives() -> None:
    text = BIASED.format(leak="45M", pull="1M").replace("OUT > R2 1M > gnd\n", "")
    pop = bypass_pop(Analysis(_circuit(text)))
    assert pop.output_v == pytest.approx(4.5, rel=1e-3)
    assert pop.weighted_v == pytest.approx(0.97 * pop.peak_v, rel=0.02)


def test_the_decay_is_that_of_the_capacitor_into_both_resistors() -> None:
    """tau = C (Ramp || Rpd) (circuit theory): 1 uF into 1M || 100k = 90.9 ms."""
    jack = bypassed(Analysis(_circuit(BIASED.format(leak="45M", pull="100k"))))
    before = jack.apart.network.rest()
    network, row = jack.together.network, jack.together.small.row("OUT")
    wave = network.released(jack.apart.network.c @ before, row)
    settles = network.rest()[row]
    tau = 1e-6 / (1 / NEXT_OHMS + 1 / 100e3 + 1 / 45e6)
    at = 5000
    assert (wave[at] - settles) / (wave[100] - settles) == pytest.approx(
        np.exp(-(at - 100) * STEP_S / tau), rel=2e-3
    )


def test_half_the_step_changes_a_pop_by_less_than_one_per_cent() -> None:
    from pedalwright import circuits

    jack = bypassed(Analysis(_circuit(circuits.text("lantern-echo"))))
    charge = jack.apart.network.c @ jack.apart.network.rest()
    row = jack.together.small.row(jack.output_net)
    coarse, fine = (
        pop_of(jack.together.network.released(charge, row, step_s=step), step_s=step)
        for step in (STEP_S, STEP_S / 2)
    )
    assert fine.peak_v == pytest.approx(coarse.peak_v, rel=0.01)
    assert fine.weighted_v == pytest.approx(coarse.weighted_v, rel=0.01)


def test_the_weighted_root_mean_square_is_that_of_scipy() -> None:
    """The first 50 ms of a decaying step through the standard's poles, by SciPy's integration."""
    time_s = STEP_S * np.arange(COUNT)
    wave = np.exp(-time_s / 0.02)
    poles = [-2 * np.pi * pole for pole in POLES_HZ]
    gain = 1 / abs(signal.freqs_zpk([0.0] * ZEROS, poles, 1.0, [2 * np.pi * 1000.0])[1][0])
    heard = signal.lsim(signal.ZerosPolesGain([0.0] * ZEROS, poles, gain), wave, time_s)[1]
    expected = np.sqrt(np.mean(heard[:5000] ** 2))
    assert pop_of(wave).weighted_rms_v == pytest.approx(expected, rel=0.02)


SWITCHED = """pedal A switch
supply V 9V wall
input IN 1k 1V
output OUT 1M
switch MODE one other at one
V > R1 10k > A > R2 {lower} > gnd
V > R3 10k > B > R4 10k > gnd
A > MODE.one
B > MODE.other
MODE.common > OUT
OUT > C1 10n (film) > gnd
IN > R5 1M > gnd
"""


def _thrown(lower: str) -> tuple[Analysis, Analysis]:
    circuit = _circuit(SWITCHED.format(lower=lower))
    return Analysis(circuit), Analysis(circuit.with_settings({"MODE": "other"}))


def test_contacts_at_one_voltage_switch_in_silence() -> None:
    assert throw_pop(*_thrown("10k")).peak_v < 1e-9


def test_contacts_at_two_voltages_make_their_difference() -> None:
    """9 V 10/20 against 9 V 5/15 less the load of 1 Mohm (Ohm's law); the capacitor only rounds the edge."""
    low, high = (1 / (1 / 10e3 + 1 / lower + 1e-6) / 10e3 * 9 for lower in (5e3, 10e3))
    pop = throw_pop(*_thrown("5k"))
    assert pop.peak_v == pytest.approx(high - low, rel=1e-3)


def test_a_capacitor_on_the_contact_shares_its_charge() -> None:
    """Two capacitors, one at 9 V and one at 0 V: V C1/(C1 + C2) in the first instant (charge sharing)."""
    text = """pedal Two capacitors
supply V 9V wall
input IN 1k 1V
output OUT 100M
switch S open closed at open
V > R1 10M > A > C1 100n (film, leak=1000G) > gnd
A > S.common
S.closed > OUT
OUT > C2 400n (film, leak=1000G) > gnd
OUT > R2 100M > gnd
IN > R5 1M > gnd
"""
    circuit = _circuit(text)
    pop = throw_pop(Analysis(circuit), Analysis(circuit.with_settings({"S": "closed"})))
    assert pop.peak_v >= 9 * 100 / 500 * 0.999
    wave_start = 9 * 100 / 500
    assert pop.weighted_v == pytest.approx(0.97 * wave_start, rel=0.03)


def test_the_thump_of_a_divider_behind_a_capacitor() -> None:
    """9 V through 10k/10k and 1 uF into 100k: 4.5 V 100/105 at once (Ohm's law)."""
    text = """pedal A divider
supply V 9V wall
output OUT 1M
V > R1 10k > A > R2 10k > gnd
A > C1 1u (film) > OUT
OUT > R3 100k > gnd
"""
    load = 1 / (1 / 100e3 + 1 / 1e6)
    assert switch_on_thump(Analysis(_circuit(text))).peak_v == pytest.approx(
        4.5 * load / (load + 5e3), rel=1e-3
    )


def test_a_lamp_on_a_battery() -> None:
    """10 mA through the battery's 2 ohm; all of it arrives behind a capacitor into a megohm (Ohm's law)."""
    text = """pedal A battery
supply V 9V battery
output OUT 1M
V > C1 1u (film) > OUT
OUT > R1 1M > gnd
"""
    assert lamp_pop(Analysis(_circuit(text)), "V", 0.01).peak_v == pytest.approx(0.02, rel=1e-3)


def test_the_offset_of_a_direct_coupled_amplifier() -> None:
    """Offset times noise gain: 3 mV times 1 + 90/10 (handbook formula)."""
    text = """pedal Direct
supply VP 9V wall
supply VN -9V wall
input IN 1k 1V
output OUT 1M
part U1 opamp TL071 v+=VP v-=VN
IN > U1.non > R1 1M > gnd
U1.out > R2 90k > U1.inv > R3 10k > gnd
U1.out > OUT
"""
    assert offset_at(Analysis(_circuit(text)), "OUT") == pytest.approx(10 * OFFSET_V, rel=1e-3)


def test_every_capacitor_leaks_something() -> None:
    """Ten thousand seconds of film, five hundred of ceramic, never more than their ceilings (from memory)."""
    circuit = _circuit(
        "pedal Leaks\nsupply V 9V wall\nV > C1 1u (film) > gnd\nV > C2 100n (film) > gnd\n"
        "V > C3 100n (ceramic) > gnd\nV > C4 10u (electrolytic, 16V) > gnd\nV > C5 1u (film, leak=7M) > gnd\n"
    )
    found = {part.ref: insulation_ohms(part) for part in circuit.parts}
    assert found == pytest.approx({"C1": 10e9, "C2": 30e9, "C3": 5e9, "C4": 100e6, "C5": 7e6})


def test_the_next_input_loads_as_told() -> None:
    jack = bypassed(Analysis(_circuit(BIASED.format(leak="45M", pull="1M"))))
    row = jack.together.small.row("OUT")
    assert jack.together.network.c[row, row] - jack.apart.network.c[row, row] == pytest.approx(NEXT_FARADS)


def test_a_jack_without_a_capacitor_and_no_jack_at_all() -> None:
    text = "pedal None\nsupply V 9V wall\noutput OUT 1M\nV > R1 10k > OUT\n"
    assert bypass_pop(Analysis(_circuit(text))).output_v == pytest.approx(9.0, rel=1e-3)
    with pytest.raises(ValueError, match="no output"):
        bypass_pop(Analysis(_circuit(text.replace("output OUT 1M\n", ""))))
