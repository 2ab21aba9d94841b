"""Clipping diodes that all face the same way, or that face each other."""

from collections.abc import Iterable
from dataclasses import dataclass

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import heard_at
from pedalwright.review.survey import Survey
from pedalwright.stages.branch import Leaf
from pedalwright.stages.wording import listed

HEARD = 1e-2


@dataclass(frozen=True, slots=True)
class String:
    """Diodes in a row between two nets; `forward` counts those that conduct from the first to the second."""

    ends: tuple[str, str]
    refs: tuple[str, ...]
    forward: int


def look(survey: Survey) -> Iterable[Finding]:
    """Rows of diodes that block both ways; then rows side by side that all conduct the same way."""
    strings = _strings(survey)
    beside: dict[tuple[str, str], list[String]] = {}
    for string in strings:
        if not _hears(survey, string):
            continue
        if 0 < string.forward < len(string.refs):
            yield _facing(string)
        else:
            beside.setdefault(string.ends, []).append(string)
    for found in beside.values():
        if len(found) > 1 and len({string.forward > 0 for string in found}) == 1:
            yield _alike(found)


def _hears(survey: Survey, string: String) -> bool:
    return any(heard_at(survey, net) > HEARD for net in string.ends)


def _strings(survey: Survey) -> list[String]:
    view = survey.view
    diodes = {leaf.ref: leaf for leaf in view.leaves if leaf.sort == "D" and _clips(survey, leaf)}
    joints = {
        net
        for leaf in diodes.values()
        for net in (leaf.a, leaf.b)
        if net not in view.ports
        and len(view.pins(net)) == 2
        and all(pin.part.ref in diodes for pin in view.pins(net))
    }
    left = dict(diodes)
    return [_string(left, joints, ref) for ref in diodes if ref in left]


def _clips(survey: Survey, leaf: Leaf) -> bool:
    return (survey.circuit.by_ref[leaf.ref].kind != "zener-diode" and GROUND in (leaf.a, leaf.b)) or _moves(
        survey, leaf
    )


def _moves(survey: Survey, leaf: Leaf) -> bool:
    kind = survey.circuit.by_ref[leaf.ref].kind
    return (
        kind != "zener-diode" and not survey.classes.is_still(leaf.a) and not survey.classes.is_still(leaf.b)
    )


def _string(left: dict[str, Leaf], joints: set[str], ref: str) -> String:
    """The whole row that a diode belongs to, taken out of what is left."""
    first = left.pop(ref)
    row, ends = [(first, True)], [first.a, first.b]
    for side in (1, 0):
        while ends[side] in joints:
            found = next((leaf for leaf in left.values() if ends[side] in (leaf.a, leaf.b)), None)
            if found is None:
                break
            left.pop(found.ref)
            row.append((found, (found.a if side else found.b) == ends[side]))
            ends[side] = found.other(ends[side])
    forward = sum(along for _, along in row)
    refs = tuple(leaf.ref for leaf, _ in row)
    if ends[0] > ends[1]:
        return String((ends[1], ends[0]), refs, len(refs) - forward)
    return String((ends[0], ends[1]), refs, forward)


def _facing(string: String) -> Finding:
    return Finding(
        parts=string.refs,
        what=f"{listed(list(string.refs))} stand in a row and face each other: no current ever passes them.",
        evidence=(
            Evidence(
                name="diodes that face forward",
                value=float(string.forward),
                unit="",
                low=float(len(string.refs)),
            ),
        ),
        cure="Turn one of them round: all diodes of a row point the same way.",
    )


def _alike(found: list[String]) -> Finding:
    refs = tuple(ref for string in found for ref in string.refs)
    last = listed(list(found[-1].refs))
    return Finding(
        parts=refs,
        what=f"{listed(list(refs))} lie side by side and face the same way: only half the wave is clipped.",
        evidence=(Evidence(name="halves of the wave that are clipped", value=1.0, unit="", low=2.0),),
        cure=f"Turn {last} round, the band to the other side.",
    )


SPEAKING = """
input IN 1k 1V
output OUT 1M
IN > R1 2k2 > CLIP
CLIP > D1 1N4148 > gnd
CLIP > D2 1N4148 > gnd
CLIP > OUT > R2 100k > gnd
"""
FACING = """
input IN 1k 1V
output OUT 1M
IN > R1 2k2 > CLIP
CLIP > D1 1N4148 > A
gnd > D2 1N4148 > A
gnd > D3 1N4148 > CLIP
CLIP > OUT > R2 100k > gnd
"""

RULE = Rule(
    code="N13",
    name="diodes-one-way",
    title="Diodes face the wrong way round each other",
    gravity=Gravity.POOR,
    why=(
        "Two diodes clip both halves of the wave only when they stand head to tail. Two the same way clip "
        "one half, and two that face each other in a row clip nothing."
    ),
    source="law of the diode",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("D1", "D2"), says="side by side"),
        Trial(text=FACING, blames=("D1", "D2"), says="face each other"),
    ),
    quiet=(
        Trial(text=SPEAKING.replace("CLIP > D2 1N4148 > gnd", "gnd > D2 1N4148 > CLIP")),
        Trial(text=FACING.replace("gnd > D2 1N4148 > A", "A > D2 1N4148 > gnd")),
    ),
)
