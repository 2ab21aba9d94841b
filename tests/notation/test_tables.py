"""The two tables: out and in again, and mistakes by row and column."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from pedalwright.circuit.remark import UnusableCircuit
from pedalwright.circuit.span import Span
from pedalwright.notation import examine_tables, read_tables, read_text, write_tables

from .texts import TEXTS, without_places

PARTS = "ref,kind,value\nR1,resistor,10k\nC1,capacitor,100n\n"
CONNECTIONS = "ref,pin,net\nR1,1,IN\nR1,2,MID\nC1,1,MID\nC1,2,gnd\n"


@pytest.mark.parametrize("text", TEXTS)
def test_out_and_in_again_is_the_same_circuit(text: str) -> None:
    circuit = replace(read_text(text), about=(), wants=(), points=())
    assert without_places(read_tables(*write_tables(circuit))) == without_places(circuit)


def test_the_least_two_tables() -> None:
    circuit = read_tables(PARTS, CONNECTIONS)
    assert {part.ref: part.nets for part in circuit.parts} == {"R1": ("IN", "MID"), "C1": ("MID", "gnd")}


@pytest.mark.parametrize("change", [
    lambda text: text.replace("\n", "\r\n"),
    lambda text: "\ufeff" + text,
    lambda text: text.replace(",", ";"),
    lambda text: text.replace("IN", '"IN"').replace("10k", '" 10k "'),
    lambda text: text + "\n,,\n",
], ids=["CRLF", "byte order mark", "semicolons", "quotes", "blank rows"])  # fmt: skip
def test_tables_of_other_programs_vary(change: Callable[[str], str]) -> None:
    changed = read_tables(change(PARTS), change(CONNECTIONS))
    assert without_places(changed) == without_places(read_tables(PARTS, CONNECTIONS))


@pytest.mark.parametrize(
    "parts, connections, code, row, column, what",
    [
        (PARTS.replace("10k", "4x7"), CONNECTIONS, "value.unreadable", 2, 3, "row 2, column value"),
        (PARTS.replace("resistor", "resister"), CONNECTIONS, "kind.unknown", 2, 2, "column kind"),
        (PARTS.replace("R1", "C9"), CONNECTIONS, "part.letters", 2, 1, "column ref"),
        (PARTS + "R1,resistor,1k\n", CONNECTIONS, "part.twice", 4, 1, "row 4"),
        (PARTS + "R2,,1k\n", CONNECTIONS, "statement.incomplete", 4, 2, "column kind"),
        (PARTS, CONNECTIONS.replace("C1,2", "C1,3"), "pin.unknown", 5, 2, "row 5, column pin"),
        (PARTS, CONNECTIONS + "R7,1,IN\n", "part.unknown", 6, 2, "Connections table, row 6"),
        (PARTS, CONNECTIONS + "R1,1,\n", "statement.incomplete", 6, 3, "column net"),
        ("ref,value\nR1,10k\n", CONNECTIONS, "table.unreadable", 1, 1, "kind"),
        (PARTS, "", "table.unreadable", 1, 1, "Connections table"),
        (PARTS.replace("100n", "100\x07n"), CONNECTIONS, "character.hidden", 3, 3, "row 3"),
    ],
)  # fmt: skip
def test_mistakes_are_located_by_row_and_column(
    parts: str, connections: str, code: str, row: int, column: int, what: str
) -> None:
    with pytest.raises(UnusableCircuit) as raised:
        read_tables(parts, connections)
    first = raised.value.remarks[0]
    assert (first.code, first.span) == (code, Span(row, column, column + 1))
    assert what in first.what


def test_net_names_the_notation_cannot_write_are_renamed_and_said() -> None:
    renamed = CONNECTIONS.replace("MID", "Net-(R1)").replace("IN", "3V3")
    reading = examine_tables(PARTS, renamed)
    assert reading.circuit is not None
    assert reading.circuit.by_ref["R1"].nets == ("N_3V3", "N_Net__R1_")
    assert {remark.code for remark in reading.remarks} >= {"net.renamed"}


@pytest.mark.parametrize(
    "junk",
    ["\0", '"', "a" * 300_000, "ref,kind,value\n" + "R1,resistor,1k\n" * 30_000, ",,,,\n", "\n"],
    ids=["NUL", "open quote", "one long line", "many rows", "commas", "blank"],
)
def test_junk_gives_remarks(junk: str) -> None:
    for parts, connections in ((junk, CONNECTIONS), (PARTS, junk), (PARTS + junk, CONNECTIONS + junk)):
        reading = examine_tables(parts, connections)
        assert reading.circuit is not None or reading.remarks
