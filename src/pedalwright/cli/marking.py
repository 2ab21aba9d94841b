"""The verb `marking`: colour bands, codes and written values, in both directions."""

import json
from typing import Any

import click

from pedalwright.units.markings.forms import MarkingForms, MarkingSheet
from pedalwright.units.markings.reading import MarkingAnswer, Reading, explain_marking
from pedalwright.units.mistake import ValueMistake
from pedalwright.units.value_writing import print_value

SCHEMA = "pedalwright.marking/1"


@click.command(context_settings={"ignore_unknown_options": True})
@click.argument("marking", nargs=-1, required=True)
@click.option("--json", "as_json", is_flag=True, help="One JSON object instead of tables.")
def command(marking: tuple[str, ...], as_json: bool) -> None:
    """Read a part's colours, code or value, and show every way the same value is marked.

    \b
    pedalwright marking yellow violet red gold
    pedalwright marking 473K
    pedalwright marking 4k7
    """
    try:
        answer = explain_marking(" ".join(marking))
    except ValueMistake as mistake:
        raise click.UsageError(str(mistake)) from None
    if as_json:
        click.echo(json.dumps(_as_data(answer), ensure_ascii=False, indent=2))
    else:
        _print_tables(answer)


def _as_data(answer: MarkingAnswer) -> dict[str, Any]:
    return {
        "schema": SCHEMA,
        "marking": answer.text,
        "readings": [_reading_data(reading) for reading in answer.readings],
        "markings": [_sheet_data(sheet) for sheet in answer.sheets],
    }


def _reading_data(reading: Reading) -> dict[str, Any]:
    tolerance = reading.tolerance
    return {
        "system": reading.system,
        "quantity": reading.quantity.noun,
        "value": reading.value,
        "unit": reading.quantity.value.ascii_unit,
        "tolerance_low_percent": None if tolerance is None else round(100 * tolerance.low, 9),
        "tolerance_high_percent": None if tolerance is None else round(100 * tolerance.high, 9),
        "tolerance_absolute_f": None if tolerance is None else tolerance.absolute_farads,
        "temperature_ppm_per_k": reading.temperature_ppm,
        "rated_v": reading.rated_v,
        "series": reading.series.name if reading.series else None,
    }


def _sheet_data(sheet: MarkingSheet) -> dict[str, Any]:
    return {
        "value": _forms_data(sheet.value),
        "tenth": _forms_data(sheet.tenth) if sheet.tenth else None,
        "tenfold": _forms_data(sheet.tenfold) if sheet.tenfold else None,
    }


def _forms_data(forms: MarkingForms) -> dict[str, Any]:
    return {
        "quantity": forms.quantity.noun,
        "value": forms.value,
        "unit": forms.quantity.value.ascii_unit,
        "series": forms.series.name if forms.series else None,
        "forms": {form.system: form.marking for form in forms.forms},
    }


def _print_tables(answer: MarkingAnswer) -> None:
    from rich.console import Console
    from rich.markup import escape

    console = Console(highlight=False)
    if len(answer.readings) > 1:
        console.print(f"{escape(answer.text)} can mean {len(answer.readings)} things, the most usual first:")
    console.print(_readings_table(answer.readings))
    for sheet in _worth_showing(answer.sheets):
        console.print(_sheet_table(sheet))


def _worth_showing(sheets: tuple[MarkingSheet, ...]) -> tuple[MarkingSheet, ...]:
    """The sheets of purchasable values; all of them when none is."""
    return tuple(sheet for sheet in sheets if sheet.value.series) or sheets


def _readings_table(readings: tuple[Reading, ...]) -> Any:
    from rich.table import Table

    table = Table("read as", "part", "value", "tolerance", "further", "series")
    for reading in readings:
        table.add_row(
            reading.system,
            _part_of(reading),
            print_value(reading.value, reading.quantity.unit),
            "" if reading.tolerance is None else str(reading.tolerance),
            _further(reading),
            reading.series.name if reading.series else "not a preferred value",
        )
    return table


def _part_of(reading: Reading) -> str:
    nouns = {"resistance": "resistor", "capacitance": "capacitor", "inductance": "inductor"}
    return nouns[reading.quantity.noun]


def _further(reading: Reading) -> str:
    if reading.rated_v is not None:
        return f"rated {print_value(reading.rated_v, 'V')}"
    return "" if reading.temperature_ppm is None else f"{reading.temperature_ppm} ppm/K"


def _sheet_table(sheet: MarkingSheet) -> Any:
    """The markings of a value, and of its neighbours that a misread decade turns it into."""
    from rich.table import Table

    columns = [forms for forms in (sheet.value, sheet.tenth, sheet.tenfold) if forms is not None]
    names = ("marked as", "a decade lower", "a decade higher")
    heads = (
        f"{name}: {print_value(forms.value, forms.quantity.unit)}"
        for name, forms in zip(names, columns, strict=False)
    )
    table = Table("system", *heads)
    for row, form in enumerate(sheet.value.forms):
        table.add_row(form.system, *(forms.forms[row].marking or "-" for forms in columns))
    return table
