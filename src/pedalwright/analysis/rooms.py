"""How far a net can swing from rest before an amplifier, a transistor or a diode holds it."""

from dataclasses import dataclass

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import GROUND
from pedalwright.circuit.primitives import BipolarTransistor, ClippingAmplifier, FieldEffectTransistor
from pedalwright.solve.rest import OperatingPoint
from pedalwright.stages.recognise import kind_of
from pedalwright.stages.stage import Stage
from pedalwright.stages.wording import listed

SATURATION_V = 0.2
"""a bipolar transistor's collector comes no nearer to its emitter (data sheets: at most 0.2 V at 10 mA)"""
STUCK_V = 0.01
"""an amplifier with less room than this is stuck (house rule)"""
RESTS_AT_A_RAIL = ("comparator", "schmitt-trigger", "relaxation-oscillator")
"""stages whose output belongs at a rail"""
DIODE_ROLE = "clipping diode"
HELD_AT = ("clips above", "clips below")
"""how clipping stages begin the names of the heights their diodes hold"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """How far a net can swing from rest: until one side of the wave is cut, and at most, in volts.

    `follows` names the net a diode holds it to, where that net carries signal itself.
    """

    volts: float
    most_v: float
    limited_by: str
    follows: str = ""


def rooms_at(analysis: Analysis, net: str) -> tuple[Room, ...]:
    """What limits a net: the part that drives it, and the diodes of the stage that ends there."""
    if not analysis.rest.certificate.ok:
        return ()
    diodes = [_diode_room(analysis, stage) for stage in analysis.stages.stages if stage.output == net]
    return tuple(room for room in (_driver_room(analysis, net), *diodes) if room is not None)


def amplifiers_at_a_rail(analysis: Analysis) -> tuple[str, ...]:
    """The sections whose output rests as far as it can go, comparators and triggers apart: they pass no
    signal as they stand. Empty where nothing is certified.
    """
    if not analysis.rest.certificate.ok:
        return ()
    meant = {ref for stage in analysis.stages.stages if stage.kind in RESTS_AT_A_RAIL for ref in stage.refs}
    amplifiers = (one for one in analysis.primitives if isinstance(one, ClippingAmplifier))
    return tuple(
        one.owner
        for one in amplifiers
        if one.owner not in meant and _amplifier_room(one, analysis.rest).volts <= STUCK_V
    )


def _diode_room(analysis: Analysis, stage: Stage) -> Room | None:
    """The heights a clipping stage says its diodes hold; a side they leave free has no limit here."""
    diodes = stage.with_role(DIODE_ROLE)
    if not diodes:
        return None
    numbers = kind_of(stage).numbers(stage, analysis.bench)
    heights = [number.closed for number in numbers if number.name.startswith(HELD_AT) and number.closed]
    if not heights:
        return None
    into = stage.nets.get("non-inverting", "")
    return Room(
        volts=min(heights),
        most_v=max(heights) if len(heights) == len(HELD_AT) else float("inf"),
        limited_by=f"{listed(list(diodes))} conducting",
        follows=into if into in stage.inputs else "",
    )


def _driver_room(analysis: Analysis, net: str) -> Room | None:
    """The swings that the part driving a net allows; None when none is known."""
    rest = analysis.rest
    row = analysis.system.rows.get(net)
    for primitive in analysis.primitives:
        if isinstance(primitive, ClippingAmplifier) and analysis.system.rows.get(primitive.output) == row:
            return _amplifier_room(primitive, rest)
        if isinstance(primitive, BipolarTransistor) and analysis.system.rows.get(primitive.collector) == row:
            return _collector_room(primitive, rest, analysis)
        if isinstance(primitive, FieldEffectTransistor) and analysis.system.rows.get(primitive.drain) == row:
            return _drain_room(primitive, rest, analysis)
    return None


def _amplifier_room(amplifier: ClippingAmplifier, rest: OperatingPoint) -> Room:
    output = rest.volts(amplifier.output)
    up = rest.volts(amplifier.positive_rail) - amplifier.high_headroom_v - output
    down = output - rest.volts(amplifier.negative_rail) - amplifier.low_headroom_v
    side = "the positive rail" if up < down else "the negative rail"
    return _room(up, down, f"{amplifier.owner} reaching {side}")


def _room(one: float, other: float, limited_by: str) -> Room:
    return Room(volts=max(0.0, min(one, other)), most_v=max(0.0, one, other), limited_by=limited_by)


def _feeding_rail(analysis: Analysis, net: str, polarity: int) -> float:
    """The resting voltage to which a collector or drain goes when its transistor switches off: that of the
    steady net behind its resistors; the highest supply where none is found.
    """
    view, classes = analysis.view, analysis.bench.classes
    pending, met, found = [view.joined[net]], {view.joined[net]}, []
    while pending:
        here = pending.pop()
        for leaf in view.on(here):
            far = leaf.other(here)
            if leaf.sort not in ("R", "L") or far in met:
                continue
            met.add(far)
            if far == GROUND or far in classes.rails:
                found.append(analysis.rest.volts(far))
            elif not view.active_pins.get(far):
                pending.append(far)
    if found:
        return max(found) if polarity > 0 else min(found)
    return max((analysis.rest.volts(supply.net) for supply in analysis.circuit.supplies), default=0.0)


def _collector_room(transistor: BipolarTransistor, rest: OperatingPoint, analysis: Analysis) -> Room:
    collector, emitter = rest.volts(transistor.collector), rest.volts(transistor.emitter)
    rail = _feeding_rail(analysis, transistor.collector, transistor.polarity)
    off = abs(rail - collector)
    saturated = abs(collector - emitter) - SATURATION_V
    words = "switching off" if off < saturated else "saturating"
    return _room(off, saturated, f"{transistor.owner} {words}")


def _drain_room(transistor: FieldEffectTransistor, rest: OperatingPoint, analysis: Analysis) -> Room:
    drain, source = rest.volts(transistor.drain), rest.volts(transistor.source)
    rail = _feeding_rail(analysis, transistor.drain, transistor.polarity)
    overdrive = transistor.polarity * (rest.volts(transistor.gate) - source) - transistor.threshold_v
    off, ohmic = abs(rail - drain), abs(drain - source) - max(0.0, overdrive)
    words = "switching off" if off < ohmic else "leaving its flat region"
    return _room(off, ohmic, f"{transistor.owner} {words}")
