"""The verb `pack`: the build document as PDF and as a page, the parts list as CSV."""

import json
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import circuit_options, open_circuit, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.report.pack.assembling import BuildDocument

DONE, DISAGREES = 0, 1
SCHEMA = "pedalwright.pack/1"


@click.command()
@circuit_options
@click.option(
    "--into",
    metavar="FOLDER",
    help="Where the files go; a folder named after FILE when it is not given.",
)
@click.option("--since", metavar="OLD", help="Tell what has changed since this earlier text.")
def command(file: str, wishes: tuple[str, ...], as_json: bool, into: str | None, since: str | None) -> int:
    """Write the build document: how it works, schematic, parts, shopping, soldering, tests, faults, figures.

    Three files: NAME.pdf for printing (tagged, PDF/UA-1), NAME.html, and NAME-parts.csv. The same text gives
    the same bytes. The exit status is 1 when the document does not agree with the circuit; then nothing is
    written.

    \b
    pedalwright pack lantern.pedal
    pedalwright pack lantern.pedal --into paper --since lantern-old.pedal
    """
    from pedalwright.report.pack.assembling import build_document
    from pedalwright.report.pack.dossier import Dossier
    from pedalwright.report.pack.lint import disagreements
    from pedalwright.report.pack.parts_csv import parts_csv

    analysis = open_circuit(file, wishes, as_json=as_json)
    before = open_circuit(since, (), as_json=as_json) if since is not None else None
    dossier = Dossier(analysis, before, tuple(wishes))
    built = build_document(dossier)
    table = parts_csv(dossier)
    wrong = disagreements(built, analysis.circuit, table)
    name = Path(file).stem or "circuit"
    written = {} if wrong else _written(_folder(file, into), name, built, table, file)
    _say(analysis, built, wrong, written, as_json=as_json)
    return DISAGREES if wrong else DONE


def _folder(file: str, into: str | None) -> Path:
    folder = Path(into) if into is not None else Path(f"{Path(file).stem or 'circuit'}-pack")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as reason:
        said = f"The folder {folder} cannot be made: {reason.strerror or reason}."
        raise click.UsageError(said, click.get_current_context()) from None
    return folder


def _written(folder: Path, name: str, built: "BuildDocument", table: str, source: str) -> dict[str, str]:
    """The three files, by what they are."""
    from pedalwright.report.html_page import html_page
    from pedalwright.report.pack.assembling import html_document, printed

    pdf = printed(built)
    contents: dict[str, tuple[str, str | bytes]] = {
        "pdf": (f"{name}.pdf", pdf),
        "html": (f"{name}.html", html_page(html_document(built))),
        "csv": (f"{name}-parts.csv", table),
    }
    for goal, content in contents.values():
        write_result(str(folder / goal), content, source=source)
    return {form: str(folder / goal) for form, (goal, _) in contents.items()}


def _say(
    analysis: "Analysis",
    built: "BuildDocument",
    wrong: tuple[str, ...],
    written: dict[str, str],
    *,
    as_json: bool,
) -> None:
    if as_json:
        data = {
            "schema": SCHEMA,
            "title": analysis.circuit.title,
            "text_sha256": built.text_sha256,
            "revision": built.revision,
            "settings": {
                part.ref: part.setting for part in (*analysis.circuit.knobs, *analysis.circuit.switches)
            },
            "sections": [section.anchor for section in built.document.sections],
            "files": written,
            "disagreements": list(wrong),
        }
        click.echo(json.dumps(data, ensure_ascii=False, indent=1))
        return
    for sentence in wrong:
        click.echo(sentence, err=True)
    for goal in written.values():
        click.echo(f"Written: {goal}")
