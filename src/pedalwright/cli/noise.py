"""The verb `noise`: how much a pedal hisses, who makes it, and what would help by how much."""

import click

from pedalwright.cli._pages import Goals, hand_out, page_options
from pedalwright.cli._shared import circuit_options, open_circuit

DONE, NO = 0, 1


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
@page_options
def command(
    file: str,
    wishes: tuple[str, ...],
    at: str | None,
    source: str,
    goals: Goals,
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
    from pedalwright.report.noise_document import noise_document
    from pedalwright.report.noise_json import noise_json

    analysis = open_circuit(file, wishes, as_json=goals.as_json)
    try:
        answers = noise_answers(analysis, source=source, at=at)
    except ValueError as mistake:
        raise click.UsageError(str(mistake), click.get_current_context()) from None
    hand_out(goals, lambda: noise_document(answers), lambda: noise_json(answers), source=file)
    return DONE if answers.is_sound else NO
