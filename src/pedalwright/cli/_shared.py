"""What verbs share: a circuit read from a file with its knobs set, mistakes told in full, results written
whole.
"""

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

import click

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.circuit.remark import UnusableCircuit

CANNOT_USE = 2
MISTAKES_SCHEMA = "pedalwright.mistakes/1"
CIRCUIT_SUFFIX = ".pedal"
Function = TypeVar("Function", bound=Callable[..., Any])

file_argument = click.argument("file", metavar="FILE")
json_option = click.option("--json", "as_json", is_flag=True, help="One JSON object on the output.")
set_option = click.option(
    "--set",
    "wishes",
    metavar="KNOB=POSITION",
    multiple=True,
    help="Move a knob (0 to 10) or a switch first; as often as needed.",
)


def circuit_options(verb: Function) -> Function:
    """FILE, --set and --json, as every verb about a circuit has them."""
    return file_argument(set_option(json_option(verb)))


def open_circuit(file: str, wishes: tuple[str, ...], *, as_json: bool) -> "Analysis":
    """The circuit of a file with its knobs set as wished.

    Ends the verb with status 2 when the text has mistakes (all are told), or a wish cannot be met.
    """
    from pedalwright.analysis.memo import Analysis
    from pedalwright.analysis.settings import SettingMistake, moved
    from pedalwright.circuit.remark import UnusableCircuit
    from pedalwright.notation.files import text_of_file
    from pedalwright.notation.reading import read_text

    settings = parse_wishes(wishes)
    try:
        text = text_of_file(file)
        circuit = read_text(text, source=file)
    except UnusableCircuit as unusable:
        refuse(unusable, file, as_json=as_json)
    try:
        return Analysis(moved(circuit, settings), text)
    except SettingMistake as mistake:
        raise click.UsageError(str(mistake), click.get_current_context()) from None


def parse_wishes(wishes: tuple[str, ...], option: str = "--set") -> Mapping[str, str]:
    """``TIME=5`` and the like as a mapping; raises click.UsageError for what has another shape."""
    settings: dict[str, str] = {}
    for wish in wishes:
        name, sign, position = (piece.strip() for piece in wish.partition("="))
        if not (name and sign and position):
            raise click.UsageError(
                f"{option} takes KNOB=POSITION, such as TIME=5, not '{wish[:60]}'.", _context()
            )
        if name in settings:
            raise click.UsageError(f"{option} says twice where {name} stands.", _context())
        settings[name] = position
    return settings


def refuse(unusable: "UnusableCircuit", file: str, *, as_json: bool) -> NoReturn:
    """Tell every mistake, with the place marked or as JSON, and end the verb with status 2."""
    if as_json:
        click.echo(json.dumps(_mistakes_data(unusable, file), ensure_ascii=False, indent=1))
    else:
        from pedalwright.notation.present import present_all

        # A remark about the file itself names the file in its sentence.
        source = file if unusable.text else ""
        click.echo(present_all(unusable.remarks, unusable.text, source), err=True)
    raise click.exceptions.Exit(CANNOT_USE)


def _mistakes_data(unusable: "UnusableCircuit", file: str) -> dict[str, Any]:
    from pedalwright.report.walk_json import remark_data

    remarks = [remark_data(remark) for remark in unusable.remarks]
    return {"schema": MISTAKES_SCHEMA, "file": file, "remarks": remarks}


def write_result(goal: str, content: str | bytes, *, source: str) -> None:
    """Write a result to a file, whole or not at all, or to the output for ``-``.

    Ends the verb with status 2 rather than write over a circuit's text.
    """
    if goal == "-":
        click.echo(content, nl=False)
        return
    from pedalwright.report.files import WouldOverwrite, write_whole

    if Path(goal).suffix.lower() == CIRCUIT_SUFFIX:
        raise click.UsageError(
            f"{goal} is the name of a circuit's text; give the result another ending.", _context()
        )
    try:
        write_whole(goal, content, inputs=(source,))
    except WouldOverwrite as refusal:
        raise click.UsageError(f"{refusal}.", _context()) from None


def _context() -> click.Context | None:
    return click.get_current_context(silent=True)
