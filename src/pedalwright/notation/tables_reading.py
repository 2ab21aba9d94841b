"""Two tables in: every row becomes the statement it stands for, so mistakes get the same sentences."""

import csv
import io
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import NamedTuple

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.ports import Section
from pedalwright.circuit.remark import Remark, UnusableCircuit
from pedalwright.circuit.span import Span
from pedalwright.notation.characters import hidden_character
from pedalwright.notation.draft import Draft, Node
from pedalwright.notation.limits import LARGEST_FILE_BYTES, LONGEST_NAME, MOST_ROWS
from pedalwright.notation.notebook import Notebook
from pedalwright.notation.tables import (
    BETWEEN_NOTES,
    CONNECTIONS_COLUMNS,
    NEEDED_PARTS_COLUMNS,
    PARTS_COLUMNS,
)
from pedalwright.notation.understand import finish, take_line
from pedalwright.notation.words import GROUND_SPELLINGS, RESERVED, designator, is_name, listed, nearest, shown
from pedalwright.notation.written import (
    Argument,
    Command,
    Heading,
    Notes,
    Position,
    Setting,
    Statement,
    Word,
    WrittenLine,
)

_SECOND_TABLE = 10_000_000
"""added to the row numbers of the connections table while both are read into one draft"""


class TablesReading(NamedTuple):
    """What came of two tables: the circuit unless there are mistakes, and every remark."""

    circuit: Circuit | None
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Row:
    """One row: its number (the header is 1), its cells by column name, and the column each name stands in."""

    number: int
    cells: Mapping[str, str]
    columns: Mapping[str, int]

    def word(self, name: str) -> Word | None:
        text = self.cells.get(name, "")
        return Word(text, self.columns[name]) if text else None

    def words(self, *names: str) -> tuple[Word, ...]:
        return tuple(word for name in names if (word := self.word(name)) is not None)

    def split(self, name: str) -> tuple[Word, ...]:
        texts = (text.strip() for text in self.cells.get(name, "").split(BETWEEN_NOTES))
        return tuple(Word(text, self.columns[name]) for text in texts if text)


def read_tables(parts: str, connections: str, source: str = "") -> Circuit:
    """The circuit of two tables (their text); raises `UnusableCircuit` with every remark.

    In a remark's span, the line is the row (the header is 1) and the column is the table's column.
    """
    reading = examine_tables(parts, connections)
    if reading.circuit is None:
        raise UnusableCircuit(reading.remarks, source=source)
    return reading.circuit


def examine_tables(parts: str, connections: str) -> TablesReading:
    """Read two tables and keep every remark; never raises for what they hold."""
    notebook = Notebook()
    draft = Draft(notebook)
    part_rows = list(_rows(parts, PARTS_COLUMNS, NEEDED_PARTS_COLUMNS, notebook, 0))
    for row in part_rows:
        _take_part_row(draft, row)
    for row in _rows(connections, CONNECTIONS_COLUMNS, CONNECTIONS_COLUMNS, notebook, _SECOND_TABLE):
        _take_connection(draft, row)
    circuit = finish(draft)
    tables = (_header_names(parts), _header_names(connections))
    remarks = tuple(_located(remark, tables) for remark in notebook.remarks)
    return TablesReading(circuit and replace(circuit, cautions=remarks), remarks)


def _rows(
    text: str, known: tuple[str, ...], needed: tuple[str, ...], notebook: Notebook, offset: int
) -> Iterator[_Row]:
    """The rows of one table; nothing when it has no usable header or is too large."""
    if len(text) > LARGEST_FILE_BYTES:
        _note_table(notebook, offset, f"The table has {len(text)} characters; {LARGEST_FILE_BYTES} are read.")
        return
    header = _header_names(text)
    for place, name in enumerate(header, 1):
        if name not in known:
            notebook.caution(
                "table.column",
                Span(offset + 1, place, place + 1),
                f"There is no column {shown(name)}.",
                f"Known are: {listed(known)}.",
                _column_cure(name, known),
            )
    missing = [name for name in needed if name not in header]
    if missing:
        _note_table(
            notebook, offset, f"The table has no column {listed(missing)}; it needs {listed(needed)}."
        )
        return
    columns = {name: place for place, name in enumerate(header, 1)}
    for number, cells in enumerate(_records(text, notebook, offset), 1):
        if number > 1 and any(cell.strip() for cell in cells):
            named = {name: cell.strip() for name, cell in zip(header, cells, strict=False)}
            row = _Row(number=offset + number, cells=named, columns=columns)
            if _row_is_clean(row, notebook):
                yield row


def _column_cure(name: str, known: tuple[str, ...]) -> str:
    meant = nearest(name, known)
    return f"Did you mean {meant}?" if meant else "It is passed over; delete it or leave it."


def _records(text: str, notebook: Notebook, offset: int) -> Iterator[list[str]]:
    reader = csv.reader(io.StringIO(text.removeprefix("\ufeff"), newline=""), delimiter=_delimiter(text))
    try:
        for number, cells in enumerate(reader, 1):
            if number > MOST_ROWS:
                _note_table(notebook, offset, f"The table has more than {MOST_ROWS} rows.")
                return
            yield cells
    except csv.Error as failure:
        _note_table(notebook, offset, f"The table cannot be read near line {reader.line_num}: {failure}.")


def _delimiter(text: str) -> str:
    """A semicolon when the header has them, as spreadsheets write where the comma is decimal."""
    header = text.split("\n", 1)[0]
    return ";" if ";" in header and "," not in header else ","


def _header_names(text: str) -> list[str]:
    first = text.removeprefix("\ufeff").split("\n", 1)[0].strip()
    return [name.strip().strip('"').lower() for name in first.split(_delimiter(text))] if first else []


def _note_table(notebook: Notebook, offset: int, what: str) -> None:
    parts = ",".join(NEEDED_PARTS_COLUMNS)
    connections = ",".join(CONNECTIONS_COLUMNS)
    notebook.mistake(
        "table.unreadable",
        Span(offset + 1, 1, 2),
        what,
        "A table is comma-separated text whose first row names the columns.",
        f"The first row is {connections if offset else parts}.",
    )


def _row_is_clean(row: _Row, notebook: Notebook) -> bool:
    for name, cell in row.cells.items():
        hidden = hidden_character(cell)
        if hidden is not None:
            span = Span(row.number, row.columns[name], row.columns[name] + 1)
            notebook.mistake("character.hidden", span, hidden.what, hidden.why, hidden.cure)
            return False
    return True


def _take_part_row(draft: Draft, row: _Row) -> None:
    section = row.cells.get("section", "")
    if section and section != draft.section:
        place = row.columns["section"]
        draft.sections.append(Section(title=section, span=Span(row.number, place, place + 1)))
    if not row.cells.get("kind"):
        column = row.columns["kind"]
        draft.notebook.mistake(
            "statement.incomplete",
            Span(row.number, column, column + 1),
            "The kind is missing.",
            "Every row says what kind of thing it is.",
            "Write resistor, capacitor, dual-opamp ...",
        )
        return
    text = " ".join(row.cells.values())
    take_line(draft, WrittenLine(number=row.number, text=text, ending="", statement=_statement(row)))


def _statement(row: _Row) -> Statement:
    """The statement a row of the parts table stands for."""
    kind = row.cells["kind"]
    keyword = Word(kind, row.columns["kind"])
    settings = tuple(_setting(word) for word in row.split("options"))
    at = tuple(Position(word, word) for word in row.words("setting"))
    match kind:
        case "pedal":
            return Heading(keyword, row.word("notes"))
        case "supply":
            return Command(keyword, row.words("ref", "value", "type", "notes"))
        case "input":
            return Command(keyword, row.words("ref", "value", "type", "notes"))
        case "output":
            return Command(keyword, row.words("ref", "value"))
        case "knob" | "trim":
            return Command(keyword, (*row.words("ref", "value", "law"), *at))
        case "switch":
            return Command(keyword, (*row.words("ref"), *row.split("notes"), *at, *settings))
        case _:
            notes: tuple[Argument, ...] = (Notes(row.split("notes")),) if row.cells.get("notes") else ()
            words = row.words("ref", "kind", "type", "value")
            return Command(Word("part", keyword.column), (*words, *settings, *notes))


def _setting(word: Word) -> Setting:
    key, _, value = word.text.partition("=")
    return Setting(Word(key.strip(), word.column), Word(value.strip(), word.column))


def _take_connection(draft: Draft, row: _Row) -> None:
    missing = [name for name in CONNECTIONS_COLUMNS if not row.cells.get(name)]
    if missing:
        place = row.columns[missing[0]]
        draft.notebook.mistake(
            "statement.incomplete",
            Span(row.number, place, place + 1),
            f"The {missing[0]} is missing.",
            "Every row joins one pin of one part to one net.",
            "Write all three: R5,1,VA",
        )
        return
    ref, pin, net = row.words(*CONNECTIONS_COLUMNS)
    span = Span(row.number, net.column, net.column + 1)
    draft.joins.append(
        (
            Node(f"{ref.text}.{pin.text}", Span(row.number, pin.column, pin.column + 1)),
            Node(_usable_net(draft, net.text, span), span),
        )
    )


def _usable_net(draft: Draft, net: str, span: Span) -> str:
    """The net's name, or one like it that the notation can write; elsewhere more signs are allowed."""
    base, dot, _ = net.partition(".")
    is_pin = dot and (base in draft.parts or base[:-1] in draft.parts)
    plain = is_name(net) and net not in RESERVED and designator(net) is None and net not in draft.parts
    if plain or is_pin or net.lower() in GROUND_SPELLINGS:
        return net
    name = ("N_" + re.sub(r"[^A-Za-z0-9_]", "_", net))[:LONGEST_NAME]
    draft.notebook.caution(
        "net.renamed",
        span,
        f"The net {shown(net)} is called {name} here.",
        "Names are written with letters, digits and _ + - only.",
        "Rename it in the table if you like another name.",
    )
    return name


def _located(remark: Remark, headers: tuple[list[str], list[str]]) -> Remark:
    """The remark with its table, row and column said in words."""
    if remark.span is None:
        return remark
    second = remark.span.line > _SECOND_TABLE
    row = remark.span.line - (_SECOND_TABLE if second else 0)
    column = remark.span.column
    header = headers[second]
    name = header[column - 1] if 0 < column <= len(header) else str(column)
    table = "Connections" if second else "Parts"
    what = f"{table} table, row {row}, column {name}: {remark.what}"
    return replace(remark, span=Span(row, column, column + 1), what=what)
