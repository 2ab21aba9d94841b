"""The verb `demo`: the main job on every built-in circuit, into a folder."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import write_result

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.analysis.records import Walk

DONE, NOT_CONFIRMED = 0, 1
SHOWN = "lantern-echo"
"""the circuit of which some stages are printed, and the build document written"""
STAGES_SHOWN = 2
FILES_EACH = 5


@click.command()
@click.argument("folder", default="demo-output", type=click.Path(file_okay=False, path_type=Path))
def command(folder: Path) -> int:
    """Walk every built-in circuit through and write the pages into FOLDER, with an index.html to begin with.

    Each circuit gives its walk-through as a page (HTML), a text (Markdown) and data (JSON), its schematic
    (SVG) and its review (HTML); one of them a build document (PDF) as well. Files of the same names are
    replaced. The exit status is 1 when a stage is not confirmed or a figure could not be certified.
    """
    from pedalwright import circuits

    folder.mkdir(parents=True, exist_ok=True)
    names = circuits.names()
    walks: dict[str, Walk] = {}
    for place, name in enumerate(names, start=1):
        _progress(f"{place} of {len(names)}: {name}")
        walks[name] = _written(folder, name, circuits.text(name))
    _progress("")
    _write_index(folder, walks)
    _say(folder, walks)
    return DONE if all(map(_is_sound, walks.values())) else NOT_CONFIRMED


def _written(folder: Path, name: str, text: str) -> "Walk":
    """One circuit walked through, drawn and reviewed, its files written."""
    from pedalwright import check, read_text, walk
    from pedalwright.report.check_document import check_document
    from pedalwright.report.drawing import schematic_svg
    from pedalwright.report.html_page import html_page
    from pedalwright.report.walk_html import walk_html
    from pedalwright.report.walk_json import walk_json
    from pedalwright.report.walk_markdown import walk_markdown

    analysis = read_text(text)
    told = walk(analysis)
    review = check_document(told.title, check(analysis), text, told.text_sha256, in_full=True)
    files = {
        ".html": walk_html(told),
        ".md": walk_markdown(told),
        ".json": walk_json(told),
        "-schematic.svg": schematic_svg(analysis),
        "-review.html": html_page(review),
    }
    for ending, content in files.items():
        write_result(str(folder / f"{name}{ending}"), content, source=name)
    if name == SHOWN:
        write_result(str(folder / f"{name}.pdf"), _build_document(analysis), source=name)
    return told


def _build_document(analysis: "Analysis") -> bytes:
    from pedalwright.report.pack.assembling import build_document, printed
    from pedalwright.report.pack.dossier import Dossier

    return printed(build_document(Dossier(analysis)))


def _write_index(folder: Path, walks: "dict[str, Walk]") -> None:
    from pedalwright.report.html_page import html_page
    from pedalwright.report.walk_index import index_document

    write_result(
        str(folder / "index.html"), html_page(index_document(walks, pdf_of=SHOWN), contents=False), source=""
    )


def _say(folder: Path, walks: "dict[str, Walk]") -> None:
    """A few stages of one walk-through, how each went, and what was written."""
    from dataclasses import replace

    from pedalwright.report.terminal_page import console_for, print_page
    from pedalwright.report.walk_document import walk_document
    from pedalwright.report.walk_index import told_row

    console = console_for()
    proved = tuple(stage for stage in walks[SHOWN].stages if stage.proof.v1 is not None)
    some = replace(walks[SHOWN], stages=proved[:STAGES_SHOWN])
    print_page(walk_document(some, stages_only=True), console)
    click.echo(f"\nThat was a part of {SHOWN}. Walked through:\n")
    for name, told in walks.items():
        click.echo(f"  {name:<30} {told_row(told)}")
    click.echo(
        f"\nWritten: {FILES_EACH * len(walks)} files, {SHOWN}.pdf and index.html, in {folder}. "
        f"Begin with {folder / 'index.html'}"
    )


def _is_sound(told: "Walk") -> bool:
    from pedalwright.report.walk_sentences import is_sound

    return is_sound(told)


def _progress(line: str) -> None:
    """One line that overwrites itself, on a terminal only."""
    if sys.stderr.isatty():
        click.echo(f"\r\033[K{line}", nl=False, err=True)
