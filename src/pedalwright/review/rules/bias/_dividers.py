"""The divider behind a resting voltage, and the value that would put it where it belongs."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import log

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Change
from pedalwright.review.rules.bias._sections import resting_table
from pedalwright.review.rules.bias._troubles import hearing_sections
from pedalwright.review.survey import Survey
from pedalwright.stages.branch import Leaf
from pedalwright.stages.wording import ohms
from pedalwright.units.preferred import Series, nearest_by_ratio

LEADS = 0.3
"""a divider that moves a net by less than this share of itself does not set it (house rule)"""
USUAL_OHMS = 30e3
"""the middle of what dividers are made of, 10 to 100 kohm (common practice, no source)"""
SMALLEST_OHMS, LARGEST_OHMS = 1e3, 1e6
"""resistors of a divider worth proposing (common practice, no source)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Divider:
    """Two resistors between the rail `top` and ground, with the net `at` between them."""

    upper: Leaf
    lower: Leaf
    at: str
    top: str


def dividers(survey: Survey) -> tuple[Divider, ...]:
    """Every net with one resistor from a rail and one to ground, a good half supply or not."""
    return survey.once("dividers", lambda: tuple(_dividers(survey)))


def _dividers(survey: Survey) -> Iterable[Divider]:
    view, rails = survey.view, survey.classes.rails
    driven = {amp.out for amp in view.amplifiers} | {item.bottom for item in view.transistors}
    for net in view.at:
        if net == GROUND or net in rails or net in driven or net in view.ports:
            continue
        plain = [leaf for leaf in view.on(net) if leaf.sort == "R" and not leaf.variable]
        upper = [leaf for leaf in plain if leaf.other(net) in rails]
        lower = [leaf for leaf in plain if leaf.other(net) == GROUND]
        if len(upper) == 1 and len(lower) == 1:
            yield Divider(upper=upper[0], lower=lower[0], at=net, top=upper[0].other(net))


def shared_dividers(survey: Survey) -> tuple[Divider, ...]:
    """The dividers that make a half supply to rest on; not those that carry sound themselves, as a base
    does.
    """
    return tuple(one for one in dividers(survey) if _is_shared(survey, one))


def _is_shared(survey: Survey, one: Divider) -> bool:
    """No capacitor brings sound to it, and something of the signal's way hangs on it."""
    if any(item.control == one.at for item in survey.view.transistors):
        return False
    leaves = [leaf for leaf in survey.view.on(one.at) if leaf.name not in (one.upper.name, one.lower.name)]
    moving = [leaf for leaf in leaves if not survey.classes.is_still(leaf.other(one.at))]
    if any(leaf.sort == "C" for leaf in moving):
        return False
    table, rest = resting_table(survey), survey.rest.system
    at = rest.row(one.at)
    heard = {section.amplifier.out for section in hearing_sections(survey)} | {
        net for item in survey.view.transistors for net in (item.control, item.top)
    }
    return any(abs(table[rest.row(net), at]) > LEADS * abs(table[at, at]) for net in heard)


def users(survey: Survey, one: Divider) -> int:
    """How many parts and inputs rest on a divider, its capacitor to ground not counted."""
    own = (one.upper.name, one.lower.name)
    leaves = [
        leaf for leaf in survey.view.on(one.at) if leaf.name not in own and leaf.other(one.at) != GROUND
    ]
    return len(leaves) + len(survey.view.active_pins.get(one.at, ()))


def divider_behind(survey: Survey, net: str) -> Divider | None:
    """The divider that sets a net's resting voltage; None where none does."""
    table, rest = resting_table(survey), survey.rest.system
    row = rest.row(net)

    def pull(one: Divider) -> float:
        at = rest.row(one.at)
        return abs(float(table[row, at] / table[at, at])) if table[at, at] else 0.0

    found = max(dividers(survey), key=pull, default=None)
    return found if found is not None and pull(found) > LEADS else None


def mended(survey: Survey, divider: Divider, wanted_v: float) -> tuple[Change, str] | None:
    """The change of one resistor that brings the divider to a voltage, and the cure in words.

    The current the divider gives away stays as it is; the resistor to change is the one that comes
    out more usual.
    """
    rest = survey.rest
    top_v, at_v = rest.volts(divider.top), rest.volts(divider.at)
    upper, lower = divider.upper, divider.lower
    away_a = (top_v - at_v) / upper.value - at_v / lower.value
    down_a = (top_v - wanted_v) / upper.value - away_a
    up_a = wanted_v / lower.value + away_a
    choices = [
        (leaf, drop / amps)
        for leaf, drop, amps in ((lower, wanted_v, down_a), (upper, top_v - wanted_v, up_a))
        if amps > 0 and drop > 0 and SMALLEST_OHMS <= drop / amps <= LARGEST_OHMS
    ]
    if not choices:
        return None
    leaf, exact = min(choices, key=lambda choice: abs(log(choice[1] / USUAL_OHMS)))
    value = nearest_by_ratio(exact, Series.E12)
    return Change(ref=leaf.ref, value=value), f"Make {leaf.ref} {ohms(value)}"
