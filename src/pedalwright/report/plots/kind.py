"""What a file of this folder holds: one kind of plot, drawn for a circuit with its knobs as they stand."""

from collections.abc import Callable
from dataclasses import dataclass

from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Picture, Plot


def no_pictures(analysis: Analysis) -> tuple[Picture, ...]:
    """For kinds that are plots alone."""
    return ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PlotKind:
    """One kind of plot: `name` in kebab-case, `place` in the order they are shown, `title` as a heading,
    `says` a sentence on what is seen.

    `build` gives the plots, none when there is nothing to show, and raises NotCertified or CannotPlot for
    what is not known well enough. `pictures` are drawings beside the plots, of the same figures.
    """

    name: str
    place: int
    title: str
    says: str
    build: Callable[[Analysis], tuple[Plot, ...]]
    pictures: Callable[[Analysis], tuple[Picture, ...]] = no_pictures


class CannotPlot(Exception):
    """What would be drawn is not known well enough; the text says why."""
