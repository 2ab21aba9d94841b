"""Parts in which no current can flow: an end that leads nowhere, or both ends on one net."""

from collections.abc import Iterable, Mapping

from pedalwright.circuit.part import Part
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed, named

TWO_ENDED = ("resistor", "capacitor", "inductor", "diode", "fuse", "knob")


def look(survey: Survey) -> Iterable[Finding]:
    """Rows of parts that end in nothing, then parts that are shorted."""
    yield from _loose(survey)
    for part in survey.view.parts_of(*TWO_ENDED):
        if len(part.pins) >= 2 and len(set(part.nets)) == 1:
            yield _shorted(survey, part)


def _loose(survey: Survey) -> Iterable[Finding]:
    """Take away parts with an open end until none is left; what went together is told together."""
    ends = _ends(survey)
    parts = {part.ref: part for part in survey.view.parts_of(*TWO_ENDED) if len(set(_used(ends, part))) == 2}
    while True:
        open_ = {
            ref: net
            for ref, part in parts.items()
            for net in _used(ends, part)
            if ends.get(net, ()) == (ref,)
        }
        if not open_:
            return
        for ref, net in open_.items():
            if ref in parts:
                yield _dangling(survey, _row(ends, parts, ref, net), net)


def _row(ends: dict[str, tuple[str, ...]], parts: dict[str, Part], ref: str, net: str) -> list[str]:
    """The parts from an open end inward as long as nothing else meets them; they are taken out."""
    row = []
    while ref in parts:
        part = parts.pop(ref)
        far = next(other for other in _used(ends, part) if other != net)
        row.append(ref)
        ends[far] = tuple(one for one in ends[far] if one != ref)
        if len(ends[far]) != 1 or ends[far][0] not in parts:
            break
        ref, net = ends[far][0], far
    return row


def _ends(survey: Survey) -> dict[str, tuple[str, ...]]:
    """What is on each net as written: designators, a port counting as one."""
    found = {net: tuple(pin.part.ref for pin in pins) for net, pins in survey.circuit.pins_on.items()}
    for port in (*survey.circuit.supplies, survey.circuit.input, survey.circuit.output):
        if port is not None:
            found[port.net] = (*found.get(port.net, ()), "port")
    found["gnd"] = (*found.get("gnd", ()), "port")
    return found


def _used(ends: Mapping[str, tuple[str, ...]], part: Part) -> tuple[str, ...]:
    """The nets of its ends; lugs of a knob that were never meant to lead anywhere do not count."""
    if part.kind in ("knob", "trim"):
        return tuple(dict.fromkeys(net for net in part.nets if "/" not in net))
    return part.nets


def _dangling(survey: Survey, row: list[str], net: str) -> Finding:
    names = [named(survey.bench, ref) for ref in row]
    leads = "leads" if len(row) == 1 else "lead"
    return Finding(
        parts=tuple(row),
        nets=(net,),
        what=(
            f"{listed(names)} {leads} nowhere: nothing else is on {net.lstrip('~')}, so no current flows and "
            f"{'it does' if len(row) == 1 else 'they do'} nothing."
        ),
        evidence=(Evidence(name=f"things on {net.lstrip('~')}", value=1.0, unit="", low=2.0),),
        cure=f"Lead {net.lstrip('~')} to where it belongs, or leave {listed(row)} out.",
    )


def _shorted(survey: Survey, part: Part) -> Finding:
    net = part.nets[0].lstrip("~")
    return Finding(
        parts=(part.ref,),
        what=f"All ends of {named(survey.bench, part.ref)} are on {net}: it is shorted and does nothing.",
        evidence=(Evidence(name="nets it joins", value=1.0, unit="", low=2.0),),
        cure=f"Check the nets on both sides of {part.ref}.",
    )


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
IN > C1 100n > Q1.b
V > R1 100k > Q1.b > R2 22k > gnd
V > R3 4k7 > Q1.c
Q1.e > R4 1k > gnd
Q1.e > R6 100 > C3 47u > GRD
Q1.c > C2 470n > OUT > R5 100k > gnd
"""

RULE = Rule(
    code="N11",
    name="part-without-effect",
    title="A part does nothing",
    gravity=Gravity.POOR,
    why=(
        "A part needs two places to lie between. With one end in the air, or both on one net, no current "
        "flows in it; usually a net is misspelt or a part between was forgotten."
    ),
    source="law of currents (Kirchhoff)",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("R6", "C3")),
        Trial(text=SPEAKING.replace("GRD", "gnd") + "OUT > R7 10k > OUT\n", blames=("R7",)),
    ),
    quiet=(Trial(text=SPEAKING.replace("GRD", "gnd")),),
)
