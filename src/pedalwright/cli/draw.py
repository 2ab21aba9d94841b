"""The verb `draw`: the schematic, stage by stage and proved equal to the text; and the signal map."""

from collections.abc import Iterator
from difflib import get_close_matches
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import circuit_options, open_circuit, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.report.drawing.sheet import Sheet
    from pedalwright.stages.stage import Stage

DONE = 0
TO_OUTPUT = "-"
PRINTED = (".pdf", ".png")
SCHEMATIC, SIGNAL_MAP = "Schematic", "Signal map"


@click.command()
@circuit_options
@click.option(
    "-o",
    "--out",
    metavar="OUT",
    default=TO_OUTPUT,
    help="Write it here: SVG, or PDF or PNG when OUT ends so; SVG to the output unless said.",
)
@click.option(
    "--symbols",
    type=click.Choice(["iec", "american"]),
    default="iec",
    show_default=True,
    help="Rectangular resistors (IEC 60617), or zigzag ones (IEEE 315).",
)
@click.option("--stage", metavar="NAME", help="Only this stage, or the one this part is in.")
@click.option("--map", "as_map", is_flag=True, help="The signal map instead: stages as blocks, with levels.")
def command(
    file: str,
    wishes: tuple[str, ...],
    as_json: bool,
    out: str,
    symbols: str,
    stage: str | None,
    as_map: bool,
) -> int:
    """Draw the schematic, stage by stage, and prove it: the nets are read back from the drawn lines
    and compared with those of the text.

    With --json the places of everything drawn are printed instead, and the SVG only where -o names a file.

    \b
    pedalwright draw lantern.pedal -o lantern.svg
    pedalwright draw lantern.pedal --symbols american --stage U1a -o stage.svg
    pedalwright draw lantern.pedal --map -o map.svg
    pedalwright draw lantern.pedal -o lantern.pdf
    """
    if as_map and (as_json or stage is not None):
        raise click.UsageError(
            "--map is of the whole circuit, and a drawing alone.", click.get_current_context()
        )
    analysis = open_circuit(file, wishes, as_json=as_json)
    if as_map:
        _write_map(analysis, out, file)
        return DONE
    from pedalwright.report.drawing import schematic, sheet_svg

    only = None if stage is None else stage_named(analysis, stage)
    sheet = schematic(analysis, symbols=symbols, stage=only)
    if not as_json or out != TO_OUTPUT:
        _write_drawing(out, sheet_svg(sheet), SCHEMATIC, analysis, file)
    _tell(analysis, sheet, out, as_json=as_json)
    return DONE


def _write_map(analysis: "Analysis", out: str, file: str) -> None:
    from pedalwright.report.drawing import signal_map_svg

    _write_drawing(out, signal_map_svg(analysis), SIGNAL_MAP, analysis, file)


def _write_drawing(out: str, svg: str, what: str, analysis: "Analysis", file: str) -> None:
    """The drawing in the form its name asks for."""
    ending = Path(out).suffix.lower()
    if ending not in PRINTED:
        write_result(out, svg, source=file)
        return
    from pedalwright.report.identity import title_of
    from pedalwright.report.paper.printing import pdf_drawing, png_drawing

    printed = pdf_drawing if ending == ".pdf" else png_drawing
    title = title_of(analysis.circuit.title)
    described = f"{what} of {title}. The parts and their connections are told in words by the walk-through."
    write_result(out, printed(svg, title=title, described=described), source=file)


def _tell(analysis: "Analysis", sheet: "Sheet", out: str, *, as_json: bool) -> None:
    from pedalwright.report.drawing import drawing_json, proof_of

    proof = proof_of(analysis, sheet)
    if as_json:
        click.echo(drawing_json(analysis, sheet, proof), nl=False)
    elif out != TO_OUTPUT:
        from pedalwright.report.drawing.telling import drawing_told

        click.echo("\n".join(drawing_told(analysis, sheet, proof, out)))


def stage_named(analysis: "Analysis", wanted: str) -> str:
    """The name (``S3``) of the first stage of that name, kind or title, or with that part; raises
    click.UsageError for none.
    """
    words: dict[str, str] = {}
    for stage in analysis.stages.stages:
        for word in _words_for(analysis, stage):
            words.setdefault(word.lower(), stage.name)
    if (found := words.get(wanted.strip().lower())) is not None:
        return found
    near = get_close_matches(wanted.lower(), words, n=1)
    hint = f"did you mean '{near[0]}'?" if near else "name one of its parts, such as U1a."
    raise click.UsageError(
        f"There is no stage, and no part in a stage, named '{wanted[:60]}'; {hint}",
        click.get_current_context(silent=True),
    )


def _words_for(analysis: "Analysis", stage: "Stage") -> Iterator[str]:
    """What a stage may be called: its name, kind and title, its parts, and packages with a section in it."""
    from pedalwright.stages.recognise import kind_named

    yield from (stage.name, stage.kind, kind_named(stage.kind).title)
    for role in stage.roles:
        whole = role.ref.partition("/")[0]
        yield from (role.ref, whole)
        if whole[:-1] in analysis.circuit.by_ref:
            yield whole[:-1]
