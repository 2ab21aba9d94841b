"""The verb `plot`: what a circuit does, drawn; the same series as pages, files and numbers."""

from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import json_option, open_circuit, set_option, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.report.blocks import Document
    from pedalwright.report.plots.kind import PlotKind
    from pedalwright.report.plots_catalogue import Drawn

DONE, NOT_KNOWN = 0, 1
TO_OUTPUT = "-"


@click.command()
@click.argument("file", metavar="FILE", required=False)
@click.argument("names", metavar="[NAME ...]", nargs=-1)
@click.option("--names", "listing", is_flag=True, help="List the plots there are, and what each shows.")
@set_option
@json_option
@click.option("--csv", metavar="OUT", help="Write a table of all points.")
@click.option("--svg", "folder", metavar="FOLDER", help="Write every plot as a file of its own.")
@click.option("--html", metavar="OUT", help="Write one self-contained page.")
@click.option("--pdf", metavar="OUT", help="Write one document for paper.")
def command(
    file: str | None,
    names: tuple[str, ...],
    listing: bool,
    wishes: tuple[str, ...],
    as_json: bool,
    csv: str | None,
    folder: str | None,
    html: str | None,
    pdf: str | None,
) -> int:
    """Draw what a circuit does: response with its tolerance band, stages, repeats, decay, delay dial, knobs,
    noise and impedances; all that there is something to show of, or those named.

    The exit status is 1 when a plot could not be certified.

    \b
    pedalwright plot --names
    pedalwright plot lantern.pedal response
    pedalwright plot lantern.pedal --html lantern-plots.html --svg plots
    pedalwright plot lantern.pedal knobs delay-dial --set TIME=3 --pdf dials.pdf
    """
    from pedalwright.report.plots_catalogue import drawn

    if listing:
        click.echo("\n".join(_listed()))
        return DONE
    if file is None:
        raise click.UsageError("Name a circuit's text, or list the plots with --names.", _context())
    if as_json and TO_OUTPUT in (csv, html):
        raise click.UsageError("--json has the output to itself; name a file for the other.", _context())
    kinds = _chosen(names)
    analysis = open_circuit(file, wishes, as_json=as_json)
    found = drawn(analysis, kinds)
    _write(analysis, found, file, csv=csv, folder=folder, html=html, pdf=pdf)
    if as_json:
        from pedalwright.report.plots_data import plots_json

        moving = (*analysis.circuit.knobs, *analysis.circuit.switches)
        settings = {part.ref: str(part.setting) for part in moving}
        click.echo(plots_json(analysis.circuit.title, found, _mark(analysis), settings), nl=False)
    elif (csv, folder, html, pdf) == (None, None, None, None):
        from pedalwright.report.terminal_page import console_for, print_page

        print_page(_document(analysis, found, in_letters=True), console_for())
    return NOT_KNOWN if any(one.refusal for one in found) else DONE


def _listed() -> Iterator[str]:
    """Every kind's name and title, in columns."""
    from pedalwright.report.plots_catalogue import plot_kinds

    kinds = plot_kinds()
    width = max(len(kind.name) for kind in kinds)
    yield from (f"{kind.name:<{width}}  {kind.title}" for kind in kinds)


def _chosen(names: tuple[str, ...]) -> "tuple[PlotKind, ...]":
    from pedalwright.report.plots_catalogue import kinds_named

    try:
        return kinds_named(names)
    except ValueError as mistake:
        raise click.UsageError(str(mistake), _context()) from None


def _write(
    analysis: "Analysis",
    found: "tuple[Drawn, ...]",
    file: str,
    *,
    csv: str | None,
    folder: str | None,
    html: str | None,
    pdf: str | None,
) -> None:
    if csv is not None:
        from pedalwright.report.plots_data import plots_csv

        write_result(csv, plots_csv(found), source=file)
    if folder is not None:
        _write_files(found, Path(folder), file)
    if html is not None:
        from pedalwright.report.html_page import html_page

        page = html_page(_document(analysis, found), contents=len(found) > 1)
        write_result(html, page, source=file)
    if pdf is not None:
        from pedalwright.report.paper.printing import pdf_document

        write_result(pdf, pdf_document(_document(analysis, found)), source=file)


def _write_files(found: "tuple[Drawn, ...]", folder: Path, source: str) -> None:
    """Every plot and picture under its kind's name, numbered where there are several."""
    from pedalwright.report.plot_file import plot_file

    folder.mkdir(parents=True, exist_ok=True)
    for one in found:
        drawings = [text for plot in one.plots if (text := plot_file(plot))]
        drawings += [f"{picture.svg}\n" for picture in one.pictures]
        for place, text in enumerate(drawings, start=1):
            number = f"-{place}" if len(drawings) > 1 else ""
            write_result(str(folder / f"{one.kind.name}{number}.svg"), text, source=source)


def _document(analysis: "Analysis", found: "tuple[Drawn, ...]", *, in_letters: bool = False) -> "Document":
    from pedalwright.report.plots_document import plots_document

    return plots_document(analysis.circuit.title, found, _mark(analysis), in_letters=in_letters)


def _mark(analysis: "Analysis") -> str:
    return sha256(analysis.text.encode("utf-8")).hexdigest()


def _context() -> click.Context:
    return click.get_current_context()
