"""The diode clipper: diodes from the signal to ground cut off what is larger than their forward voltage.

A resistor before them keeps the current small; a capacitor beside them rounds the corners. Diodes to the
rails instead of to ground clamp: they conduct only when the signal leaves the supply, and protect the input
behind.
"""

from collections.abc import Iterable

from pedalwright.formulas.rc import corner_hz
from pedalwright.stages.bench import Bench
from pedalwright.stages.branch import Leaf
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.interstage import Interstage, one_each
from pedalwright.stages.kinds._diode_clipper_examples import EXAMPLES, NEAR_MISSES
from pedalwright.stages.passive import MILLMAN, arms_and_shunts
from pedalwright.stages.resting import parallel_ohms_of
from pedalwright.stages.stage import Number, Proposal, Stage, StageKind, Transfer
from pedalwright.stages.supplies import figure_of, kind_of, role_of, zener_volts
from pedalwright.stages.wording import hz, named, ohms, volts

KIND_NAME = "diode-clipper"
SOURCE = "R. L. Boylestad and L. Nashelsky, Electronic Devices and Circuit Theory, clippers"
USUAL_V = {
    "silicon-diode": 0.6,
    "schottky-diode": 0.3,
    "germanium-diode": 0.3,
    "led": 1.8,
    "zener-diode": 0.7,
}
"""forward voltage at about 1 mA (common practice, no source)"""
GATE_GUARD_V = 6.0
"""a zener diode on a gate from this voltage up guards it; a lower one clips (house rule)"""


def find(claimed: Claimed) -> Iterable[Proposal]:
    """Moving nets with diodes to steady nets and no diode that leads the signal on."""
    inter = Interstage(claimed)
    for net in inter.at:
        strings = _strings(inter, net)
        if not strings or _rectifies(inter, net, strings):
            continue
        arms = tuple(leaf for leaf in inter.arriving(net, "R") if not leaf.variable)
        smoothing = inter.to_still(net, "C")
        clamps = _clamps(inter, net, strings)
        word = "clamping diode" if clamps else "clipping diode"
        words = {
            "D": word,
            "R": "series resistor",
            "C": "smoothing capacitor",
            "L": "",
            "knob": "clipping knob",
        }
        parts = [leaf for string in strings for leaf in string]
        yield Proposal(
            kind=KIND_NAME,
            roles=one_each(inter.role(leaf, words) for leaf in (*arms, *parts, *smoothing)),
            inputs=tuple(dict.fromkeys(leaf.other(net) for leaf in arms)),
            output=net,
            branches={"arms": arms, "shunts": smoothing, "diodes": tuple(parts)},
        )


def _strings(inter: Interstage, net: str) -> list[tuple[Leaf, ...]]:
    """What hangs on the net and holds a diode: diodes and resistors in rows to steady nets or open
    contacts.
    """
    found: list[tuple[Leaf, ...]] = []
    met: set[str] = set()
    for first in inter.on(net):
        if first.name in met:
            continue
        hanging = inter.pendant(net, first)
        if (
            hanging
            and all(leaf.sort in "DR" for leaf in hanging)
            and any(leaf.sort == "D" for leaf in hanging)
        ):
            met |= {leaf.name for leaf in hanging}
            found.append(hanging)
    return found


def _rectifies(inter: Interstage, net: str, strings: list[tuple[Leaf, ...]]) -> bool:
    """A diode on the net leads elsewhere: the others help it to rectify."""
    own = {leaf.name for string in strings for leaf in string}
    return any(leaf.sort == "D" and leaf.name not in own for leaf in inter.claimed.view.on(net))


def _clamps(inter: Interstage, net: str, strings: list[tuple[Leaf, ...]]) -> bool:
    """They do nothing in use: they lead to rails, or guard a gate."""
    rails = inter.claimed.classes.rails
    to_rails = any({leaf.a, leaf.b} & rails for string in strings for leaf in string)
    return to_rails or _guards_a_gate(inter, net, strings)


def _guards_a_gate(inter: Interstage, net: str, strings: list[tuple[Leaf, ...]]) -> bool:
    """Zener diodes on an insulated gate that hold more than a signal there reaches."""
    bench = inter.claimed.bench
    insulated = any(item.control == net and "mosfet" in item.part.kind for item in bench.view.transistors)
    held = [zener_volts(bench, leaf.ref) for string in strings for leaf in string if leaf.sort == "D"]
    return insulated and all(value is not None and value >= GATE_GUARD_V for value in held)


def _guarded_v(stage: Stage, bench: Bench) -> float | None:
    """The lowest voltage at which zener diodes that guard a gate conduct; None for other diodes."""
    clamps = stage.with_role("clamping diode")
    held = [zener_volts(bench, ref) for ref in clamps]
    known = [value for value in held if value is not None]
    return min(known) if known and len(known) == len(clamps) else None


def transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """For small signals, the diodes open: the series resistor into the capacitor; None without the
    resistor.
    """
    return arms_and_shunts(
        stage, formula="small signals: H = (1/R) / (1/R + s C); load counted by its current"
    )


def forward_volts(bench: Bench, ref: str) -> float:
    """About what stands across a conducting diode, in volts."""
    return figure_of(bench, ref, "forward_v") or USUAL_V.get(kind_of(bench, ref), 0.6)


def limits(stage: Stage, bench: Bench) -> tuple[float | None, float | None]:
    """About how far the signal gets above and below its resting point, in volts; None on a side nothing
    limits.
    """
    above: list[float] = []
    below: list[float] = []
    starts = [leaf for leaf in stage.leaves("diodes") if stage.output in (leaf.a, leaf.b)]
    for start in starts:
        string = _string_from(stage, start)
        forwards = sum(forward_volts(bench, leaf.ref) for leaf, up in string if leaf.sort == "D" and up)
        up = [ahead for leaf, ahead in string if leaf.sort == "D"]
        if all(up):
            above.append(forwards)
        elif not any(up):
            below.append(sum(forward_volts(bench, leaf.ref) for leaf, _ in string if leaf.sort == "D"))
        for side, ahead in ((above, False), (below, True)):
            held = _zener_string(bench, string, ahead)
            if held is not None:
                side.append(held)
    return min(above, default=None), min(below, default=None)


def _zener_string(bench: Bench, string: list[tuple[Leaf, bool]], ahead: bool) -> float | None:
    """The voltage of a row in which the zener diodes that point the wrong way break down; None when others
    block.
    """
    total = 0.0
    diodes = [(leaf, up) for leaf, up in string if leaf.sort == "D"]
    if not any(kind_of(bench, leaf.ref) == "zener-diode" for leaf, _ in diodes):
        return None
    for leaf, up in diodes:
        if up != ahead:
            total += forward_volts(bench, leaf.ref)
        elif kind_of(bench, leaf.ref) == "zener-diode":
            total += zener_volts(bench, leaf.ref) or 0.0
        else:
            return None
    return total


def _string_from(stage: Stage, start: Leaf) -> list[tuple[Leaf, bool]]:
    """A row of parts outward from the clipped net, each with whether it conducts outward."""
    pool = list(stage.leaves("diodes"))
    here, row = stage.output, []
    leaf: Leaf | None = start
    while leaf is not None:
        pool.remove(leaf)
        row.append((leaf, leaf.a == here))
        here = leaf.other(here)
        leaf = next(
            (item for item in pool if here in (item.a, item.b) and stage.output not in (item.a, item.b)), None
        )
    return row


def numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The clipping heights, and the treble corner of the capacitor."""
    found = []
    if not stage.with_role("clamping diode"):
        for name, value in zip(("clips above at", "clips below at"), limits(stage, bench), strict=True):
            if value is not None:
                found.append(
                    Number(
                        name=name,
                        unit="V",
                        closed=value,
                        full=None,
                        source=SOURCE,
                        note="from the resting point, about 1 mA",
                    )
                )
    f = _corner(stage)
    if f is not None:
        found.append(Number(name="treble corner", unit="Hz", closed=f, full=None, source="f = 1/(2 pi R C)"))
    return tuple(found)


def _corner(stage: Stage) -> float | None:
    arms, shunts = stage.leaves("arms"), stage.leaves("shunts")
    if not arms or not shunts:
        return None
    return corner_hz(parallel_ohms_of(arms), sum(leaf.value for leaf in shunts))


def purpose(stage: Stage, bench: Bench) -> str:
    """Where it cuts the wave off, and how hard."""
    diodes = " and ".join(
        named(bench, ref) for role in ("clipping diode", "clamping diode") for ref in stage.with_role(role)
    )
    guarded = _guarded_v(stage, bench)
    if guarded is not None:
        return (
            f"{diodes} guards the gate: a spark from a cable that passes {volts(guarded)} "
            "goes this way and not through the gate. In use it does nothing."
        )
    if stage.with_role("clamping diode"):
        return (
            f"{diodes} do nothing while the signal stays between the supply and ground; what leaves that "
            "range is led away, and the input behind survives."
        )
    above, below = limits(stage, bench)
    sides = [
        f"about {volts(value)} {word}"
        for value, word in ((above, "up"), (below, "down"))
        if value is not None
    ]
    heights = " and ".join(sides) if sides else "their forward voltage"
    even = ""
    if above is not None and below is not None:
        alike = abs(above - below) < 0.05 * max(above, below)
        even = (
            " Both halves of the wave are cut alike."
            if alike
            else " The halves are cut unlike, which adds even harmonics."
        )
    return f"{diodes} cut the wave off at {heights} from its resting point, however loud it comes.{even}"


def part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What one part is for."""
    role = role_of(stage, ref)
    value = bench.view.circuit.by_ref[ref].value or 0.0
    if role == "series resistor":
        return f"Limits the current into the diodes with {ohms(value)}; larger makes the clipping softer."
    if role == "smoothing capacitor":
        f = _corner(stage)
        return "Rounds the corners that the diodes make" + (
            "." if f is None else f": treble falls above {hz(f)}."
        )
    guarded = _guarded_v(stage, bench)
    if role == "clamping diode" and guarded is not None:
        return f"Conducts only above {volts(guarded)}: it keeps sparks from the insulation of the gate."
    if role == "clamping diode":
        return "Conducts only when the signal leaves the supply, and leads the excess away."
    if role == "clipping knob":
        return "Moves how hard the diodes cut."
    return f"Conducts from about {volts(forward_volts(bench, ref))} on and cuts off what is higher."


KIND = StageKind(
    kind=KIND_NAME,
    title="Diode clipper",
    says="Cuts the wave off at the diodes' forward voltage.",
    sources=(SOURCE, MILLMAN),
    order=620,
    group="clipper",
    roles={
        "clipping diode": "cuts the wave off",
        "clamping diode": "keeps the signal inside the supply",
        "series resistor": "limits the current into the diodes",
        "smoothing capacitor": "rounds the corners",
        "clipping knob": "moves how hard the diodes cut",
    },
    find=find,
    purpose=purpose,
    part_says=part_says,
    numbers=numbers,
    transfer=transfer,
    examples=EXAMPLES,
    near_misses=NEAR_MISSES,
)
