"""Figures of a build document that another way of working them out gives, too."""

import re

import numpy as np
import pytest

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.steps import SERIES_OF_KIND
from pedalwright.analysis.walk import walk
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.ports import INPUT
from pedalwright.echo.chip import chip_state
from pedalwright.notation import read_text
from pedalwright.report.blocks import Facts
from pedalwright.report.pack.assembling import build_document
from pedalwright.report.pack.ranges import LEVEL_DB
from pedalwright.report.pack.settings import suggested
from pedalwright.report.pack.texts import texts
from pedalwright.report.pack.trying import LISTENING_HZ
from pedalwright.units.preferred import step
from pedalwright.units.values import Quantity, parse_value

from .packs import (
    built,
    dossier_of,
    dossier_of_text,
    rows_of,
    section_of,
)


def output_db(circuit: Circuit, hz: float) -> float:
    """Output over the source's own voltage, the circuit solved by itself."""
    small = Analysis(circuit).small
    assert small is not None and circuit.output is not None
    drive = np.zeros(small.size, dtype=complex)
    drive[small.system.branches[INPUT]] = 1.0
    found = np.linalg.solve(small.g + 2j * np.pi * hz * small.c, drive)
    return float(20 * np.log10(abs(found[small.row(circuit.output.net)])))


@pytest.mark.parametrize("name", ["lantern-echo", "windowsill-tone", "plumtree-fuzz"])
def test_the_ends_of_a_range_stay_within_a_decibel_when_solved_anew(name: str) -> None:
    """Each end put into the text's place and the whole circuit solved from nothing."""
    dossier = dossier_of(name)
    assert len(dossier.ranges) >= 6
    for found in dossier.ranges:
        assert found.low <= (found.part.value or 0.0) <= found.high
        for end in (found.low, found.high):
            changed = dossier.circuit.with_value(found.part.ref, end)
            for hz in LISTENING_HZ:
                moved = output_db(changed, hz) - output_db(dossier.circuit, hz)
                # Straight lines between 49 frequencies cost a few hundredths of a decibel.
                assert abs(moved) <= LEVEL_DB + 0.1, (found.part.ref, end, hz)


LOW_PASS = """\
pedal Corner
input IN 1 1V
output OUT 100M
IN > R1 10k > OUT > C1 10n > gnd
"""


def test_the_range_of_a_low_pass_is_that_of_its_formula() -> None:
    """f = 1 / (2 pi R C): within a fifth of 1.59 kHz, and within 1 dB at 1 and 5 kHz (first-order low-pass,
    any textbook). E6 steps of C1 are 6.8 nF and 15 nF, E12 steps of R1 8.2k and 12k.
    """
    by_ref = {one.part.ref: one for one in dossier_of_text(LOW_PASS).ranges}

    def level_db(hz: float, ohms: float, farads: float) -> float:
        return -10 * float(np.log10(1 + (2 * np.pi * hz * ohms * farads) ** 2))

    def fits(ohms: float, farads: float) -> bool:
        corner = ohms * farads / (10e3 * 10e-9)
        return 0.8 <= 1 / corner <= 1.2 and all(
            abs(level_db(hz, ohms, farads) - level_db(hz, 10e3, 10e-9)) <= 1 for hz in LISTENING_HZ
        )

    assert not fits(10e3, 6.8e-9) and not fits(10e3, 15e-9)
    assert (by_ref["C1"].low, by_ref["C1"].high) == (10e-9, 10e-9)
    assert [fits(ohms, 10e-9) for ohms in (8.2e3, 12e3)] == [
        by_ref["R1"].low < 10e3,
        by_ref["R1"].high > 10e3,
    ]


def test_another_type_is_told_as_the_exchanged_text_has_it() -> None:
    dossier = dossier_of("plumtree-fuzz")
    told = {one.other: one for one in dossier.substitutes if one.now == "BC547B"}
    text = circuits.text("plumtree-fuzz").replace("BC547B", "2N3904")
    changed = output_jack_db(read_text(text)) - output_jack_db(dossier.circuit)
    assert f"gain {changed:+.1f} dB" in told["2N3904"].says
    assert not told["2N3904"].is_alike and told["BC547"].is_alike


def output_jack_db(circuit: Circuit) -> float:
    """Output over input jack at 1 kHz."""
    small = Analysis(circuit).small
    assert small is not None and circuit.output is not None and circuit.input is not None
    drive = np.zeros(small.size, dtype=complex)
    drive[small.system.branches[INPUT]] = 1.0
    found = np.abs(np.linalg.solve(small.g + 2j * np.pi * 1000.0 * small.c, drive))
    return float(20 * np.log10(found[small.row(circuit.output.net)] / found[small.row(circuit.input.net)]))


def test_suggested_echo_settings_give_what_they_say() -> None:
    """A quarter at 120 beats a minute is half a second; the circuit solved with the knob there says so."""
    dossier = dossier_of("lantern-echo")
    by_name = {one.name: one for one in suggested(dossier)}
    quarter = by_name["a quarter at 120 beats a minute"]
    circuit = dossier.circuit.with_settings(dict(quarter.turns))
    there = Analysis(circuit)
    state = chip_state(circuit.by_ref["U2"], there.rest, there.primitives)
    assert state.delay_s == pytest.approx(0.5, rel=0.02)
    assert "shortest echo" in by_name and "many repeats, still fading" in by_name


def test_suggested_tone_settings_are_solved_anew() -> None:
    dossier = dossier_of("kilnhouse-drive")
    by_name = {one.name: one for one in suggested(dossier)}
    loudest = dossier.circuit.with_settings(dict(by_name["most gain"].turns))
    assert output_db(loudest, 1000.0) > output_db(dossier.circuit, 1000.0)
    assert f"{output_db(loudest, 1000.0):+.1f} dB" in by_name["most gain"].gives


def test_a_chips_time_pin_limits_its_resistor() -> None:
    rows = rows_of(section_of(built("lantern-echo").document, "mods"), "part", "watch")
    assert any(part == "R12" and "never below 1 kΩ in all at pin 6" in watch for part, watch in rows)
    ranged = {one.part.ref: one for one in dossier_of("lantern-echo").ranges}
    assert ranged["R12"].low >= 2000.0


TRIMMED = """\
pedal Bias by hand
supply V 9V wall
input IN line
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
trim SET 10k linear at 4
V > SET.3
SET.1 > gnd
SET.2 > C1 10u (electrolytic, 16V) > gnd
IN > C2 100n > U1.non > R1 10k > SET.2
U1.out > U1.inv
U1.out > C3 1u (electrolytic, 16V) > OUT > R2 100k > gnd
"""


def test_a_trimmer_is_set_to_what_the_divider_gives() -> None:
    """Four tenths of 9 V: the divider rule. The follower's output rests there, too."""
    made = build_document(dossier_of_text(TRIMMED))
    said = " ".join(texts(section_of(made.document, "setting-up")))
    assert "Set SET to 4." in said
    volts = [float(one) for one in re.findall(r"reads (\d\.\d\d) V", said)]
    assert volts and all(one == pytest.approx(0.4 * 9.0, abs=0.02) for one in volts)


def test_polarity_is_that_of_the_amplifier() -> None:
    """An inverting amplifier turns the sound over, a follower does not (any textbook)."""
    turned = TRIMMED.replace("U1.out > U1.inv\n", "U1.out > R3 10k > U1.inv\n").replace(
        "IN > C2 100n > U1.non > R1 10k > SET.2",
        "IN > C2 1u (film) > R4 10k > U1.inv\nU1.non > R1 10k > SET.2",
    )
    for text, said in ((TRIMMED, "the right way up"), (turned, "upside down")):
        section = section_of(build_document(dossier_of_text(text)).document, "specifications")
        facts = dict(row for block in section.blocks if isinstance(block, Facts) for row in block.rows)
        assert facts["polarity"] == said


PITCHES = {"at the lowest string": 82.4, "at 1 kHz": 1000.0, "at 5 kHz": 5000.0}


@pytest.mark.parametrize("name", ["lantern-echo", "windowsill-tone"])
def test_what_ends_a_range_is_so_when_solved_anew(name: str) -> None:
    """The next step outside, put in and solved: the output moves by what is said, and by more than 1 dB."""
    dossier, looked_at = dossier_of(name), 0
    for found in dossier.ranges:
        series = SERIES_OF_KIND[found.part.kind]
        for end, way, said in ((found.low, -1, found.below), (found.high, 1, found.above)):
            told = re.fullmatch(r"the output (rises|falls) by ([\d.]+) dB (at .+)", said)
            if told is None:
                continue
            changed = dossier.circuit.with_value(found.part.ref, step(end, series, way))
            moved = output_db(changed, PITCHES[told[3]]) - output_db(dossier.circuit, PITCHES[told[3]])
            sign = 1 if told[1] == "rises" else -1
            assert moved == pytest.approx(sign * float(told[2]), abs=0.1), (found.part.ref, said)
            looked_at += 1
    assert looked_at >= 4


def test_headroom_to_watch_is_that_of_the_changed_circuit() -> None:
    """The walk-through of the circuit with the part exchanged finds the same headroom."""
    dossier = dossier_of("lantern-echo")
    rows = rows_of(section_of(built("lantern-echo").document, "mods"), "part", "try", "watch")
    told = [
        (part, tried, float(found[1]), found[2])
        for part, tried, watch in rows
        if (found := re.match(r"([\d.]+) dB of headroom left at (\S+?)(?:;|$)", watch))
    ]
    assert len(told) >= 3
    for part, tried, left_db, net in told[:3]:
        changed = dossier.circuit.with_value(part, parse_value(tried, Quantity.RESISTANCE))
        levels = [level for stage in walk(Analysis(changed)).stages for level in stage.levels]
        rooms = [level.headroom_db for level in levels if spoken(level.net) == net]
        assert rooms and rooms[0] == pytest.approx(left_db, abs=0.2), (part, tried)


def test_bass_and_treble_settings_do_what_they_say() -> None:
    dossier = dossier_of("windowsill-tone")
    by_name = {one.name: one for one in suggested(dossier)}
    for name, hz in (("fullest bass", 82.4), ("brightest", 5000.0)):
        circuit = dossier.circuit.with_settings(dict(by_name[name].turns))
        tilt = output_db(circuit, hz) - output_db(circuit, 1000.0)
        assert f"{tilt:+.1f} dB against 1 kHz" in by_name[name].gives
        assert tilt > output_db(dossier.circuit, hz) - output_db(dossier.circuit, 1000.0) + 3.0
