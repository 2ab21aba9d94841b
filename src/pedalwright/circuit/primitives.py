"""The dozen things every device expands into; the solver knows nothing else.

Nets are names; a device's inner nets contain a slash (``U1/ref``), which the notation cannot write, so they
never clash. `owner` is the designator of the part (or section: ``U1a``) the primitive belongs to, and
`name` is unique in the circuit. Values are SI units.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Primitive:
    """What all primitives share."""

    owner: str
    name: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Short(Primitive):
    """Two nets that are one: a closed contact, a link."""

    a: str
    b: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistance(Primitive):
    """A linear resistance between `a` and `b`; always above zero ohms."""

    a: str
    b: str
    ohms: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacitance(Primitive):
    """A linear capacitance between `a` and `b`."""

    a: str
    b: str
    farads: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Inductance(Primitive):
    """A linear inductance between `a` and `b`."""

    a: str
    b: str
    henries: float


@dataclass(frozen=True, slots=True, kw_only=True)
class VoltageSource(Primitive):
    """`plus` stands `dc_v` above `minus`.

    As a signal source it is one unit when the analysis names it, else a short.
    """

    plus: str
    minus: str
    dc_v: float


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentSource(Primitive):
    """`dc_a` flows from `a` through the source to `b`; open for signals."""

    a: str
    b: str
    dc_a: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyDraw(Primitive):
    """A device's own supply current.

    `dc_a` from `plus` to `minus`, falling smoothly to nothing below `knee_v`.
    """

    plus: str
    minus: str
    dc_a: float
    knee_v: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Transconductance(Primitive):
    """A linear controlled source.

    `siemens` times (control_plus - control_minus) flows from `a` through it to `b`.
    """

    a: str
    b: str
    control_plus: str
    control_minus: str
    siemens: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Junction(Primitive):
    """An exponential diode.

    I = Is (exp(V/(n Vt)) - 1), conducting backwards above `breakdown_v` when that is given.
    """

    anode: str
    cathode: str
    saturation_a: float
    emission: float
    breakdown_v: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class BipolarTransistor(Primitive):
    """A transport-model bipolar transistor; `polarity` is +1 for npn, -1 for pnp.

    `forward_beta` and `reverse_beta` are the ideal current gains, `early_v` the Early voltage (None:
    infinite), `leak_a` and `leak_emission` the base-emitter recombination current that makes the gain fall
    at low currents.
    """

    collector: str
    base: str
    emitter: str
    polarity: int
    saturation_a: float
    forward_beta: float
    reverse_beta: float
    early_v: float | None = None
    leak_a: float = 0.0
    leak_emission: float = 1.5


@dataclass(frozen=True, slots=True, kw_only=True)
class FieldEffectTransistor(Primitive):
    """A square-law field-effect transistor; `polarity` is +1 for n-channel, -1 for p-channel.

    `beta` is the current factor in A/V^2 (Idss = beta Vto^2 for a JFET), `threshold_v` the pinch-off or
    threshold voltage with an n-channel sign (negative for a depletion n-channel part), `modulation` the
    channel-length modulation in 1/V. Symmetric: drain and source change places when the voltage reverses.
    `gate_saturation_a` is the gate junctions' saturation current, 0 for an insulated gate.
    """

    drain: str
    gate: str
    source: str
    polarity: int
    beta: float
    threshold_v: float
    modulation: float = 0.0
    gate_saturation_a: float = 0.0
    gate_emission: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ClippingAmplifier(Primitive):
    """An operational amplifier: high gain, one pole, an output that stops short of its rails.

    The output swings between `negative_rail` + `low_headroom_v` and `positive_rail` - `high_headroom_v`.
    `dc_gain` is the open-loop gain, `gain_bandwidth_hz` its product with bandwidth (None: no pole),
    `slew_v_per_s` serves headroom answers and the time domain. `ideal` amplifiers hold their inputs equal
    exactly, without rails.
    """

    non_inverting: str
    inverting: str
    output: str
    positive_rail: str
    negative_rail: str
    dc_gain: float
    gain_bandwidth_hz: float | None
    high_headroom_v: float
    low_headroom_v: float
    slew_v_per_s: float | None = None
    ideal: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class RegulatedOutput(Primitive):
    """A series regulator.

    `output` stands `volts` above `ground`, or `dropout_v` below `input` when that is less. The output current
    is drawn from `input`. `output_ohms` is the closed-loop output resistance.
    """

    input: str
    output: str
    ground: str
    volts: float
    dropout_v: float
    output_ohms: float


@dataclass(frozen=True, slots=True, kw_only=True)
class DelayedCopy(Primitive):
    """`output` repeats (input - reference), times `gain`, `delay_s` later, above `reference`.

    Its analysis is the echo layer's.
    """

    input: str
    output: str
    reference: str
    delay_s: float
    gain: float
