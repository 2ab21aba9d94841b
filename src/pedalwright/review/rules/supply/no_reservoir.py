"""Chips on a rail without a capacitor worth the name."""

from collections.abc import Iterable

import numpy as np

from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.survey import Survey
from pedalwright.stages.rails import capacitance
from pedalwright.stages.wording import farads, listed, ohms

LEAST_F = 9e-6
"""within a hundred ohms of the supply, for the gulps of the circuit (common practice, no source: 10 uF)"""
NEAR_OHMS = 120.0
SOFT_OHMS = 25.0
"""a rail with chips on it should be stiffer than this at 1 kHz (house rule)"""
REFERENCE_HZ = 1000.0
FAMILIES = ("opamp", "bipolar", "fet", "regulator", "echo-chip")


def look(survey: Survey) -> Iterable[Finding]:
    """Soft rails; else a supply without any store behind its diode."""
    soft = list(_soft(survey))
    yield from soft
    if not soft:
        yield from _without_store(survey)


def _soft(survey: Survey) -> Iterable[Finding]:
    band = survey.band
    place = int(np.argmin(np.abs(band.frequency_hz - REFERENCE_HZ)))
    for net in sorted(survey.classes.rails, key=survey.circuit.nets.index):
        chips = [ref for ref, pin in survey.view.active_pins.get(net, ()) if pin in ("v+", "v-")]
        stiff = float(abs(band.impedance(net)[place])) if band.knows(net) else 0.0
        if chips and stiff > SOFT_OHMS:
            yield Finding(
                parts=tuple(dict.fromkeys(chips)),
                nets=(net,),
                what=(
                    f"The rail {net.lstrip('~')} of {listed(list(dict.fromkeys(chips)))} is soft: "
                    f"{ohms(stiff)} at 1 kHz. What one stage draws, the others hear."
                ),
                evidence=(Evidence(name="impedance at 1 kHz", value=stiff, unit="ohm", high=SOFT_OHMS),),
                cure=f"Put 47 µF or more from {net.lstrip('~')} to ground, plus end to the rail.",
            )


def _without_store(survey: Survey) -> Iterable[Finding]:
    for supply in survey.circuit.supplies:
        near = _near(survey, survey.view.joined[supply.net])
        found = sum(capacitance(survey.view.on(net), {GROUND} | (near - {net})) for net in near)
        fed = [ref for net in near for ref, _ in survey.view.active_pins.get(net, ())]
        if found < LEAST_F and (fed or len(near) > 1) and survey.view.parts_of(*FAMILIES):
            yield Finding(
                nets=(supply.net,),
                spans=(supply.span,),
                what=(
                    f"The supply {supply.net} has {farads(found) if found else 'no capacitor'} near it: "
                    "nothing holds it up between gulps of current, or against ripple."
                ),
                evidence=(Evidence(name="capacitance near the supply", value=found, unit="F", low=LEAST_F),),
                cure="Put 47 µF to 100 µF (25 V) from the supply to ground, behind the polarity diode.",
            )


def _near(survey: Survey, start: str) -> set[str]:
    """The supply's net and those behind diodes and small resistors."""
    near, pending = {start}, [start]
    while pending:
        here = pending.pop()
        for ref, before, behind in survey.classes.feeds:
            leaf = next((one for one in survey.view.on(here) if one.ref == ref), None)
            small = leaf is None or leaf.sort != "R" or leaf.value <= NEAR_OHMS
            regulated = survey.view.family[ref] == "regulator"
            if before == here and behind not in near and small and not regulated:
                near.add(behind)
                pending.append(behind)
    return near


SPEAKING = """
supply VIN 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
VIN > R9 100 > V
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u > OUT > R4 100k > gnd
"""
BARE = SPEAKING.replace("R9 100", "D9 1N5817")

RULE = Rule(
    code="S18",
    name="no-reservoir",
    title="A supply has no reservoir",
    gravity=Gravity.NOTE,
    why=(
        "A large capacitor across the supply gives the gulps that an adaptor or an old battery cannot, and "
        "takes ripple away. Without it stages talk to each other over the supply, and a tired battery "
        "motorboats."
    ),
    source="common practice, no source (10 uF or more); rail impedance measured on the full circuit",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("U1",)), Trial(text=BARE, blames=("VIN",))),
    quiet=(
        Trial(text=SPEAKING.replace("R9 100", "R9 10") + "V > C9 100u (electrolytic, 16V) > gnd\n"),
        Trial(text=BARE + "V > C9 100u (electrolytic, 16V) > gnd\n"),
    ),
)
