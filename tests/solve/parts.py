"""Short names for primitives, so that a test reads like its circuit."""

from pedalwright.circuit.primitives import (
    BipolarTransistor,
    Capacitance,
    ClippingAmplifier,
    CurrentSource,
    DelayedCopy,
    FieldEffectTransistor,
    Inductance,
    Junction,
    Primitive,
    RegulatedOutput,
    Resistance,
    SupplyDraw,
    Transconductance,
    VoltageSource,
)

GND = "gnd"
Parts = list[Primitive]


def resistor(name: str, a: str, b: str, ohms: float) -> Resistance:
    return Resistance(owner=name, name=name, a=a, b=b, ohms=ohms)


def capacitor(name: str, a: str, b: str, farads: float) -> Capacitance:
    return Capacitance(owner=name, name=name, a=a, b=b, farads=farads)


def inductor(name: str, a: str, b: str, henries: float) -> Inductance:
    return Inductance(owner=name, name=name, a=a, b=b, henries=henries)


def source(name: str, plus: str, dc_v: float = 0.0, minus: str = GND) -> VoltageSource:
    return VoltageSource(owner=name, name=name, plus=plus, minus=minus, dc_v=dc_v)


def current(name: str, a: str, b: str, dc_a: float) -> CurrentSource:
    return CurrentSource(owner=name, name=name, a=a, b=b, dc_a=dc_a)


def draw(name: str, plus: str, dc_a: float, knee_v: float = 1.0) -> SupplyDraw:
    return SupplyDraw(owner=name, name=name, plus=plus, minus=GND, dc_a=dc_a, knee_v=knee_v)


def controlled(name: str, a: str, b: str, plus: str, minus: str, siemens: float) -> Transconductance:
    return Transconductance(
        owner=name, name=name, a=a, b=b, control_plus=plus, control_minus=minus, siemens=siemens
    )


def diode(
    name: str,
    anode: str,
    cathode: str,
    *,
    saturation_a: float = 2.52e-9,
    emission: float = 1.752,
    breakdown_v: float | None = None,
) -> Junction:
    return Junction(
        owner=name,
        name=name,
        anode=anode,
        cathode=cathode,
        saturation_a=saturation_a,
        emission=emission,
        breakdown_v=breakdown_v,
    )


def bipolar(
    name: str,
    collector: str,
    base: str,
    emitter: str,
    *,
    polarity: int = 1,
    saturation_a: float = 1e-14,
    forward_beta: float = 200.0,
    reverse_beta: float = 4.0,
    early_v: float | None = None,
    leak_a: float = 0.0,
) -> BipolarTransistor:
    return BipolarTransistor(
        owner=name,
        name=name,
        collector=collector,
        base=base,
        emitter=emitter,
        polarity=polarity,
        saturation_a=saturation_a,
        forward_beta=forward_beta,
        reverse_beta=reverse_beta,
        early_v=early_v,
        leak_a=leak_a,
    )


def field_effect(
    name: str,
    drain: str,
    gate: str,
    source: str,
    *,
    polarity: int = 1,
    idss_a: float = 8e-3,
    threshold_v: float = -6.0,
    modulation: float = 0.0,
    gate_saturation_a: float = 0.0,
) -> FieldEffectTransistor:
    return FieldEffectTransistor(
        owner=name,
        name=name,
        drain=drain,
        gate=gate,
        source=source,
        polarity=polarity,
        beta=idss_a / threshold_v**2,
        threshold_v=threshold_v,
        modulation=modulation,
        gate_saturation_a=gate_saturation_a,
    )


def amplifier(
    name: str,
    non_inverting: str,
    inverting: str,
    output: str,
    *,
    rails: tuple[str, str] = ("VA", GND),
    dc_gain: float = 2e5,
    gain_bandwidth_hz: float | None = 3e6,
    headroom_v: float = 1.5,
    ideal: bool = False,
) -> ClippingAmplifier:
    return ClippingAmplifier(
        owner=name,
        name=name,
        non_inverting=non_inverting,
        inverting=inverting,
        output=output,
        positive_rail=rails[0],
        negative_rail=rails[1],
        dc_gain=dc_gain,
        gain_bandwidth_hz=gain_bandwidth_hz,
        high_headroom_v=headroom_v,
        low_headroom_v=headroom_v,
        ideal=ideal,
    )


def regulator(
    name: str, input: str, output: str, *, volts: float = 5.0, dropout_v: float = 1.7
) -> RegulatedOutput:
    return RegulatedOutput(
        owner=name,
        name=name,
        input=input,
        output=output,
        ground=GND,
        volts=volts,
        dropout_v=dropout_v,
        output_ohms=0.1,
    )


def delay(
    name: str, input: str, output: str, *, delay_s: float, gain: float, reference: str = GND
) -> DelayedCopy:
    return DelayedCopy(
        owner=name, name=name, input=input, output=output, reference=reference, delay_s=delay_s, gain=gain
    )
