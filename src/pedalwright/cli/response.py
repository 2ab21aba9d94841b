"""The verb `response`: level and phase between any two nets, and the impedance at a net."""

import re
from hashlib import sha256
from typing import TYPE_CHECKING

import click

from pedalwright.cli._shared import circuit_options, open_circuit, write_result

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.analysis.response_table import Asked
    from pedalwright.report.response_document import Answer

DONE, NOT_KNOWN = 0, 1
BAND = re.compile(r"\s*(.+?)\s*(?:\.\.|\bto\b)\s*(.+?)\s*")


@click.command()
@circuit_options
@click.option("--from", "from_net", metavar="NET", help="Where to start; the input jack unless said.")
@click.option("--to", "to_net", metavar="NET", help="Where to end; the output jack unless said.")
@click.option("--impedance", "at_nets", metavar="NET", multiple=True, help="The impedance at a net instead.")
@click.option("--between", metavar="LOW..HIGH", default="20Hz..20kHz", show_default=True, help="The band.")
@click.option("--points", type=int, default=121, show_default=True, help="How many frequencies.")
@click.option(
    "--band",
    "builds",
    metavar="[BUILDS]",
    type=int,
    is_flag=False,
    flag_value=400,
    help="Also between which levels 5 to 95 % of builds lie, parts off their values; 400 unless said.",
)
@click.option("--html", metavar="OUT", help="Write one self-contained page.")
@click.option("--csv", metavar="OUT", help="Write a table of all points.")
def command(
    file: str,
    wishes: tuple[str, ...],
    as_json: bool,
    from_net: str | None,
    to_net: str | None,
    at_nets: tuple[str, ...],
    between: str,
    points: int,
    builds: int | None,
    html: str | None,
    csv: str | None,
) -> int:
    """Level and phase between two nets, or the impedance at a net; a net may also be named by a pin, such as
    U1a.out.

    The exit status is 1 when the answer could not be certified.

    \b
    pedalwright response lantern.pedal
    pedalwright response lantern.pedal --from VIN --to OUT --between 50Hz..1kHz
    pedalwright response lantern.pedal --band
    pedalwright response lantern.pedal --impedance IN --csv input.csv
    """
    from pedalwright.solve.certificate import NotCertified

    asked = _asked(between, points)
    if as_json and "-" in (html, csv):
        raise click.UsageError("--json has the output to itself; name a file for the other.")
    analysis = open_circuit(file, wishes, as_json=as_json)
    try:
        answers = _answers(analysis, from_net, to_net, at_nets, asked)
        answers, refused = _with_band(analysis, answers, (from_net, to_net), asked, builds)
    except NotCertified as refusal:
        click.echo(f"The answer is not printed: {refusal}.", err=True)
        return NOT_KNOWN
    except ValueError as mistake:
        raise click.UsageError(str(mistake), click.get_current_context()) from None
    _show(analysis, answers, file, as_json=as_json, html=html, csv=csv)
    if refused:
        click.echo(f"The band is not printed: {refused}", err=True)
    return NOT_KNOWN if refused else DONE


def _asked(between: str, points: int) -> "Asked":
    from pedalwright.analysis.response_table import Asked
    from pedalwright.units.values import Quantity, ValueMistake, parse_value

    ends = BAND.fullmatch(between)
    context = click.get_current_context()
    if ends is None:
        raise click.UsageError(
            f"--between takes LOW..HIGH, such as 20Hz..20kHz, not '{between[:40]}'.", context
        )
    try:
        low_hz, high_hz = (parse_value(end, Quantity.FREQUENCY) for end in ends.groups())
    except ValueMistake as mistake:
        raise click.UsageError(str(mistake), context) from None
    asked = Asked(low_hz=low_hz, high_hz=high_hz, points=points)
    try:
        asked.frequencies()
    except ValueError as mistake:
        raise click.UsageError(str(mistake), context) from None
    return asked


def _answers(
    analysis: "Analysis",
    from_net: str | None,
    to_net: str | None,
    at_nets: tuple[str, ...],
    asked: "Asked",
) -> "tuple[Answer, ...]":
    """The impedances asked for, and the response unless only impedances were asked for."""
    from pedalwright.analysis.response_table import impedance_table, response_table

    impedances = [impedance_table(analysis, net, asked) for net in at_nets]
    if impedances and from_net is None and to_net is None:
        return tuple(impedances)
    return response_table(analysis, from_net=from_net, to_net=to_net, asked=asked), *impedances


def _with_band(
    analysis: "Analysis",
    answers: "tuple[Answer, ...]",
    ends: tuple[str | None, str | None],
    asked: "Asked",
    builds: int | None,
) -> "tuple[tuple[Answer, ...], str]":
    """The answers, the response with its band where that was asked for; and why there is none."""
    from pedalwright.analysis.response_table import ResponseTable

    first, *others = answers
    if builds is None:
        return answers, ""
    if not isinstance(first, ResponseTable):
        raise ValueError("--band is of a response; with --impedance, name --from or --to as well.")
    from pedalwright.analysis.response_band.bands import banded
    from pedalwright.analysis.response_band.records import BandRefused

    try:
        table = banded(first, analysis, from_net=ends[0], to_net=ends[1], asked=asked, builds=builds)
    except BandRefused as refusal:
        return answers, str(refusal)
    return (table, *others), ""


def _show(
    analysis: "Analysis",
    answers: "tuple[Answer, ...]",
    file: str,
    *,
    as_json: bool,
    html: str | None,
    csv: str | None,
) -> None:
    from pedalwright.report.response_document import response_csv, response_document, response_json

    title, mark = analysis.circuit.title, sha256(analysis.text.encode("utf-8")).hexdigest()
    document = response_document(title, answers, mark)
    if html is not None:
        from pedalwright.report.html_page import html_page

        write_result(html, html_page(document, contents=False), source=file)
    if csv is not None:
        write_result(csv, response_csv(answers), source=file)
    if as_json:
        moving = (*analysis.circuit.knobs, *analysis.circuit.switches)
        settings = {part.ref: str(part.setting) for part in moving}
        click.echo(response_json(title, answers, mark, settings), nl=False)
    elif html is None and csv is None:
        from pedalwright.report.terminal_page import console_for, print_page

        print_page(document, console_for())
