"""Text -> circuit -> text, printing back, one-token edits."""

import string
from collections.abc import Callable
from dataclasses import replace
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pedalwright.circuit.circuit import Circuit
from pedalwright.notation import (
    change_value,
    examine,
    print_back,
    read_tables,
    read_text,
    set_position,
    write_circuit,
    write_tables,
)
from pedalwright.units.values import Quantity, ValueMistake, write_value

from .texts import LANTERN, TEXTS, without_places

NETS = ["IN", "OUT", "VA", "VB", "X-1", "Größe", "node_7", "A+", "gnd"]
LETTERS_AND_VALUES = [
    ("R", Quantity.RESISTANCE, 1.0, 1e7),
    ("C", Quantity.CAPACITANCE, 1e-12, 1e-2),
    ("L", Quantity.INDUCTANCE, 1e-6, 10.0),
]
NOTES = ["", " (film)", " (1%)", " (electrolytic, 16V)"]


@st.composite
def two_pin_items(draw: st.DrawFn, number: int) -> str:
    letters, quantity, low, high = draw(st.sampled_from(LETTERS_AND_VALUES))
    value = float(f"{draw(st.floats(low, high)):.3g}")
    notes = draw(st.sampled_from(NOTES)) if letters == "C" else ""
    return f"{letters}{number} {write_value(value, quantity)}{notes}"


@st.composite
def circuit_texts(draw: st.DrawFn) -> str:
    """A text of random walks through two-pin parts, an op-amp, knobs and switches."""
    lines = ["pedal Random", "input IN pickup", "output OUT 1M"]
    nodes = list(NETS)
    if draw(st.booleans()):
        lines.append("part U1 dual-opamp TL072 v+=VA v-=gnd")
        nodes += ["U1a.inv", "U1a.out", "U1b.non"]
    if draw(st.booleans()):
        position = draw(st.integers(0, 100)) / 10
        lines.append(f"knob TONE 50k audio at {position:g}")
        nodes += ["TONE.1", "TONE.2", "TONE.3"]
    if draw(st.booleans()):
        lines.append(f"switch MODE up down at {draw(st.sampled_from(['up', 'down']))} poles=2")
        nodes += ["MODEa.common", "MODEb.up"]
    number = 1
    for walk in range(draw(st.integers(1, 8))):
        if draw(st.integers(0, 3)) == 0:
            lines.append(f"section Part {walk}")
        items = [draw(st.sampled_from(nodes))]
        for _ in range(draw(st.integers(1, 4))):
            beside = draw(st.integers(1, 3))
            items.append(" || ".join(draw(two_pin_items(number + place)) for place in range(beside)))
            number += beside
            if draw(st.booleans()):
                items.append(draw(st.sampled_from(nodes)))
        lines.append(" > ".join([*items, draw(st.sampled_from(nodes))]))
    return "\n".join(lines) + "\n"


@settings(max_examples=200, deadline=None)
@given(circuit_texts())
def test_a_circuit_written_anew_reads_back_as_the_same_circuit(text: str) -> None:
    reading = examine(text)
    if reading.circuit is None:
        # Random walks may put IN on ground; that is a mistake, and the only one they can make.
        assert {remark.code for remark in reading.remarks} <= {"input.held", "output.held"}
        return
    again = read_text(write_circuit(reading.circuit))
    assert without_places(again) == without_places(reading.circuit)


@pytest.mark.parametrize("text", TEXTS)
def test_the_examples_written_anew_read_back_as_the_same_circuit(text: str) -> None:
    circuit = read_text(text)
    assert without_places(read_text(write_circuit(circuit))) == without_places(circuit)


BUILT_IN = sorted(
    path.name for path in files("pedalwright.circuits").iterdir() if path.name.endswith(".pedal")
)


@pytest.mark.parametrize("name", BUILT_IN)
def test_every_built_in_circuit_goes_to_text_and_tables_and_back(name: str) -> None:
    circuit = read_text(files("pedalwright.circuits").joinpath(name).read_text(encoding="utf-8"))
    assert without_places(read_text(write_circuit(circuit))) == without_places(circuit)
    again = without_places(read_tables(*write_tables(circuit)))
    least = replace(without_places(circuit), about=(), wants=(), points=(), accepts=(), sections=())
    assert replace(again, sections=()) == least


def test_changed_values_are_written_as_they_are_now() -> None:
    circuit = read_text(LANTERN).with_value("R5", 333e3).with_settings({"TIME": 7.25, "MODE": "short"})
    again = read_text(write_circuit(circuit))
    assert again.by_ref["R5"].value == 333e3
    assert (again.by_ref["TIME"].setting, again.by_ref["MODE"].setting) == (7.25, "short")


def test_a_net_no_text_can_name_is_refused() -> None:
    circuit: Circuit = read_text("IN > R1 1k > gnd")
    odd = replace(circuit.parts[0], pins=(("1", "my net"), ("2", "gnd")))
    with pytest.raises(ValueError, match="my net"):
        write_circuit(replace(circuit, parts=(odd,)))


@pytest.mark.parametrize("change", [
    lambda text: text,
    lambda text: text.replace("\n", "\r\n"),
    lambda text: text.rstrip("\n"),
    lambda text: "\ufeff" + text,
    lambda text: text.replace(" ", "\t"),
    lambda text: text.replace("section", "sektion"),
    lambda text: text + "\n\n  # end\n\r\n",
], ids=["plain", "CRLF", "no end", "mark", "tabs", "mistakes", "blank lines"])  # fmt: skip
@pytest.mark.parametrize("text", TEXTS)
def test_printing_back_is_byte_for_byte(text: str, change: Callable[[str], str]) -> None:
    changed = change(text)
    assert print_back(examine(changed).written) == changed


@given(st.text(max_size=300))
def test_printing_back_any_text_at_all(text: str) -> None:
    assert print_back(examine(text).written) == text


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_the_same_circuit_whatever_the_line_endings(ending: str, mark: str) -> None:
    assert read_text(mark + LANTERN.replace("\n", ending)) == read_text(LANTERN)


@pytest.mark.parametrize(
    "ref, old, new",
    [
        ("R5", "R5 220k", "R5 330k"),
        ("C4", "C4 22p", "C4 47p"),
        ("D1", "D1 1N5817", "D1 1N5818"),
        ("U1", "dual-opamp TL072", "dual-opamp NE5532"),
        ("U3", "regulator 5V", "regulator 8V"),
        ("TIME", "TIME 50k", "TIME 100k"),
        ("BIAS", "BIAS 10k", "BIAS 22k"),
    ],
)
def test_changing_a_value_changes_one_token(ref: str, old: str, new: str) -> None:
    changed = change_value(LANTERN, ref, new.rpartition(" ")[2])
    assert LANTERN.count(old) == 1
    assert changed == LANTERN.replace(old, new)


def test_a_value_is_added_where_there_is_none() -> None:
    text = "part U1 opamp v+=VA v-=gnd # amp\nIN > R1 1k > U1.non\nU1.inv > U1.out\n"
    assert change_value(text, "U1", "TL071") == text.replace("opamp v+", "opamp TL071 v+")


def test_setting_a_position_changes_one_token_or_adds_it() -> None:
    assert set_position(LANTERN, "TIME", 7.5) == LANTERN.replace("at 5\n", "at 7.5\n")
    repeats = "REPEATS 50k linear"
    assert set_position(LANTERN, "REPEATS", 7) == LANTERN.replace(f"{repeats}\n", f"{repeats} at 7\n")
    assert set_position(LANTERN, "MODE", "short") == LANTERN.replace("at long", "at short")
    assert set_position("knob A 1k linear  # loud\r\n", "A", 0) == "knob A 1k linear at 0  # loud\r\n"


@given(st.floats(0, 10))
def test_any_position_set_is_the_position_read(position: float) -> None:
    read = read_text(set_position(LANTERN, "TIME", position)).by_ref["TIME"].setting
    assert read == pytest.approx(position, rel=1e-5, abs=1e-300)


@pytest.mark.parametrize("value", ["330n", "4,7k", "10 k", "k > gnd", "", "#", "-5k", "1k(x)"])
def test_a_value_that_cannot_be_read_is_refused(value: str) -> None:
    with pytest.raises(ValueMistake):
        change_value(LANTERN, "R5", value)


@pytest.mark.parametrize("position", [11, -1, float("nan"), float("inf"), "noon", "5 at 6", ""])
def test_a_position_a_knob_cannot_have_is_refused(position: float | str) -> None:
    with pytest.raises(ValueMistake):
        set_position(LANTERN, "TIME", position)


def test_what_is_not_there_cannot_be_changed() -> None:
    for ref in ("R99", "gnd", "VA", "U1a"):
        with pytest.raises(KeyError, match=ref):
            change_value(LANTERN, ref, "1k")
    with pytest.raises(KeyError, match="TONE"):
        set_position(LANTERN, "TONE", 5)


@given(st.text(string.printable, max_size=12))
def test_an_edit_gives_a_usable_text_or_is_refused(value: str) -> None:
    try:
        changed = change_value(LANTERN, "R5", value)
    except ValueMistake:
        return
    circuit = read_text(changed)
    assert circuit.by_ref["R5"].value_text == value
    rest = circuit.with_parts({"R5": read_text(LANTERN).by_ref["R5"]})
    assert without_places(rest) == without_places(read_text(LANTERN))
