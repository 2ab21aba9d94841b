"""The verb `noise`: how much a pedal hisses, who makes it, and what would help by how much."""

from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import circuit_options, open_circuit, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.noise.records import NoiseAnswers

DONE, NO = 0, 1
TO_OUTPUT = "-"


@click.command()
@circuit_options
@click.option("--at", metavar="NET", help="Where to listen; the output jack unless said.")
@click.option(
    "--source",
    type=click.Choice(["shorted", "pickup", "open"]),
    default="pickup",
    show_default=True,
    help="What is at the input jack for the list of who makes it; `pickup` is what the text says.",
)
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
    at: str | None,
    source: str,
    html: str | None,
    markdown: str | None,
) -> int:
    """The noise at the output, flat and A-weighted: who makes it, what would help by how many decibels, and
    what an echo adds.

    The exit status is 1 when a figure could not be certified, or the echo runs away.

    \b
    pedalwright noise lantern.pedal
    pedalwright noise lantern.pedal --set REPEATS=9 --source shorted
    pedalwright noise lantern.pedal --at U1a.out --json
    """
    from pedalwright.analysis.noise import noise_answers

    if as_json and TO_OUTPUT in (html, markdown):
        raise click.UsageError("--json has the output to itself; name a file for the other.")
    analysis = open_circuit(file, wishes, as_json=as_json)
    try:
        answers = noise_answers(analysis, source=source, at=at)
    except ValueError as mistake:
        raise click.UsageError(str(mistake), click.get_current_context()) from None
    _write_files(answers, file, html, markdown)
    if as_json:
        from pedalwright.report.noise_json import noise_json

        click.echo(noise_json(answers), nl=False)
    elif html is None and markdown is None:
        from pedalwright.report.noise_document import noise_document
        from pedalwright.report.terminal_page import console_for, print_page

        print_page(noise_document(answers), console_for())
    return DONE if answers.is_sound else NO


def _write_files(answers: "NoiseAnswers", file: str, html: str | None, markdown: str | None) -> None:
    from pedalwright.report.noise_document import noise_document

    if html is not None:
        from pedalwright.report.html_page import html_page

        write_result(html, html_page(noise_document(answers)), source=file)
    if markdown is not None:
        from pedalwright.report.markdown_page import markdown_page

        write_result(markdown, markdown_page(noise_document(answers)), source=file)
