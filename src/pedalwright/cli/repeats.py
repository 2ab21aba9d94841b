"""The verb `repeats`: the echo of a circuit, repeat by repeat, and where it runs away."""

from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import circuit_options, open_circuit, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.echo_records import EchoAnswers

DONE, NO = 0, 1
TO_OUTPUT = "-"
NO_CHIP = "There is no echo chip in this circuit, so there are no repeats to tell of."


@click.command()
@circuit_options
@click.option(
    "--count", type=click.IntRange(1, 200), default=12, show_default=True, help="How many repeats to tell."
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
    file: str, wishes: tuple[str, ...], as_json: bool, count: int, html: str | None, markdown: str | None
) -> int:
    """The echo, repeat by repeat: delay, level, tone, decay, and where it runs away, over the spread of
    parts.

    The exit status is 1 for a circuit without an echo chip, or when a figure could not be certified.

    \b
    pedalwright repeats lantern.pedal
    pedalwright repeats lantern.pedal --set REPEATS=9 --html repeats.html
    pedalwright repeats lantern.pedal --count 30 --json
    """
    from pedalwright.analysis.echo_answers import echo_answers

    if as_json and TO_OUTPUT in (html, markdown):
        raise click.UsageError("--json has the output to itself; name a file for the other.")
    answers = echo_answers(open_circuit(file, wishes, as_json=as_json), count)
    if answers is None:
        click.echo(NO_CHIP, err=True)
        return NO
    _write_files(answers, file, html, markdown)
    if as_json:
        from pedalwright.report.repeats_json import repeats_json

        click.echo(repeats_json(answers), nl=False)
    elif html is None and markdown is None:
        from pedalwright.report.repeats_document import repeats_document
        from pedalwright.report.terminal_page import console_for, print_page

        print_page(repeats_document(answers), console_for())
    return DONE if answers.is_sound else NO


def _write_files(answers: "EchoAnswers", file: str, html: str | None, markdown: str | None) -> None:
    from pedalwright.report.repeats_document import repeats_document

    if html is not None:
        from pedalwright.report.html_page import html_page

        write_result(html, html_page(repeats_document(answers)), source=file)
    if markdown is not None:
        from pedalwright.report.markdown_page import markdown_page

        write_result(markdown, markdown_page(repeats_document(answers)), source=file)
