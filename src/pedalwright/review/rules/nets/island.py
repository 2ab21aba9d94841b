"""Parts that hang together but with nothing else: neither ground nor a supply nor a jack."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed


def look(survey: Survey) -> Iterable[Finding]:
    """Groups of parts without a path to ground, whatever the parts are."""
    group = _groups(survey)
    ports = (*survey.circuit.supplies, survey.circuit.input, survey.circuit.output)
    mainland = {group[GROUND]} | {group[port.net] for port in ports if port is not None}
    islands: dict[str, list[str]] = {}
    for part in survey.circuit.parts:
        homes = {group[net] for net in part.nets if "/" not in net}
        if homes and not homes & mainland:
            islands.setdefault(min(homes), []).append(part.ref)
    for parts in islands.values():
        yield Finding(
            parts=tuple(parts),
            what=(
                f"{listed(parts)} {'hangs' if len(parts) == 1 else 'hang'} together with nothing else: no "
                "path leads from there to ground, a supply or a jack."
            ),
            evidence=(Evidence(name="paths to the rest of the circuit", value=0.0, unit="", low=2.0),),
            cure="Look for a net with two spellings, or a walk that was forgotten.",
        )


def _groups(survey: Survey) -> dict[str, str]:
    """Every net under the one that stands for all that parts join with it."""
    parent = {net: net for net in survey.circuit.nets}

    def root(net: str) -> str:
        while parent[net] != net:
            net = parent[net]
        return net

    for part in survey.circuit.parts:
        nets = [net for net in part.nets if "/" not in net]
        for net in nets[1:]:
            parent[root(net)] = root(nets[0])
    return {net: root(net) for net in parent}


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
IN > R1 10k > OUT > R2 10k > gnd
A > R3 10k > B > C1 100n > A
"""

RULE = Rule(
    code="N12",
    name="island",
    title="Some parts are joined to nothing",
    gravity=Gravity.POOR,
    why="What has no path to the rest of the circuit carries no current and no sound.",
    source="law of currents (Kirchhoff)",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("R3", "C1")),),
    quiet=(Trial(text=SPEAKING.replace("B >", "B > IN >")),),
)
