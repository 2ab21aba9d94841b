"""A circuit's plots as numbers: JSON and CSV, the same series as are drawn."""

import csv
from collections.abc import Iterator, Mapping
from io import StringIO
from typing import Any

from pedalwright.report.blocks import FloatArray, Plot
from pedalwright.report.plain_data import json_text, number, numbers
from pedalwright.report.plot_svg import described
from pedalwright.report.plots_catalogue import Drawn

SCHEMA = "pedalwright.plot/1"
OVER_FREQUENCY = "frequency, Hz"
HEADS = ("kind", "plot", "across", "at", "series", "value", "quantity", "unit")


def plots_json(title: str, drawn: tuple[Drawn, ...], text_sha256: str, settings: Mapping[str, str]) -> str:
    """The JSON text, schema ``pedalwright.plot/1``."""
    return json_text(
        {
            "schema": SCHEMA,
            "title": title,
            "text_sha256": text_sha256,
            "settings": dict(settings),
            "kinds": [_kind_data(one) for one in drawn],
        }
    )


def _kind_data(one: Drawn) -> dict[str, Any]:
    return {
        "name": one.kind.name,
        "title": one.kind.title,
        "says": one.kind.says,
        "refusal": one.refusal or None,
        "plots": [plot_data(plot) for plot in one.plots],
    }


def plot_data(plot: Plot) -> dict[str, Any]:
    """One plot: its axes and every series, point for point."""
    return {
        "title": plot.title,
        "described": described(plot),
        "across": plot.across or OVER_FREQUENCY,
        "across_in_decades": not plot.across,
        "quantity": plot.quantity,
        "unit": plot.unit,
        "values_in_decades": plot.by_ratio,
        "at": numbers(plot.frequency_hz),
        "lines": [{"name": line.name, "values": numbers(line.values)} for line in plot.lines],
        "shades": [
            {"name": shade.name, "low": numbers(shade.low), "high": numbers(shade.high)}
            for shade in plot.shades
        ],
    }


def plots_csv(drawn: tuple[Drawn, ...]) -> str:
    """Every point of every series as a line of one table; an empty value is not known."""
    stream = StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(HEADS)
    for one in drawn:
        for plot in one.plots:
            for name, values in series_of(plot):
                writer.writerows(_rows(one.kind.name, plot, name, values))
    return stream.getvalue()


def series_of(plot: Plot) -> Iterator[tuple[str, FloatArray]]:
    """Every line and both edges of every shade, by name."""
    yield from ((line.name, line.values) for line in plot.lines)
    for shade in plot.shades:
        yield f"{shade.name}: low", shade.low
        yield f"{shade.name}: high", shade.high


def _rows(kind: str, plot: Plot, name: str, values: FloatArray) -> Iterator[tuple[str, ...]]:
    across = plot.across or OVER_FREQUENCY
    for at, value in zip(plot.frequency_hz.tolist(), values.tolist(), strict=True):
        yield kind, plot.title, across, _cell(at), name, _cell(value), plot.quantity, plot.unit


def _cell(value: float) -> str:
    found = number(value)
    return "" if found is None else f"{found!r}"
