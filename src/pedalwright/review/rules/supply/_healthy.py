"""Voltages at the lowest, the written and the highest supply, from trials that are solved once."""

from pedalwright.review.rule import CannotSay
from pedalwright.review.survey import Survey


def healthy_volts(survey: Survey, net: str, against: str) -> tuple[float, float, float]:
    """The least, the typical and the highest voltage of one net against another [V]."""
    from pedalwright.analysis.power.ranges import healthy

    tried = healthy(survey.analysis)
    if tried is None or not tried.ok.all():
        raise CannotSay("The circuit could not be solved at rest over its supply's range.")
    found = tried.volts(net) - tried.volts(against)
    return float(found.min()), float(found[1]), float(found.max())
