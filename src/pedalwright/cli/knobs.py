"""The verb `knobs`: what each knob does from 0 to 10, in the unit it is heard in."""

from hashlib import sha256
from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import circuit_options, open_circuit, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.knob_records import KnobAnswer
    from pedalwright.report.blocks import Document

DONE, NOT_KNOWN = 0, 1
TO_OUTPUT = "-"


@click.command()
@circuit_options
@click.option("--knob", "names", metavar="NAME", multiple=True, help="Only this knob; as often as needed.")
@click.option("--steps", type=int, default=41, show_default=True, help="How many positions are solved.")
@click.option("--html", metavar="OUT", help="Write one self-contained page.")
@click.option(
    "--markdown",
    metavar="[OUT]",
    is_flag=False,
    flag_value=TO_OUTPUT,
    help="Write Markdown, to the output when no OUT is given.",
)
def command(
    file: str,
    wishes: tuple[str, ...],
    as_json: bool,
    names: tuple[str, ...],
    steps: int,
    html: str | None,
    markdown: str | None,
) -> int:
    """What each knob and trim does from 0 to 10: in decibels, hertz, milliseconds, repeats or cents, how
    evenly, and what would spread it better.

    The exit status is 1 when a position could not be certified.

    \b
    pedalwright knobs lantern.pedal
    pedalwright knobs lantern.pedal --knob TIME --html time.html
    pedalwright knobs lantern.pedal --set LEVEL=10 --json
    """
    from pedalwright.analysis.knob_answers import KnobMistake, knobs

    if as_json and TO_OUTPUT in (html, markdown):
        raise click.UsageError("--json has the output to itself; name a file for the other.")
    analysis = open_circuit(file, wishes, as_json=as_json)
    try:
        answers = knobs(analysis, names, steps)
    except KnobMistake as mistake:
        raise click.UsageError(str(mistake), click.get_current_context()) from None
    title, mark = analysis.circuit.title, sha256(analysis.text.encode("utf-8")).hexdigest()
    from pedalwright.report.knobs_document import knobs_document

    document = knobs_document(title, answers, mark)
    _write_files(document, file, html, markdown)
    if as_json:
        from pedalwright.report.knobs_json import knobs_json

        moving = (*analysis.circuit.knobs, *analysis.circuit.switches)
        settings = {part.ref: str(part.setting) for part in moving}
        click.echo(knobs_json(title, answers, mark, settings), nl=False)
    elif html is None and markdown is None:
        from pedalwright.report.terminal_page import console_for, print_page

        print_page(document, console_for())
    return _status(answers)


def _write_files(document: "Document", file: str, html: str | None, markdown: str | None) -> None:
    if html is not None:
        from pedalwright.report.html_page import html_page

        write_result(html, html_page(document, contents=len(document.sections) > 1), source=file)
    if markdown is not None:
        from pedalwright.report.markdown_page import markdown_page

        write_result(markdown, markdown_page(document), source=file)


def _status(answers: "tuple[KnobAnswer, ...]") -> int:
    return DONE if all(answer.certified.all() for answer in answers) else NOT_KNOWN
