"""The verb `voltages`: what a meter reads on every pin and test point, and whether readings are right."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from pedalwright.cli._pages import TO_OUTPUT, Goals, hand_out, page_options
from pedalwright.cli._shared import circuit_options, open_circuit

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.analysis.voltages import Comparison, VoltageTable

DONE, NO = 0, 1
MOST_BYTES = 1_000_000


@click.command()
@circuit_options
@click.option(
    "--measured", "measured", metavar="NET=V", multiple=True, help="What a supply or a regulator reads."
)
@click.option("--meter", metavar="OHMS", default="10M", show_default=True, help="The meter's own resistance.")
@click.option(
    "--read", "readings", metavar="TEXT", help="Readings to compare; @FILE from a file, - from the input."
)
@click.option("--chip", metavar="REF", default="", help="The chip that bare pin numbers belong to.")
@click.option("--builds", type=click.IntRange(2, 20_000), default=1000, show_default=True, help="How many.")
@page_options
def command(
    file: str,
    wishes: tuple[str, ...],
    measured: tuple[str, ...],
    meter: str,
    readings: str | None,
    chip: str,
    builds: int,
    goals: Goals,
) -> int:
    """What a meter reads on every pin and test point: low, typical and high over many builds, what moves it,
    and what a wrong reading would mean.

    With --read a list as one finds it in a forum is compared at once; a supply in it sets the bands. The exit
    status is 1 when a reading lies outside its band, none was understood, or there is no table.

    \b
    pedalwright voltages lantern.pedal
    pedalwright voltages lantern.pedal --measured VIN=8.53 --meter 1M
    pedalwright voltages lantern.pedal --read "VIN=8.9 U2 1=4.97 2=2.48 6: 2,29V"
    pedalwright voltages lantern.pedal --read @readings.txt --chip U2
    pedalwright voltages lantern.pedal --html bench.html
    """
    text = None if readings is None else _text_of(readings)
    given, meter_ohms = _given(measured), _ohms(meter)
    analysis = open_circuit(file, wishes, as_json=goals.as_json)
    table, comparison = _answers(analysis, given, meter_ohms, builds, text, chip)
    _show(table, comparison, file, goals)
    return _status(table, comparison)


def _answers(
    analysis: "Analysis",
    given: dict[str, float],
    meter_ohms: float,
    builds: int,
    text: str | None,
    chip: str,
) -> "tuple[VoltageTable, Comparison | None]":
    """The table, on the supplies that were read, and the comparison when there is a list."""
    from pedalwright.analysis.voltages import compare_readings, supplies_read, voltage_table

    try:
        read = {} if text is None else supplies_read(analysis.circuit, text, chip)
        table = voltage_table(analysis, measured={**read, **given}, meter_ohms=meter_ohms, builds=builds)
        comparison = None if text is None else compare_readings(table, text, chip)
    except ValueError as mistake:
        _misused(str(mistake))
    return table, comparison


def _status(table: "VoltageTable", comparison: "Comparison | None") -> int:
    if not table.is_sound:
        return NO
    if comparison is not None and (comparison.wrong or not comparison.readings):
        return NO
    return DONE


def _show(table: "VoltageTable", comparison: "Comparison | None", file: str, goals: Goals) -> None:
    """The table, or on the terminal the comparison alone; pages and paper have room to write in."""
    from pedalwright.report.voltages_document import comparison_document, voltages_document
    from pedalwright.report.voltages_json import voltages_json

    hand_out(
        goals,
        lambda: voltages_document(table) if comparison is None else comparison_document(table, comparison),
        lambda: voltages_json(table, comparison),
        source=file,
        for_paper=lambda: voltages_document(table, comparison, to_write_in=True),
    )


def _given(measured: tuple[str, ...]) -> dict[str, float]:
    from pedalwright.units.values import Quantity, ValueMistake, parse_value

    found: dict[str, float] = {}
    for wish in measured:
        net, sign, written = (piece.strip() for piece in wish.partition("="))
        if not (net and sign and written):
            _misused(f"--measured takes NET=V, such as VIN=8.53, not '{wish[:60]}'.")
        if net in found:
            _misused(f"--measured says twice what {net} reads.")
        try:
            found[net] = parse_value(written, Quantity.VOLTAGE)
        except ValueMistake as mistake:
            _misused(f"--measured {net}={written[:40]}: {mistake}")
    return found


def _ohms(meter: str) -> float:
    from pedalwright.units.values import Quantity, ValueMistake, parse_value

    try:
        return parse_value(meter, Quantity.RESISTANCE)
    except ValueMistake as mistake:
        _misused(f"--meter {meter[:40]}: {mistake}")


def _text_of(readings: str) -> str:
    """The list itself, from the command line, a file or the input; what is no UTF-8 is read as best it can
    be.
    """
    if readings == TO_OUTPUT:
        return sys.stdin.buffer.read(MOST_BYTES).decode("utf-8", errors="replace")
    if not readings.startswith("@"):
        return readings
    with Path(readings[1:]).open("rb") as stream:
        return stream.read(MOST_BYTES).decode("utf-8-sig", errors="replace")


def _misused(sentence: str) -> NoReturn:
    raise click.UsageError(sentence, click.get_current_context()) from None
