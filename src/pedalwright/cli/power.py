"""The verb `power`: what a pedal draws, how long a battery lasts, what gets warm, what wrong supplies do."""

import click

from pedalwright.cli._pages import Goals, hand_out, page_options
from pedalwright.cli._shared import circuit_options, open_circuit

DONE, NOT_KNOWN = 0, 1


@click.command()
@circuit_options
@page_options
def command(file: str, wishes: tuple[str, ...], goals: Goals) -> int:
    """The supply side: current of every rail, the adaptor's label, battery life, switch-on, heat, and what
    becomes of the pedal on a reversed, too high or alternating supply.

    The exit status is 1 when something could not be certified.

    \b
    pedalwright power lantern.pedal
    pedalwright power lantern.pedal --html power.html
    pedalwright power lantern.pedal --set TIME=0 --json
    """
    from pedalwright.analysis.power.answers import power_answers
    from pedalwright.report.power_document import power_document
    from pedalwright.report.power_json import power_json

    answers = power_answers(open_circuit(file, wishes, as_json=goals.as_json))
    hand_out(goals, lambda: power_document(answers), lambda: power_json(answers), source=file)
    return DONE if answers.is_sound else NOT_KNOWN
