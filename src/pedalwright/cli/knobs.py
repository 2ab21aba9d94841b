"""The verb `knobs`: what each knob does from 0 to 10, in the unit it is heard in."""

from hashlib import sha256
from typing import TYPE_CHECKING

import click

from pedalwright.cli._pages import Goals, hand_out, page_options
from pedalwright.cli._shared import circuit_options, open_circuit

if TYPE_CHECKING:
    from pedalwright.analysis.knob_records import KnobAnswer

DONE, NOT_KNOWN = 0, 1


@click.command()
@circuit_options
@click.option("--knob", "names", metavar="NAME", multiple=True, help="Only this knob; as often as needed.")
@click.option("--steps", type=int, default=41, show_default=True, help="How many positions are solved.")
@page_options
def command(
    file: str,
    wishes: tuple[str, ...],
    names: tuple[str, ...],
    steps: int,
    goals: Goals,
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
    from pedalwright.report.knobs_document import knobs_document
    from pedalwright.report.knobs_json import knobs_json

    analysis = open_circuit(file, wishes, as_json=goals.as_json)
    try:
        answers = knobs(analysis, names, steps)
    except KnobMistake as mistake:
        raise click.UsageError(str(mistake), click.get_current_context()) from None
    title, mark = analysis.circuit.title, sha256(analysis.text.encode("utf-8")).hexdigest()
    moving = (*analysis.circuit.knobs, *analysis.circuit.switches)
    settings = {part.ref: str(part.setting) for part in moving}
    hand_out(
        goals,
        lambda: knobs_document(title, answers, mark),
        lambda: knobs_json(title, answers, mark, settings),
        source=file,
    )
    return _status(answers)


def _status(answers: "tuple[KnobAnswer, ...]") -> int:
    return DONE if all(answer.certified.all() for answer in answers) else NOT_KNOWN
