"""The kinds of plots in order, and a circuit's plots drawn, with what could not be."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache

from pedalwright.analysis.memo import Analysis
from pedalwright.registry import load_family
from pedalwright.report.blocks import Picture, Plot
from pedalwright.report.plots._answers import share
from pedalwright.report.plots.kind import CannotPlot, PlotKind
from pedalwright.solve.certificate import NotCertified

__all__ = ["Drawn", "drawn", "kinds_named", "plot_kinds", "share"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """The plots of one kind; `refusal` says why there are none although there ought to be."""

    kind: PlotKind
    plots: tuple[Plot, ...]
    pictures: tuple[Picture, ...] = ()
    refusal: str = ""


@cache
def plot_kinds() -> tuple[PlotKind, ...]:
    """Every kind, in the order they are shown."""
    kinds = load_family("pedalwright.report.plots", PlotKind, "PLOT", key="name")
    return tuple(sorted(kinds, key=lambda kind: kind.place))


def kinds_named(names: Sequence[str]) -> tuple[PlotKind, ...]:
    """The kinds of some names in their own order, all of them for no name; raises ValueError with a hint for
    a name there is not.
    """
    known = {kind.name: kind for kind in plot_kinds()}
    for name in names:
        if name not in known:
            near = get_close_matches(name, known, n=1)
            hint = f"did you mean '{near[0]}'?" if near else f"there are {', '.join(known)}."
            raise ValueError(f"There is no plot '{name[:40]}'; {hint}")
    return tuple(kind for kind in plot_kinds() if not names or kind.name in names)


def drawn(analysis: Analysis, kinds: Iterable[PlotKind] | None = None) -> tuple[Drawn, ...]:
    """The plots of a circuit with its knobs as they stand; kinds with nothing to show are left out.

    Never raises for a circuit that was read: what is not known well enough is refused with its reason.
    """
    chosen = plot_kinds() if kinds is None else kinds
    found = (_drawn(analysis, kind) for kind in chosen)
    return tuple(one for one in found if one.plots or one.refusal)


def _drawn(analysis: Analysis, kind: PlotKind) -> Drawn:
    try:
        return Drawn(kind=kind, plots=kind.build(analysis), pictures=kind.pictures(analysis))
    except NotCertified as refusal:
        return Drawn(kind=kind, plots=(), refusal=f"Not drawn: {refusal}.")
    except CannotPlot as refusal:
        return Drawn(kind=kind, plots=(), refusal=f"Not drawn: {refusal}")
