"""The verb `power`: what a pedal draws, how long a battery lasts, what gets warm, what wrong supplies do."""

from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import circuit_options, open_circuit, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.power.answers import PowerAnswers

DONE, NOT_KNOWN = 0, 1
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
def command(file: str, wishes: tuple[str, ...], as_json: bool, html: str | None, markdown: str | None) -> int:
    """The supply side: current of every rail, the adaptor's label, battery life, switch-on, heat, and what
    becomes of the pedal on a reversed, too high or alternating supply.

    The exit status is 1 when something could not be certified.

    \b
    pedalwright power lantern.pedal
    pedalwright power lantern.pedal --html power.html
    pedalwright power lantern.pedal --set TIME=0 --json
    """
    from pedalwright.analysis.power.answers import power_answers

    if as_json and TO_OUTPUT in (html, markdown):
        raise click.UsageError("--json has the output to itself; name a file for the other.")
    answers = power_answers(open_circuit(file, wishes, as_json=as_json))
    _write_files(answers, file, html, markdown)
    if as_json:
        from pedalwright.report.power_json import power_json

        click.echo(power_json(answers), nl=False)
    elif html is None and markdown is None:
        from pedalwright.report.power_document import power_document
        from pedalwright.report.terminal_page import console_for, print_page

        print_page(power_document(answers), console_for())
    return DONE if answers.is_sound else NOT_KNOWN


def _write_files(answers: "PowerAnswers", file: str, html: str | None, markdown: str | None) -> None:
    from pedalwright.report.power_document import power_document

    if html is not None:
        from pedalwright.report.html_page import html_page

        write_result(html, html_page(power_document(answers)), source=file)
    if markdown is not None:
        from pedalwright.report.markdown_page import markdown_page

        write_result(markdown, markdown_page(power_document(answers)), source=file)
