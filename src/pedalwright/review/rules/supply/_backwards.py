"""Regulators put in backwards: what is behind them is then not to be told in volts."""

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.review.rule import CannotSay
from pedalwright.review.survey import Survey
from pedalwright.stages.branch import Leaf

LEADS_OHMS = 1e3
"""a larger resistor feeds no regulator (house rule)"""


def backwards(survey: Survey) -> tuple[Part, ...]:
    """The regulators whose output the supply reaches without them, and whose input it does not; or with a
    grounded output.
    """
    fed = _fed(survey)
    return tuple(
        part
        for part in survey.view.parts_of("regulator")
        if (survey.view.net(part, "out") in fed and survey.view.net(part, "in") not in fed)
        or survey.view.net(part, "out") == GROUND
    )


def _fed(survey: Survey) -> set[str]:
    """The nets that the supplies reach along small resistors, coils, fuses and diodes."""
    view = survey.view
    fed = {view.joined[one.net] for one in survey.circuit.supplies}
    fed |= {view.joined[net] for part in survey.parts_of("battery") for net in part.nets} - {GROUND}
    fuses = [tuple(view.joined[net] for net in part.nets[:2]) for part in survey.parts_of("fuse")]
    pending = list(fed)
    while pending:
        here = pending.pop()
        ends = [leaf.other(here) for leaf in view.on(here) if _feeds(leaf)]
        ends += [net for pair in fuses if here in pair for net in pair]
        for far in ends:
            if far != GROUND and far not in fed:
                fed.add(far)
                pending.append(far)
    return fed


def _feeds(leaf: Leaf) -> bool:
    return leaf.sort in "LD" or (leaf.sort == "R" and leaf.value <= LEADS_OHMS)


def all_forwards(survey: Survey) -> None:
    """Raises CannotSay where a regulator stands backwards: no law of such a part is in the model."""
    found = survey.once("regulators backwards", lambda: backwards(survey))
    if found:
        names = ", ".join(part.ref for part in found)
        raise CannotSay(f"{names} stands backwards, and what rests behind it then is not known.")
