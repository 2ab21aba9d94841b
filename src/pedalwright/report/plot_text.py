"""A small plot in letters, for the terminal."""

import numpy as np

from pedalwright.report.axes import (
    Axis,
    even_axis,
    frequency_axis,
    level_axis,
    ratio_axis,
    shares_along,
    short,
    short_hz,
)
from pedalwright.report.blocks import FloatArray, Plot

ROWS, MARGIN = 12, 8
LEAST_WIDTH, MOST_WIDTH = 24, 72


def plot_text(plot: Plot, width: int = MOST_WIDTH) -> str:
    """The first line of a plot drawn with stars; an empty string when there is nothing finite to draw."""
    values = [plot.lines[0].values]
    up = ratio_axis(values) if plot.by_ratio else level_axis(values, plot.unit)
    if up is None:
        return ""
    columns = max(LEAST_WIDTH, min(width, MOST_WIDTH) - MARGIN)
    sheet = [[" "] * columns for _ in range(ROWS + 1)]
    _draw(sheet, _sampled(plot, columns), up, even=not plot.by_ratio)
    labels = _labels(up, even=not plot.by_ratio)
    rows = [f"{labels.get(row, ''):>{MARGIN - 2}} |{''.join(cells)}" for row, cells in enumerate(sheet)]
    foot = f"{'':>{MARGIN - 2}} +{'-' * columns}"
    return "\n".join(
        line.rstrip() for line in [f"{plot.unit:>{MARGIN - 2}}", *rows, foot, _feet(plot, columns)]
    )


def _sampled(plot: Plot, columns: int) -> FloatArray:
    """The line at the middle of every column."""
    position = plot.frequency_hz if plot.across else np.log(plot.frequency_hz)
    return np.asarray(
        np.interp(np.linspace(position[0], position[-1], columns), position, plot.lines[0].values)
    )


def _draw(sheet: list[list[str]], values: FloatArray, up: Axis, *, even: bool) -> None:
    for column, value in enumerate(values):
        if np.isfinite(value) and value >= up.low:
            sheet[min(max(_row(value, up, even=even), 0), ROWS)][column] = "*"


def _row(value: float, up: Axis, *, even: bool) -> int:
    return round((1.0 - float(shares_along(np.array(value), up, even=even))) * ROWS)


def _labels(up: Axis, *, even: bool) -> dict[int, str]:
    """The ticks, each at its row."""
    return {_row(tick, up, even=even): f"{tick:g}" if even else short(tick) for tick in up.ticks}


def _feet(plot: Plot, columns: int) -> str:
    """The frequencies, or what else the plot is over, under the sheet, as many as have room."""
    across = even_axis(plot.frequency_hz) if plot.across else frequency_axis(plot.frequency_hz)
    line = [" "] * (MARGIN + columns + 4)
    for tick in across.ticks:
        share = shares_along(np.array(tick), across, even=bool(plot.across))
        text = f"{tick:g}" if plot.across else short_hz(tick)
        start = MARGIN + round(float(share) * (columns - 1)) - len(text) // 2
        if "".join(line[start - 1 : start + len(text) + 1]).strip() == "":
            line[start : start + len(text)] = text
    return f"{''.join(line).rstrip()} {plot.across or 'Hz'}"
