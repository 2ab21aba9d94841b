"""A battery that another supply charges."""

from collections.abc import Iterable

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.ports import Supply
from pedalwright.devices.ports import BATTERY_OHMS
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.units.values import print_value

LEAST_A = 1e-3
"""a diode's leakage is a thousand times less (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every battery at the bottom of its range, the other supplies at the top of theirs."""
    batteries = [one for one in survey.circuit.supplies if one.source == "battery"]
    if not batteries or len(survey.circuit.supplies) < 2:
        return
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for battery in batteries:
        volts = {one.net: one.high_v for one in survey.circuit.supplies} | {battery.net: battery.low_v}
        worst = survey.at_supply(volts)
        if worst.rest.certificate.ok:
            charging = _into(worst, battery)
            if charging > LEAST_A:
                yield _finding(survey, battery, charging)


def _into(analysis: Analysis, battery: Supply) -> float:
    """The current into a battery [A]: what drops over its own resistance the wrong way."""
    rest = analysis.rest
    backwards_v = rest.volts(battery.net) - rest.volts(f"{battery.net}/cell")
    return (backwards_v if battery.volts >= 0 else -backwards_v) / BATTERY_OHMS


def _finding(survey: Survey, battery: Supply, charging: float) -> Finding:
    others = [one for one in survey.circuit.supplies if one.net != battery.net]
    return Finding(
        nets=(battery.net, *(one.net for one in others)),
        spans=(battery.span, *(one.span for one in others)),
        what=(
            f"{print_value(charging, 'A')} flow into the battery at {battery.net} when the other supply is "
            "higher: it is charged, and may leak or burst."
        ),
        evidence=(
            Evidence(
                name="current into the battery",
                value=charging,
                unit="A",
                high=LEAST_A,
                basis=f"battery at {battery.low_v:g} V, the others at their highest",
            ),
        ),
        cure=(
            "Put a Schottky diode such as a 1N5817 in series with each supply, or use a jack whose contact "
            "takes the battery away."
        ),
    )


SPEAKING = """
supply BAT 9V battery
supply WALL 9V wall 9V..9.6V
output OUT 1M
BAT > R1 10 > VP
WALL > D1 1N5817 > VP
VP > R2 10k > OUT
"""

RULE = Rule(
    code="H04",
    name="battery-charged",
    title="One supply charges the battery of the other",
    gravity=Gravity.DAMAGE,
    why=(
        "Dry batteries are not made to be charged: they make gas, leak, and can burst. Two supplies on one "
        "net always differ a little, and the higher one feeds the lower."
    ),
    source="common practice, no source: warnings printed on batteries",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("BAT", "WALL")),),
    quiet=(Trial(text=SPEAKING.replace("BAT > R1 10 > VP", "BAT > D2 1N5817 > VP")),),
    stands=True,
)
