"""The circuit the proofs are run on: ideal amplifiers, steady nets at ground, diodes open, transistors
linear at rest.
"""

from collections.abc import Iterable

from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.primitives import (
    Capacitance,
    ClippingAmplifier,
    Inductance,
    Primitive,
    Resistance,
    Transconductance,
)
from pedalwright.devices.catalogue import expand_circuit
from pedalwright.stages.active_loop import active_loop
from pedalwright.stages.bench import Bench
from pedalwright.stages.view import Amplifier, Transistor

STIFF_OHMS = 1.0
"""what stands in for the output of an amplifier without negative feedback, so that it can be driven by hand
"""


def ideal_primitives(bench: Bench) -> tuple[Primitive, ...]:
    """Primitives of the idealised circuit; element names are those of the leaves (``R5``, ``TIME.1-2``)."""
    return (
        *_passives(bench),
        *(part for amp in bench.view.amplifiers for part in _amplifier(bench, amp)),
        *(part for transistor in bench.view.transistors for part in _transistor(bench, transistor)),
        *_surroundings(bench),
    )


def _still(bench: Bench, net: str) -> str:
    return GROUND if bench.classes.is_still(net) else net


def _passives(bench: Bench) -> Iterable[Primitive]:
    for leaf in bench.view.leaves:
        a, b = _still(bench, leaf.a), _still(bench, leaf.b)
        if a == b:
            continue
        if leaf.sort == "R":
            yield Resistance(owner=leaf.ref, name=leaf.name, a=a, b=b, ohms=leaf.value)
        elif leaf.sort == "C":
            yield Capacitance(owner=leaf.ref, name=leaf.name, a=a, b=b, farads=leaf.value)
        elif leaf.sort == "L":
            yield Inductance(owner=leaf.ref, name=leaf.name, a=a, b=b, henries=leaf.value)


def _amplifier(bench: Bench, amp: Amplifier) -> Iterable[Primitive]:
    output = _still(bench, amp.out)
    if output == GROUND:
        return
    if is_driven_by_hand(bench, amp):
        yield Resistance(owner=amp.ref, name=f"{amp.ref}/output", a=output, b=GROUND, ohms=STIFF_OHMS)
        return
    yield ClippingAmplifier(
        owner=amp.ref,
        name=amp.ref,
        non_inverting=_still(bench, amp.non),
        inverting=_still(bench, amp.inv),
        output=output,
        positive_rail=GROUND,
        negative_rail=GROUND,
        dc_gain=1e6,
        gain_bandwidth_hz=None,
        high_headroom_v=0.0,
        low_headroom_v=0.0,
        ideal=True,
    )


def is_driven_by_hand(bench: Bench, amp: Amplifier) -> bool:
    """No feedback that small signals pass, or no input at all (an oscillator): its output is no answer to
    anything.
    """
    network = bench.networks[amp.ref]
    if not network.inputs:
        return True
    if amp.inv == amp.out or network.has_linear_feedback:
        return False
    loop = active_loop(bench.view, bench.classes, amp, linear=True)
    return loop is None or not all(bench.parameter(f"{ref}/gm") for ref in loop.transistors)


def _transistor(bench: Bench, transistor: Transistor) -> Iterable[Primitive]:
    """Transconductance with input and output conductance at rest (hybrid-pi, no capacitances)."""
    control, top, bottom = (
        _still(bench, net) for net in (transistor.control, transistor.top, transistor.bottom)
    )
    ref = transistor.ref
    conductance = {
        name: transistor_conductance(bench, transistor, name) for name in ("gm", "gpi", "go", "gmu")
    }
    if conductance["gm"] and top != bottom:
        yield Transconductance(
            owner=ref,
            name=f"{ref}/gm",
            a=top,
            b=bottom,
            control_plus=control,
            control_minus=bottom,
            siemens=conductance["gm"],
        )
    for name, a, b in (("gpi", control, bottom), ("go", top, bottom), ("gmu", control, top)):
        if conductance[name] > 0 and a != b:
            yield Resistance(owner=ref, name=f"{ref}/{name}", a=a, b=b, ohms=1.0 / conductance[name])


NEGLIGIBLE_S = 1e-10
"""a reversed junction leaks less: in the idealised circuit it is open"""
FIELD_EFFECT_NAMES = {"go": "gds", "gpi": "ggs", "gmu": "ggd"}
"""the same conductances under a field-effect transistor's names"""


def transistor_conductance(bench: Bench, transistor: Transistor, name: str) -> float:
    """``gm``, ``gpi``, ``go`` or ``gmu`` of a transistor at rest in siemens; 0 when it is not known."""
    word = FIELD_EFFECT_NAMES.get(name, name) if transistor.family == "fet" else name
    siemens = bench.parameter(f"{transistor.ref}/{word}") or 0.0
    return siemens if abs(siemens) > NEGLIGIBLE_S else 0.0


def _surroundings(bench: Bench) -> Iterable[Primitive]:
    """The load, the source's and every other resistance that is no leaf (inside chips, at jacks)."""
    leaves = {leaf.name for leaf in bench.view.leaves}
    passive = {
        part.ref
        for part in bench.view.parts_of("resistor", "capacitor", "inductor", "diode", "bipolar", "fet")
    }
    for primitive in expand_circuit(bench.view.circuit):
        if not isinstance(primitive, Resistance) or primitive.name in leaves or primitive.owner in passive:
            continue
        joined = bench.view.joined
        a, b = (_still(bench, joined.get(net, net)) for net in (primitive.a, primitive.b))
        if a != b:
            yield Resistance(owner=primitive.owner, name=primitive.name, a=a, b=b, ohms=primitive.ohms)
