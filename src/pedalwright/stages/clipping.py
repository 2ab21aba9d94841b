"""Where diodes begin to hold a voltage: the drops of their strings, each way."""

from collections.abc import Iterable

from pedalwright.circuit.primitives import Junction
from pedalwright.devices.catalogue import device
from pedalwright.formulas.diode import forward_v
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Branch, Leaf, Parallel
from pedalwright.stages.stage import Number, Stage
from pedalwright.stages.wording import volts

TEST_A = 1e-4
"""current at which a diode's voltage is told: in the feedback of a drive circuit it carries about that much
"""
SOURCE = "Shockley's diode equation at 0.1 mA, from the diode's own figures"


def forward_drop_v(bench: Bench, ref: str) -> float | None:
    """The voltage of one diode at 0.1 mA [V], or None when its figures are not known."""
    part = bench.view.circuit.by_ref.get(ref)
    if part is None:
        return None
    for primitive in device(part.kind).expand(part):
        if isinstance(primitive, Junction):
            return forward_v(TEST_A, saturation_a=primitive.saturation_a, emission=primitive.emission)
    return None


def strings(branch: Branch) -> Iterable[tuple[Leaf, ...]]:
    """The strings of diodes in a branch: those that stand in series with one another."""
    if isinstance(branch, Leaf):
        if branch.sort == "D":
            yield (branch,)
        return
    if isinstance(branch, Parallel):
        for link in branch.links:
            yield from strings(link)
        return
    single = tuple(link for link in branch.links if isinstance(link, Leaf) and link.sort == "D")
    if single:
        yield single
    for link in branch.links:
        if not isinstance(link, Leaf):
            yield from strings(link)


def limits_v(stage: Stage, bench: Bench) -> tuple[float | None, float | None]:
    """What the output may stand above and below the inverting input [V]; None where nothing holds it."""
    above: list[float] = []
    below: list[float] = []
    for group in stage.branches.values():
        for branch in group:
            for string in strings(branch):
                drops = [forward_drop_v(bench, leaf.ref) for leaf in string]
                total = sum(drop for drop in drops if drop is not None)
                outward = _outward(stage, string)
                if outward in (False, None):
                    above.append(total)
                if outward in (True, None):
                    below.append(total)
    return min(above, default=None), min(below, default=None)


def _outward(stage: Stage, string: tuple[Leaf, ...]) -> bool | None:
    """True when the string conducts from the inverting input to the output; None when it cannot be told."""
    inverting, output = stage.nets.get("inverting", ""), stage.output
    for leaf in string:
        if inverting in (leaf.a, leaf.b):
            return leaf.a == inverting
        if output in (leaf.a, leaf.b):
            return leaf.b == output
    return None


def limits_of(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The clipping voltages as numbers."""
    above, below = limits_v(stage, bench)
    named = (("clips above rest at", above), ("clips below rest at", below))
    return tuple(
        Number(
            name=name, unit="V", closed=value, full=None, source=SOURCE, note="at 0.1 mA through the diodes"
        )
        for name, value in named
        if value is not None
    )


def clipping_words(stage: Stage, bench: Bench) -> str:
    """One sentence on the height at which the diodes hold the output."""
    above, below = limits_v(stage, bench)
    if above is None and below is None:
        return ""
    if above is None or below is None:
        held = above if below is None else below
        side = "upper" if below is None else "lower"
        return (
            f"The diodes hold the {side} half of the wave about {volts(held or 0.0)} from "
            f"{_middle(stage)}; the other half is free until the amplifier itself clips."
        )
    if abs(above - below) < 0.05 * max(above, below):
        return f"The diodes hold the output within about {volts(above)} of {_middle(stage)}, both ways alike."
    return (
        f"The diodes hold the output within about {volts(above)} above and {volts(below)} below "
        f"{_middle(stage)}: unlike halves, which add even harmonics."
    )


def _middle(stage: Stage) -> str:
    """What the output is held to: its signal where that comes in at the non-inverting input, else rest."""
    return "its input" if stage.nets.get("non-inverting") in stage.inputs else "rest"
