"""The verb `repeats`: the echo of a circuit, repeat by repeat, and where it runs away."""

import click

from pedalwright.cli._pages import Goals, hand_out, page_options
from pedalwright.cli._shared import circuit_options, open_circuit

DONE, NO = 0, 1
NO_CHIP = "There is no echo chip in this circuit, so there are no repeats to tell of."


@click.command()
@circuit_options
@click.option(
    "--count", type=click.IntRange(1, 200), default=12, show_default=True, help="How many repeats to tell."
)
@page_options
def command(file: str, wishes: tuple[str, ...], count: int, goals: Goals) -> int:
    """The echo, repeat by repeat: delay, level, tone, decay, and where it runs away, over the spread of
    parts.

    The exit status is 1 for a circuit without an echo chip, or when a figure could not be certified.

    \b
    pedalwright repeats lantern.pedal
    pedalwright repeats lantern.pedal --set REPEATS=9 --html repeats.html
    pedalwright repeats lantern.pedal --count 30 --json
    """
    from pedalwright.analysis.echo_answers import echo_answers
    from pedalwright.report.repeats_document import repeats_document
    from pedalwright.report.repeats_json import repeats_json

    answers = echo_answers(open_circuit(file, wishes, as_json=goals.as_json), count)
    if answers is None:
        click.echo(NO_CHIP, err=True)
        return NO
    hand_out(goals, lambda: repeats_document(answers), lambda: repeats_json(answers), source=file)
    return DONE if answers.is_sound else NO
