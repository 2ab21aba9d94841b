"""The verb `tables`: a circuit as two plain tables, and two tables as a circuit."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import CIRCUIT_SUFFIX, refuse, write_result

if TYPE_CHECKING:
    from pedalwright.circuit.circuit import Circuit

PARTS_SUFFIX, CONNECTIONS_SUFFIX = ".parts.csv", ".connections.csv"


@click.command()
@click.argument("files", metavar="FILE | PARTS CONNECTIONS FILE", nargs=-1, required=True)
@click.option(
    "--into", metavar="FOLDER", default=".", help="The folder for the two tables; here when not said."
)
def command(files: tuple[str, ...], into: str) -> None:
    """Turn a circuit into two tables for other programs, or two tables into a circuit's text.

    With one FILE it writes NAME.parts.csv and NAME.connections.csv. With three it reads the two tables and
    writes the circuit, never over a text that is there already. What only documents need (about, wants,
    test points) stays behind.

    \b
    pedalwright tables lantern.pedal --into lists
    pedalwright tables drawn.parts.csv drawn.connections.csv drawn.pedal
    """
    if len(files) == 1:
        _out(files[0], Path(into))
    elif len(files) == 3:
        _in(*files)
    else:
        raise click.UsageError(
            "tables takes one circuit, or a parts table, a connections table and a new file."
        )


def _out(file: str, folder: Path) -> None:
    """Write the two tables of one circuit."""
    from pedalwright.circuit.remark import UnusableCircuit
    from pedalwright.notation import read_file, write_tables

    try:
        tables = write_tables(read_file(file))
    except UnusableCircuit as unusable:
        refuse(unusable, file, as_json=False)
    folder.mkdir(parents=True, exist_ok=True)
    name = Path(file).stem
    for suffix, text in ((PARTS_SUFFIX, tables.parts), (CONNECTIONS_SUFFIX, tables.connections)):
        goal = folder / f"{name}{suffix}"
        write_result(str(goal), text, source=file)
        click.echo(f"wrote {goal}")


def _in(parts: str, connections: str, goal: str) -> None:
    """Write the circuit of two tables."""
    from pedalwright.notation import write_circuit
    from pedalwright.report.files import write_new

    if Path(goal).suffix.lower() != CIRCUIT_SUFFIX:
        raise click.UsageError(f"a circuit's text ends in {CIRCUIT_SUFFIX}; {goal} does not.")
    circuit = _circuit_of(parts, connections)
    try:
        write_new(goal, write_circuit(circuit))
    except ValueError as problem:
        raise click.UsageError(f"{problem}.") from None
    click.echo(f"{circuit.title} is in {goal}, {len(circuit.parts)} parts.")


def _circuit_of(parts: str, connections: str) -> "Circuit":
    """The circuit of two tables; ends the verb with status 2 and every mistake when there is none."""
    from pedalwright.circuit.remark import UnusableCircuit
    from pedalwright.notation import read_tables
    from pedalwright.notation.files import text_of_file

    try:
        return read_tables(text_of_file(parts), text_of_file(connections), source=parts)
    except UnusableCircuit as unusable:
        # The sentences name table, row and column; there is no line of text to put a mark under.
        told = tuple(replace(remark, span=None) for remark in unusable.remarks)
        refuse(UnusableCircuit(told), parts, as_json=False)
