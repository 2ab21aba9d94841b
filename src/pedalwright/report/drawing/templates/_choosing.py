"""Choices that templates share: from which net a line starts, and on which it ends."""

from collections.abc import Iterable

from pedalwright.report.drawing.templates.template import Ends, Situation
from pedalwright.report.drawing.units import TRACK


def signal_ends(here: Situation) -> Ends | None:
    """From the stage's input to its output; of several inputs the one that is already at hand."""
    starts = [net for joined in here.stage.inputs for net in here.raw(joined)]
    goals = here.raw(here.stage.output) if here.stage.output else ()
    if not starts or not goals:
        return None
    start = first_of((here.open_net,), starts) or starts[0]
    goal = next((net for net in goals if net != start), None)
    live = frozenset(net for net in (start, goal) if net and here.standing.is_still(net))
    return Ends(start, goal, live) if goal else None


def standing_ends(here: Situation) -> Ends | None:
    """A line that passes by: the net at hand when the stage is on it, else the first that moves."""
    nets = here.nets()
    moving = [net for net in nets if not here.standing.is_still(net)]
    start = first_of((here.open_net, *outward(here, moving), *moving), nets)
    if not start or here.standing.style(start) == "ground":
        return rail_ends(here)
    live = frozenset({start}) if here.standing.is_still(start) else frozenset[str]()
    return Ends(start, None, live)


def outward(here: Situation, nets: Iterable[str]) -> list[str]:
    """The nets that lead on to other stages."""
    mine = {unit.name for unit in here.units}
    return [net for net in nets if any(unit.name not in mine for unit in here.wiring.on[net])]


def ladder_ends(here: Situation) -> Ends | None:
    """From the stage's input to its output; else from one net that leads on elsewhere to another such."""
    if (ends := signal_ends(here)) is not None:
        return ends
    outer = outward(here, [net for net in here.nets() if not here.standing.is_still(net)])
    if len(outer) < 2:
        return standing_ends(here)
    start = first_of((here.open_net,), outer) or outer[0]
    return Ends(start, next(net for net in outer if net != start))


def bias_ends(here: Situation) -> Ends | None:
    """A line on the bias net that the stage makes."""
    made = [net for net in here.nets() if here.standing.style(net) == "bias"]
    if (ends := _trimmed(here)) is not None:
        return ends
    return Ends(made[0], None, frozenset({made[0]})) if made else ladder_ends(here)


def _trimmed(here: Situation) -> Ends | None:
    """From the upper end of a trim's track to its wiper."""
    for unit in here.units:
        if unit.form == TRACK and len({*unit.nets}) == 3:
            lugs = [unit.net(pin) for pin in "31"]
            start = next((net for net in lugs if here.standing.style(net) != "ground"), "")
            if start:
                return Ends(start, unit.net("2"), frozenset({start, unit.net("2")}))
    return None


def rail_ends(here: Situation) -> Ends | None:
    """A line on the rail the stage hangs from."""
    rails = [net for net in here.nets() if here.standing.style(net) in ("rail", "bias")]
    start = first_of((here.open_net,), rails) or (rails or [""])[0]
    return Ends(start, None, frozenset({start})) if start else None


def feed_ends(here: Situation) -> Ends | None:
    """From one rail to the rail made of it."""
    names = {unit.part for unit in here.units}
    for ref, before, after in here.standing.analysis.bench.classes.feeds:
        if ref in names:
            starts, goals = here.raw(before), here.raw(after)
            if starts and goals and starts[0] != goals[0] and "gnd" not in (starts[0], goals[0]):
                return Ends(starts[0], goals[0], frozenset({starts[0], goals[0]}))
    return rail_ends(here)


def first_of(wanted: Iterable[str], among: Iterable[str]) -> str:
    """The first wanted word that is among others, or an empty string."""
    pool = set(among)
    return next((word for word in wanted if word and word in pool), "")
