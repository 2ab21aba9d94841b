"""Two nets whose names differ only by capitals or by look-alike letters."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed

ALIKE = str.maketrans({"0": "o", "1": "l", "i": "l", "5": "s", "-": "", "_": ""})
GROUNDS = frozenset({"gnd", "ground", "grnd", "grd", "agnd", "dgnd", "vss", "earth"})


def look(survey: Survey) -> Iterable[Finding]:
    """Groups of written net names that look the same."""
    groups: dict[str, list[str]] = {}
    for net in survey.circuit.nets:
        if not net.startswith("~") and "/" not in net:
            groups.setdefault(_looks(net), []).append(net)
    for names in groups.values():
        if len(names) > 1 and len({survey.view.joined[net] for net in names}) > 1:
            pins = [len(survey.circuit.pins_on[net]) for net in names]
            main = names[pins.index(max(pins))]
            yield Finding(
                nets=tuple(names),
                parts=_fewest(survey, names),
                what=f"The nets {listed(names)} look alike but are not joined: they are different nets.",
                evidence=tuple(
                    Evidence(name=f"pins on {net}", value=float(count), unit="")
                    for net, count in zip(names, pins, strict=True)
                ),
                cure=f"If one net is meant, write {main} everywhere.",
            )


def _looks(net: str) -> str:
    small = net.lower()
    return GROUND if small in GROUNDS else small.translate(ALIKE)


def _fewest(survey: Survey, names: list[str]) -> tuple[str, ...]:
    """The parts on the least used of the nets: there the slip is likeliest."""
    net = min(names, key=lambda one: len(survey.circuit.pins_on[one]))
    return tuple(dict.fromkeys(pin.part.ref for pin in survey.circuit.pins_on[net]))


SPEAKING = """
input IN 1k 1V
output OUT 1M
IN > R1 10k > MIX0
MIXO > R2 10k > OUT
OUT > R3 10k > gnd
MIXO > R4 10k > gnd
MIX0 > R5 10k > gnd
"""

RULE = Rule(
    code="N16",
    name="names-alike",
    title="Two nets have names that look alike",
    gravity=Gravity.NOTE,
    why=(
        "Names of nets are taken letter by letter: OUT and Out, O and 0, are two nets. The eye does not "
        "see it, and the signal stops there."
    ),
    source="house rule",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("MIX0", "MIXO")),),
    quiet=(Trial(text=SPEAKING.replace("MIX0", "MIXO")),),
)
