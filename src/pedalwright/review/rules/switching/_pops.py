"""What the rules on clicks share: pops of the circuit and of what it would be with other resistors."""

from collections.abc import Callable
from typing import TypeVar

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.switching.leaks import insulation_ohms
from pedalwright.analysis.switching.pop import Bypassed, Pop, bypassed, throw_pops
from pedalwright.analysis.switching.transient import Unstable
from pedalwright.analysis.switching.weighting import FAINT_DB
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.part import Part
from pedalwright.review.rule import CannotSay, Evidence, Finding
from pedalwright.review.survey import Survey
from pedalwright.solve.certificate import NotCertified
from pedalwright.stages.wording import named, volts
from pedalwright.units.preferred import Series, members_between

Answer = TypeVar("Answer")
SPOKEN_DB = FAINT_DB + 20.0
"""A click is plainly heard from -40 dB on (house rule). The leakage it comes from is reckoned at a tenth of
the sheets' limit at full voltage; at the few volts of a pedal a part leaks a tenth of that again (from
memory), so what is computed counts from 20 dB higher on."""
LOUD_DB = 0.0
"""as loud as the playing itself (house rule)"""
STANDS_V = 0.3
"""more than this on an open jack means that next to nothing pulls it down (house rule)"""
COST_DB = 0.5
"""a pull-down may cost as much as nobody hears (house rule)"""
LARGEST_OHMS, SMALLEST_OHMS = 2.2e6, 4.7e3


def before_the_switch(survey: Survey) -> Bypassed | None:
    """The pedal behind a foot switch; None without an output jack, or where the text draws that switch
    itself.
    """
    if survey.circuit.output is None or survey.view.entries:
        return None
    return survey.once("bypassed", lambda: told(lambda: bypassed(survey.analysis)))


def pop_at_the_switch(survey: Survey) -> Pop | None:
    """The click when the foot switch puts the pedal in; None without an output jack."""
    found = before_the_switch(survey)
    return None if found is None else survey.once("bypass pop", lambda: told(found.pop))


def thrown(one: Analysis, other: Analysis) -> tuple[Pop, Pop]:
    """The clicks when a switch of the circuit goes from one position to another, and back."""
    return told(lambda: throw_pops(one, other))


def told_level(pop: Pop) -> Evidence:
    """The click's level as evidence."""
    return Evidence(
        name="click against 100 mV of playing, A-weighted",
        value=pop.level_db,
        unit="dB",
        high=SPOKEN_DB,
        basis=f"{pop.loudness.value} by the house rule; into 1 Mohm and 500 pF; leakage from memory",
    )


def pull_down_on(survey: Survey, net: str) -> Part | None:
    """A plain resistor from a net to ground; the smallest of several."""
    here = survey.view.joined[net]
    found = [
        survey.circuit.by_ref[leaf.ref]
        for leaf in survey.view.on(here)
        if leaf.sort == "R" and leaf.other(here) == GROUND and leaf.name == leaf.ref
    ]
    plain = [part for part in found if part.kind == "resistor" and part.value]
    return min(plain, key=lambda part: part.value or 0.0, default=None)


def capacitor_on(survey: Survey, net: str) -> Part | None:
    """A capacitor from a jack, or from behind a resistor there, to a net that does not stand at ground."""
    start = survey.view.joined[net]
    behind = [leaf.other(start) for leaf in survey.view.on(start) if leaf.sort == "R"]
    moving = [start, *(far for far in behind if not survey.classes.is_still(far))]
    return next(
        (
            survey.circuit.by_ref[leaf.ref]
            for here in moving
            for leaf in survey.view.on(here)
            if leaf.sort == "C" and not survey.classes.is_still(leaf.other(here))
        ),
        None,
    )


def leaking(capacitor: Part) -> str:
    """How long a capacitor takes to let a voltage through, for evidence."""
    minutes = insulation_ohms(capacitor) * (capacitor.value or 0.0) / 60
    return f"through its leakage, from memory; nothing plugged in for {minutes:.0f} minutes and more"


def quieting_ohms(
    survey: Survey, net: str, *, instead_of: float = 0.0, costs: Callable[[float], float]
) -> float | None:
    """The largest pull-down of E6 that brings the click under what is spoken of and costs next to nothing."""
    jack = before_the_switch(survey)
    if jack is None:
        return None
    for ohms in reversed(members_between(SMALLEST_OHMS, LARGEST_OHMS, Series.E6)):
        if instead_of and ohms >= instead_of:
            continue
        if costs(ohms) > COST_DB:
            return None
        if told(jack.with_resistor(net, ohms, instead_of=instead_of).pop).level_db <= SPOKEN_DB:
            return ohms
    return None


def told(compute: Callable[[], Answer]) -> Answer:
    try:
        return compute()
    except (NotCertified, Unstable, ValueError) as reason:
        raise CannotSay("No click could be computed: the network has no steady answer.") from reason


def nothing_empties(
    survey: Survey,
    net: str,
    capacitor: Part,
    *,
    jack: str,
    standing_v: float,
    ending: str,
    size: str,
    pop: Pop,
) -> Finding:
    """The finding on a jack (``input``, ``output``) at which a leak leaves a voltage standing; `ending` says
    what becomes of it.
    """
    return Finding(
        parts=(capacitor.ref,),
        nets=(net,),
        what=(
            f"Nothing empties {named(survey.bench, capacitor.ref)} while the pedal is switched out: "
            f"{volts(abs(standing_v))} stand on the {jack} and {ending}."
        ),
        evidence=(
            Evidence(
                name=f"voltage on the open {jack}",
                value=standing_v,
                unit="V",
                high=STANDS_V,
                basis=leaking(capacitor),
            ),
            told_level(pop),
        ),
        cure=f"Put {size} from {net} to ground.",
    )
