"""The verb `walk`: the circuit talked through, stage by stage and part by part."""

from dataclasses import replace
from difflib import get_close_matches
from typing import TYPE_CHECKING

import click

from pedalwright.cli._pages import write_pdf
from pedalwright.cli._shared import circuit_options, open_circuit, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.analysis.records import Walk, WalkStage
    from pedalwright.report.blocks import Section

DONE, NOT_CONFIRMED = 0, 1
TO_OUTPUT = "-"


@click.command()
@circuit_options
@click.option("--html", metavar="OUT", help="Write one self-contained page.")
@click.option(
    "--markdown",
    metavar="[OUT]",
    is_flag=False,
    flag_value=TO_OUTPUT,
    help="Write Markdown, to the output when no OUT is given.",
)
@click.option("--pdf", metavar="OUT", help="Write one document for paper.")
@click.option("--sound", is_flag=True, help="With --html: a chord to play in the page, bypassed and engaged.")
@click.option("--stage", metavar="NAME", help="Only this stage, or the one this part is in.")
def command(
    file: str,
    wishes: tuple[str, ...],
    as_json: bool,
    html: str | None,
    markdown: str | None,
    pdf: str | None,
    sound: bool,
    stage: str | None,
) -> int:
    """Talk a circuit through: what each stage and each part is for, with its numbers and their proof.

    The exit status is 1 when a stage is not confirmed or a figure could not be certified.

    \b
    pedalwright walk lantern.pedal
    pedalwright walk lantern.pedal --set TIME=8 --html lantern.html
    pedalwright walk lantern.pedal --stage R5
    """
    from pedalwright.analysis.walk import walk

    if as_json and TO_OUTPUT in (html, markdown, pdf):
        raise click.UsageError("--json has the output to itself; name a file for the other.")
    if sound and html is None:
        raise click.UsageError("--sound is for the page that --html writes.", click.get_current_context())
    analysis = open_circuit(file, wishes, as_json=as_json)
    told = walk(analysis)
    told = told if stage is None else only_stage(told, stage)
    more = _sample(analysis) if sound else ()
    _write_files(told, file, html, markdown, stages_only=stage is not None, more=more)
    if pdf is not None:
        from pedalwright.report.walk_document import walk_document

        write_pdf(pdf, walk_document(told, stages_only=stage is not None), source=file)
    if as_json:
        from pedalwright.report.walk_json import walk_json

        click.echo(walk_json(told), nl=False)
    elif (html, markdown, pdf) == (None, None, None):
        from pedalwright.report.walk_terminal import print_walk

        print_walk(told, stages_only=stage is not None)
    return _status(told)


def _sample(analysis: "Analysis") -> "tuple[Section, ...]":
    from pedalwright.report.sound_page import sample_section

    return (sample_section(analysis),)


def _write_files(
    told: "Walk",
    file: str,
    html: str | None,
    markdown: str | None,
    *,
    stages_only: bool,
    more: "tuple[Section, ...]",
) -> None:
    if html is not None:
        from pedalwright.report.walk_html import walk_html

        write_result(html, walk_html(told, stages_only=stages_only, more=more), source=file)
    if markdown is not None:
        from pedalwright.report.walk_markdown import walk_markdown

        write_result(markdown, walk_markdown(told, stages_only=stages_only), source=file)


def _status(told: "Walk") -> int:
    from pedalwright.report.walk_sentences import is_sound

    return DONE if is_sound(told) else NOT_CONFIRMED


def only_stage(told: "Walk", wanted: str) -> "Walk":
    """The walk-through with the stages of that name, kind, or with that part; raises click.UsageError for
    none.
    """
    found = tuple(stage for stage in told.stages if _is_meant(stage, wanted))
    if found:
        return replace(told, stages=found, unstaged=(), loops=())
    raise click.UsageError(
        f"There is no stage, and no part in a stage, named '{wanted[:60]}'; {_hint(told, wanted)}",
        click.get_current_context(silent=True),
    )


def _hint(told: "Walk", wanted: str) -> str:
    refs = [part.ref for stage in told.stages for part in stage.parts]
    words = dict.fromkeys([*(stage.title for stage in told.stages), *refs])
    near = get_close_matches(wanted, words, n=1)
    if near:
        return f"did you mean '{near[0]}'?"
    titles = dict.fromkeys(stage.title for stage in told.stages)
    return f"the stages are: {', '.join(titles)}. Any of their parts will do, too."


def _is_meant(stage: "WalkStage", wanted: str) -> bool:
    if wanted.lower() in (stage.name.lower(), stage.kind.lower(), stage.title.lower()):
        return True
    refs = [part.ref for part in stage.parts]
    sections = [ref for ref in refs if ref[:-1] == wanted and ref[-1].isalpha()]
    inside = [ref for ref in refs if ref.startswith(f"{wanted}/")]
    return wanted in refs or bool(sections or inside)
