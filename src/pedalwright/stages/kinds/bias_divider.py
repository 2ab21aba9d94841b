"""The bias divider: two resistors that make the voltage at which a stage rests, between the supply and
ground.

It may make a half supply that many stages share, the voltage of one base or gate, or the mark a comparator
compares with. A zener diode or a light-emitting diode in place of the lower resistor holds its own voltage
instead of a share.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.formulas.divider import tap_ohms
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.kinds._bias_divider_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.nets import diode_row, row_end, steady_row
from pedalwright.stages.resting import ladder_at
from pedalwright.stages.stage import Number, Proposal, Role, Stage, StageKind
from pedalwright.stages.supplies import figure_of, kind_of, role_of, zener_volts
from pedalwright.stages.wording import named, ohms, volts

KIND_NAME = "bias-divider"
SOURCE = (
    "R. L. Boylestad and L. Nashelsky, Electronic Devices and Circuit Theory, voltage-divider bias: V = "
    "Vcc R2/(R1 + R2)"
)
UPPER, LOWER, DIODE, TRIM = "upper divider resistor", "lower divider resistor", "reference diode", "bias trim"
JUNCTION_V = 0.6


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Dividers of bias nets, then those of single inputs."""
    for net in sorted(claimed.classes.bias, key=claimed.view.circuit.nets.index):
        yield from _at_still_net(claimed, net)
    for net in sorted(claimed.classes.rails, key=claimed.view.circuit.nets.index):
        yield from _held_rail(claimed, net)
    inter = Interstage(claimed)
    for net in sorted(_inputs(inter), key=claimed.view.circuit.nets.index):
        yield from _at_input(inter, net)
        for leaf in inter.on(net):
            middle = leaf.other(net)
            if leaf.sort == "R" and not leaf.variable and _is_lifted(inter, middle):
                yield from _at_input(inter, middle)


def _at_still_net(claimed: Claimed, net: str) -> Iterable[Proposal]:
    rails, bias = claimed.classes.rails, claimed.classes.bias
    ways = _free_rows(claimed, net)
    upper = tuple(leaf for end, way in ways for leaf in way if end in rails)
    lower = tuple(leaf for end, way in ways for leaf in way if end == GROUND)
    rows = [diode_row(claimed.view, leaf, net) for leaf in claimed.free_on(net)]
    diodes = tuple(leaf for row in rows for leaf in row if claimed.free(leaf.ref))
    if not upper and any(leaf.variable for leaf in lower):
        upper = tuple(leaf for end, way in ways for leaf in way if end in bias)
    if upper and (lower or diodes):
        nets = dict.fromkeys(end for leaf in (*upper, *lower) for end in (leaf.a, leaf.b))
        inner = tuple(end for end in nets if not claimed.classes.is_still(end))
        yield _proposal(claimed, net, upper, lower, diodes, inner=inner)


def _free_rows(claimed: Claimed, net: str) -> list[tuple[str, tuple[Leaf, ...]]]:
    """Free resistances in rows from a steady net to other steady nets: where each row ends, and its parts."""
    still = claimed.classes.still
    rows = [steady_row(claimed.view, leaf, net, still) for leaf in claimed.free_on(net)]
    free = [row for row in rows if row and all(claimed.free(leaf.ref) for leaf in row)]
    return [(row_end(row, net), row) for row in free]


def _held_rail(claimed: Claimed, net: str) -> Iterable[Proposal]:
    """A rail that a zener diode holds, fed through a resistor."""
    diodes = tuple(
        leaf
        for leaf in claimed.free_on(net)
        if leaf.sort == "D" and leaf.other(net) == GROUND and kind_of(claimed, leaf.ref) == "zener-diode"
    )
    feeds = {ref for ref, _, far in claimed.classes.feeds if far == net}
    upper = tuple(leaf for leaf in claimed.free_on(net) if leaf.sort == "R" and leaf.ref in feeds)
    if diodes and upper:
        yield _proposal(claimed, net, upper, (), diodes)


def _inputs(inter: Interstage) -> frozenset[str]:
    """Nets that need a resting voltage: bases, gates, non-inverting inputs, and inverting ones without
    feedback.
    """
    open_loop = {
        network.amplifier.inv
        for network in inter.claimed.bench.networks.values()
        if not network.has_negative_feedback and not inter.still(network.amplifier.inv)
    }
    return inter.flow.resting | (frozenset(open_loop) - inter.flow.sources)


def _at_input(inter: Interstage, net: str) -> Iterable[Proposal]:
    ladder = ladder_at(inter, net)
    diodes = _bias_diodes(inter, net)
    held = bool(ladder.upper or ladder.lower) and bool(diodes)
    fed_back = bool(ladder.lower) and _is_fed_from_collector(inter.claimed, net)
    if (ladder.reaches_rail and ladder.reaches_ground) or held or fed_back:
        yield _proposal(
            inter.claimed, net, ladder.upper, ladder.lower, diodes, between=ladder.between, inner=ladder.inner
        )


def _is_fed_from_collector(claimed: Claimed, net: str) -> bool:
    """A resistor from the transistor's own collector is the upper half of the divider of its base."""
    view = claimed.view
    tops = {item.top for item in view.transistors if item.control == net}
    return any(
        leaf.sort == "R" and leaf.other(net) in tops and not claimed.classes.is_still(leaf.other(net))
        for leaf in view.on(net)
    )


def _is_lifted(inter: Interstage, net: str) -> bool:
    """A divider's middle that a capacitor from a driven net moves along with the signal."""
    if inter.still(net) or net in inter.flow.sources or net in inter.flow.sinks:
        return False
    leaves = inter.claimed.view.on(net)
    return any(leaf.sort == "C" and leaf.other(net) in inter.flow.sources for leaf in leaves)


def _bias_diodes(inter: Interstage, net: str) -> tuple[Leaf, ...]:
    """Diodes from a base to a driven net: they hold the base one forward voltage away from it."""
    bases = {item.control for item in inter.claimed.view.transistors if item.family == "bipolar"}
    return tuple(
        leaf
        for leaf in inter.on(net)
        if leaf.sort == "D" and net in bases and leaf.other(net) in inter.flow.sources
    )


def _proposal(
    claimed: Claimed,
    net: str,
    upper: tuple[Leaf, ...],
    lower: tuple[Leaf, ...],
    diodes: tuple[Leaf, ...],
    *,
    between: tuple[Leaf, ...] = (),
    inner: tuple[str, ...] = (),
) -> Proposal:
    def word(leaf: Leaf, plain: str) -> str:
        return TRIM if claimed.view.family[leaf.ref] == "knob" else plain

    roles = [Role(leaf.ref, word(leaf, UPPER)) for leaf in upper]
    roles += [Role(leaf.ref, word(leaf, LOWER)) for leaf in lower]
    roles += [Role(leaf.ref, TRIM) for leaf in between]
    roles += [Role(leaf.ref, DIODE) for leaf in diodes]
    top = next(
        (end for leaf in upper for end in (leaf.a, leaf.b) if claimed.classes.is_still(end) and end != net),
        "",
    )
    return Proposal(
        kind=KIND_NAME,
        roles=one_each(roles),
        branches={"upper": upper, "lower": lower, "diodes": diodes},
        nets={"at": net, "top": top, **{f"inner{n}": name for n, name in enumerate(inner)}},
    )


def _ohms(stage: Stage, name: str) -> float:
    """Resistors between one pair of nets are side by side, those of a row one after another."""
    leaves = stage.leaves(name)
    beside = [leaf for leaf in leaves if stage.nets["at"] in (leaf.a, leaf.b)]
    rest = sum(leaf.value for leaf in leaves if leaf not in beside)
    siemens = sum(1.0 / leaf.value for leaf in beside)
    return (1.0 / siemens if siemens else 0.0) + rest


def tap_volts(stage: Stage, bench: Bench) -> float | None:
    """What the divider makes without a load, in volts; None when the top's voltage is not known."""
    top = bench.volts(stage.nets["top"]) if stage.nets["top"] else None
    diodes = stage.leaves("diodes")
    if diodes:
        each = [_diode_volts(bench, leaf.ref) for leaf in diodes]
        known = [value for value in each if value is not None]
        return sum(known) if len(known) == len(each) else None
    above, below = _ohms(stage, "upper"), _ohms(stage, "lower")
    return None if top is None or above + below == 0 else top * below / (above + below)


def _diode_volts(bench: Bench, ref: str) -> float | None:
    kind = kind_of(bench, ref)
    if kind == "zener-diode":
        return zener_volts(bench, ref)
    return figure_of(bench, ref, "forward_v") if kind == "led" else None


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The voltage made, and the resistance behind it."""
    at = bench.volts(stage.nets["at"])
    found = [Number(name="resting voltage", unit="V", closed=tap_volts(stage, bench), full=at, source=SOURCE)]
    above, below = _ohms(stage, "upper"), _ohms(stage, "lower")
    if above and below:
        behind = tap_ohms(above, below)
        found.append(
            Number(
                name="resistance behind it", unit="ohm", closed=behind, full=None, source="Thevenin's theorem"
            )
        )
    return tuple(found)


def _made(stage: Stage, bench: Bench) -> str:
    at, alone = bench.volts(stage.nets["at"]), tap_volts(stage, bench)
    value = at if at is not None else alone
    return "a resting voltage" if value is None else volts(value)


def purpose(stage: Stage, bench: Bench) -> str:
    """What voltage it makes from what, for whom."""
    parts = " and ".join(named(bench, role.ref) for role in stage.roles)
    if stage.with_role(DIODE):
        return (
            f"{parts} hold {_made(stage, bench)}: the resistor brings the current, the diode keeps its "
            "own voltage."
        )
    above, below = _ohms(stage, "upper"), _ohms(stage, "lower")
    if not above:
        return (
            f"{parts}, with the feedback resistor from the collector above it, holds the base at "
            f"{_made(stage, bench)}: what the collector feeds back is divided here."
        )
    share = f"{below / (above + below):.0%}" if above + below else "a share"
    whom = "every stage on it" if bench.classes.is_still(stage.nets["at"]) else "the input"
    verbs = ("divide", "make") if len(stage.roles) > 1 else ("divides", "makes")
    above_it = "the supply" if stage.nets["top"] in bench.classes.rails else "the voltage above"
    return (
        f"{parts} {verbs[0]} {above_it} and {verbs[1]} {_made(stage, bench)}, {share} of it: there {whom} "
        "rests, and swings up and down from there."
    )


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    if role == DIODE:
        return f"Holds its own voltage against ground or its driver: {_made(stage, bench)} here."
    if role == TRIM:
        return f"Moves the resting voltage, now {_made(stage, bench)}. Set it once, with a meter."
    end = "supply" if role == UPPER else "ground"
    other = "Larger lowers" if role == UPPER else "Larger raises"
    value = bench.view.circuit.by_ref[ref].value or 0.0
    return (
        f"The divider's {ohms(value)} towards {end}. {other} the resting voltage, now {_made(stage, bench)}."
    )


KIND = StageKind(
    kind=KIND_NAME,
    title="Bias divider",
    says="Makes a resting voltage from the supply.",
    sources=(SOURCE,),
    order=565,
    group="bias",
    roles={
        UPPER: "leads from the supply to the resting voltage",
        LOWER: "leads from the resting voltage to ground",
        DIODE: "holds its own voltage",
        TRIM: "moves the resting voltage",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
