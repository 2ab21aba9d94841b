"""Voltages that are outside what Pedalwright is for: they can hurt a person."""

from collections.abc import Iterable

from pedalwright.circuit.span import Span
from pedalwright.review.rule import CannotSay, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.wording import listed, volts

TOUCHED_V = 60.0
"""direct voltage up to which bare parts may be left open in dry rooms (EN 60204-1, protective extra-low
voltage; IEC 60364-4-41 clause 414.4.5, from memory); equipment standards have the same figure
"""
EXTRA_LOW_V = 120.0
"""the ceiling of extra-low voltage, ripple-free direct (IEC 61140)"""
MOST_NETS = 4


def look(survey: Survey) -> Iterable[Finding]:
    """All supplies together at the ends of their ranges, then every net at rest."""
    supplies = survey.circuit.supplies
    highest = max((0.0, *(one.high_v for one in supplies), *(one.volts for one in supplies)))
    lowest = min((0.0, *(one.low_v for one in supplies), *(one.volts for one in supplies)))
    size = highest - lowest
    if size > TOUCHED_V:
        nets = tuple(one.net for one in supplies)
        has = "has" if len(nets) == 1 else "have between them"
        what = f"{listed(list(nets))} {has} up to {volts(size)}"
        yield _finding(what, size, nets, tuple(one.span for one in supplies))
        return
    try:
        rests = survey.rest.voltages
    except CannotSay:
        return
    floating = set(survey.analysis.rest.floating)
    high = [net for net in rests if abs(rests[net]) > TOUCHED_V and net not in floating]
    if high:
        high = sorted(high, key=lambda net: -abs(rests[net]))[:MOST_NETS]
        names = listed([net.lstrip("~") for net in high])
        size = abs(rests[high[0]])
        yield _finding(f"{names} rest at up to {volts(size)}", size, tuple(high), ())


def _finding(what: str, size: float, nets: tuple[str, ...], spans: tuple[Span, ...]) -> Finding:
    ceiling = (
        f", and above {EXTRA_LOW_V:g} V no longer extra-low voltage at all" if size > EXTRA_LOW_V else ""
    )
    return Finding(
        nets=nets,
        spans=spans,
        what=f"{what}: more than may be touched{ceiling}. This is out of scope here, and can hurt or kill.",
        evidence=(
            Evidence(
                name="direct voltage",
                value=size,
                unit="V",
                high=TOUCHED_V,
                basis="the figure that may be touched in dry rooms",
            ),
        ),
        cure=(
            "Do not build it from these pages. Work above extra-low voltage is for licensed practice, "
            "under the codes of your country."
        ),
    )


SPEAKING = """
supply HT 100V wall
output OUT 1M
HT > R1 100k > OUT > R2 1k > gnd
"""

RULE = Rule(
    code="H01",
    name="above-extra-low-voltage",
    title="Voltages that can hurt a person",
    gravity=Gravity.DAMAGE,
    why=(
        "Up to 60 V of direct voltage may be touched in dry rooms; extra-low voltage ends at 120 V. Pedals "
        "live far below both. What lies above needs insulation, distances and training that are not "
        "checked here."
    ),
    source=(
        "IEC 61140 (120 V ripple-free); EN 60204-1 and IEC 60364-4-41 clause 414.4.5 (60 V), the latter "
        "from memory"
    ),
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("HT",), says="out of scope"),
        Trial(text=SPEAKING.replace("100V", "70V"), says="70 V"),
    ),
    quiet=(Trial(text=SPEAKING.replace("100V", "48V")),),
    stands=True,
)
