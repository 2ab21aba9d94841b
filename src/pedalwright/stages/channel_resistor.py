"""Resistors that a voltage or a lamp moves: the channel of a field-effect transistor, the cell of an
optocoupler.

A channel whose two ends rest at one voltage carries no direct current; for small signals it is a resistor,
the gate says
how large. A cell is a plain resistor for the sound and follows its lamp slowly.
"""

from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.ideal import transistor_conductance
from pedalwright.stages.interstage import Interstage
from pedalwright.stages.network import acts_as_resistor
from pedalwright.stages.stage import Number, Proposal, Role, Stage, Transfer
from pedalwright.stages.switching import drives_a_lamp
from pedalwright.stages.transistor_rest import channel_card
from pedalwright.stages.view import Transistor
from pedalwright.stages.wording import ohms, volts

ComplexArray = NDArray[np.complex128]
KIND_NAME = "variable-resistor"
ROLE = "voltage-controlled resistor"
OHMS_LAW = "Ohm's law"
CHANNEL_SOURCE = "slope of the square law at the origin: r = |Vp| / (2 IDSS (1 - VGS/Vp)) (from memory)"


def find_channel_resistors(claimed: Claimed) -> Iterable[Proposal]:
    """Every free field-effect channel and optocoupler cell that no larger stage has taken."""
    view, classes = claimed.view, claimed.classes
    for item in view.transistors:
        lamp = drives_a_lamp(view, classes, item) and not classes.is_still(item.top)
        works = acts_as_resistor(view, classes, item.ref) and not lamp
        if works and claimed.free(item.ref) and item.top != item.bottom:
            yield _proposal(claimed, item.ref, item.top, item.bottom)
    for part in view.parts_of("optocoupler"):
        ends = view.net(part, "r1"), view.net(part, "r2")
        if claimed.free(part.ref) and ends[0] != ends[1]:
            yield _proposal(claimed, part.ref, *ends)


def _proposal(claimed: Claimed, ref: str, first: str, second: str) -> Proposal:
    """Between moving nets the signal goes through it; with one end steady it only pulls the other down."""
    still = claimed.classes.is_still
    near, far = (second, first) if still(second) else (first, second)
    through = not still(near) and not still(far)
    if through and _upstream(claimed, ref) == far:
        near, far = far, near
    return Proposal(
        kind=KIND_NAME,
        roles=(Role(ref, ROLE),),
        inputs=(near,) if through else (),
        output=far if through else "",
        branches={"track": ()},
        nets={"near": near, "far": far},
    )


def _upstream(claimed: Claimed, ref: str) -> str | None:
    """The end of a cell from which the signal comes, when that can be told."""
    halves = [leaf for leaf in claimed.view.leaves if leaf.ref == ref]
    return Interstage(claimed).flow.upstream_end(halves[0]) if len(halves) == 1 else None


def is_channel_resistor(stage: Stage) -> bool:
    """The stage is one of these."""
    return bool(stage.with_role(ROLE))


def _transistor(stage: Stage, bench: Bench) -> Transistor | None:
    ref = stage.with_role(ROLE)[0]
    return next((item for item in bench.view.transistors if item.ref == ref), None)


def _element(stage: Stage, bench: Bench) -> tuple[str, float] | None:
    """Name and resistance of the element in the idealised circuit; None when it does not conduct."""
    transistor = _transistor(stage, bench)
    if transistor is not None:
        siemens = transistor_conductance(bench, transistor, "go")
        return (f"{transistor.ref}/go", 1.0 / siemens) if siemens > 0 else None
    ref = stage.with_role(ROLE)[0]
    leaf = next((leaf for leaf in bench.view.leaves if leaf.ref == ref), None)
    return (leaf.name, leaf.value) if leaf is not None else None


def channel_transfer(stage: Stage, bench: Bench) -> Transfer | None:
    """Whatever current flows drops across it: V(out) = V(in) - r I, or -r I with its other end steady."""
    element = _element(stage, bench)
    transistor = _transistor(stage, bench)
    output = stage.nets["far"]
    if element is None or bench.classes.is_still(output):
        return None
    if transistor is not None and transistor_conductance(bench, transistor, "gm"):
        return None
    name, resistance = element
    return Transfer(
        inputs=stage.inputs,
        output=output,
        gains=lambda s: tuple(np.ones_like(s) for _ in stage.inputs),
        output_ohms=lambda s: np.full_like(s, resistance),
        members=frozenset({name}),
        formula="V(out) = V(in) - r I",
        source=OHMS_LAW,
    )


def channel_numbers(stage: Stage, bench: Bench) -> tuple[Number, ...]:
    """The resistance by the square law and in the full circuit; of a cell, as its line says."""
    element, transistor = _element(stage, bench), _transistor(stage, bench)
    if transistor is None:
        if element is None:
            return ()
        note = "at the brightness the text states"
        return (
            Number(
                name="resistance",
                unit="ohm",
                closed=element[1],
                full=None,
                source="the part's line",
                note=note,
            ),
        )
    found = [
        Number(
            name="channel resistance", unit="ohm", closed=channel_ohms(transistor, bench),
            full=element[1] if element else None, source=CHANNEL_SOURCE,
        ),
        Number(
            name="gate voltage against the channel", unit="V", closed=None, full=_gate_v(transistor, bench),
            source="rest point of the circuit",
        ),
    ]  # fmt: skip
    return tuple(number for number in found if number.closed is not None or number.full is not None)


def _gate_v(transistor: Transistor, bench: Bench) -> float | None:
    gate, channel = bench.volts(transistor.control), bench.volts(transistor.bottom)
    return None if gate is None or channel is None else gate - channel


def channel_ohms(transistor: Transistor, bench: Bench) -> float | None:
    """The channel's resistance by the square law at the resting gate voltage [ohm]; None when it is pinched
    off.
    """
    gate_v = _gate_v(transistor, bench)
    if gate_v is None:
        return None
    card = channel_card(transistor)
    over = transistor.polarity * gate_v - card.threshold_v
    return 1.0 / (2.0 * card.beta * over) if over > 0 else None


def channel_purpose(stage: Stage, bench: Bench) -> str:
    """What the moving resistor does here, with its number."""
    element, transistor = _element(stage, bench), _transistor(stage, bench)
    way = (
        "The signal goes through it: the larger, the less comes out"
        if stage.inputs
        else "It pulls the signal towards a steady net: the smaller, the less is left"
    )
    now = f", now {ohms(element[1])}" if element else ""
    if transistor is None:
        return (
            f"A resistor that light moves{now}. {way}. It follows the lamp slowly, in hundredths to tenths "
            "of a second."
        )
    if element is None:
        return f"A resistor that a voltage moves; at rest the gate has closed its channel. {way}."
    return (
        f"A resistor that a voltage moves: the channel of {transistor.ref} carries no direct current, and "
        "its gate says how "
        f"large it is{now}. {way}. Above some tens of millivolts across it the sound is bent."
    )


def channel_part_says(stage: Stage, ref: str, bench: Bench) -> str:
    """What the part is for, with its number."""
    transistor, element = _transistor(stage, bench), _element(stage, bench)
    if transistor is None:
        held = ohms(element[1]) if element else "not known"
        return f"Its cell is the resistor ({held} at the stated brightness), its lamp the hand that moves it."
    gate_v = _gate_v(transistor, bench)
    stands = f" The gate rests {volts(gate_v)} against the channel." if gate_v is not None else ""
    at = channel_card(transistor).threshold_v
    return (
        f"Its channel is the resistor; it closes when the gate comes to {volts(transistor.polarity * at)} "
        f"against it, a voltage that differs between parts of one type.{stands}"
    )
