"""The echo chip: sixteen pins, five volts, a delay of 31 ms to about a second.

Four inverting amplifiers sit around the delay. The input filter (pins 16, 15) feeds a coder (pins 10, 9)
that turns the sound into a stream of single bits; a memory of 44 kbit delays them; the decoder (pins 11,
12) turns them back; the output filter (pins 13, 14) smooths what comes out. All four amplifiers share one
reference at half the supply (pin 2). The current drawn out of pin 6 sets the clock: the more resistance,
the longer the delay, and the more noise. Less than 1 kohm there at switch-on may keep the clock from
starting.

It dies above 6.5 V: fit its 5 V regulator the right way round and measure its output before the chip goes
into its socket. Decouple pin 1 with 100 nF and 47 to 100 uF at the pin, pin 2 with 47 uF.

What is modelled: the supply current, the reference, the four amplifiers with their swing, the two
integrator resistors, the time pin as half the supply behind 2.59 kohm, and the resting voltage of pins 5, 7
and 8. The comparator, the memory and the delayed path are not among the primitives: the output side rests
at the reference. The gain, speed and noise of the inner amplifiers are published nowhere; the figures used
are assumptions and say so.
"""

from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import ClippingAmplifier, Primitive, Resistance, SupplyDraw
from pedalwright.devices.device import AmplifierUnit, Device, Pin, Worked, is_unused
from pedalwright.devices.kinds._echo_chip_figures import DELAY_TABLE, FIGURES
from pedalwright.devices.part_facts import Sentences

__all__ = ["DELAY_TABLE", "DEVICE", "FIGURES"]

SUPPLY, REFERENCE, ANALOGUE_GROUND, DIGITAL_GROUND, CLOCK, TIME = "1", "2", "3", "4", "5", "6"
DECODER_STORE, CODER_STORE = "7", "8"

PINS = (
    Pin(name=SUPPLY, aliases=("vcc", "supply"), says="5 V supply"),
    Pin(name=REFERENCE, aliases=("ref",), says="reference at half the supply; 47 uF to ground"),
    Pin(name=ANALOGUE_GROUND, aliases=("agnd",), default="gnd", says="analogue ground"),
    Pin(name=DIGITAL_GROUND, aliases=("dgnd",), default="gnd", says="digital ground"),
    Pin(name=CLOCK, aliases=("clk_o", "clock"), says="clock output; left open"),
    Pin(name=TIME, aliases=("time", "vco"), says="resistance to ground sets the delay"),
    Pin(name=DECODER_STORE, aliases=("cc1", "decoder-store"), says="decoder step store; 100 nF to ground"),
    Pin(name=CODER_STORE, aliases=("cc0", "coder-store"), says="coder step store; 100 nF to ground"),
    Pin(name="9", aliases=("op1-out", "coder-out"), says="coder integrator output"),
    Pin(name="10", aliases=("op1-in", "coder-in"), says="coder integrator inverting input"),
    Pin(name="11", aliases=("op2-in", "decoder-in"), says="decoder integrator inverting input"),
    Pin(
        name="12",
        aliases=("op2-out", "decoder-out"),
        says="decoder integrator output: the delayed sound, unfiltered",
    ),
    Pin(name="13", aliases=("lpf2-in", "output-filter-in"), says="output filter inverting input"),
    Pin(name="14", aliases=("lpf2-out", "output-filter-out"), says="output filter output: the delayed sound"),
    Pin(name="15", aliases=("lpf1-out", "input-filter-out"), says="input filter output, into the coder"),
    Pin(name="16", aliases=("lpf1-in", "input-filter-in"), says="input filter inverting input"),
)

AMPLIFIER_PINS = {
    "input-filter": ("16", "15"),
    "coder": ("10", "9"),
    "decoder": ("11", "12"),
    "output-filter": ("13", "14"),
}
"""role -> inverting input, output; every non-inverting input is inside, on the reference"""


def _figure(name: str) -> float:
    return FIGURES[name].value


def _amplifiers(part: Part) -> tuple[AmplifierUnit, ...]:
    return tuple(
        AmplifierUnit(
            ref=f"{part.ref}/{role}",
            part=part,
            non_inverting=part.net(REFERENCE),
            inverting=part.net(inverting),
            output=part.net(output),
            role=role,
        )
        for role, (inverting, output) in AMPLIFIER_PINS.items()
    )


def _expand(part: Part) -> tuple[Primitive, ...]:
    supply, ground = part.net(SUPPLY), part.net(ANALOGUE_GROUND)
    amplifying = [_amplifier(unit, supply, ground) for unit in _amplifiers(part) if not _is_idle(part, unit)]
    dividers = [
        *_half_supply(part, "reference", REFERENCE, ANALOGUE_GROUND, _figure("reference_ohms")),
        *_half_supply(part, "time", TIME, DIGITAL_GROUND, _figure("time_pin_ohms")),
        *_resting(part),
    ]
    return (*amplifying, *_integrators(part), *dividers, _draw(part, dividers))


def _is_idle(part: Part, unit: AmplifierUnit) -> bool:
    """True when nothing outside the chip touches the amplifier, and no resistor inside closes its loop."""
    inverting, output = AMPLIFIER_PINS[unit.role]
    return unit.role.endswith("filter") and is_unused(part, inverting) and is_unused(part, output)


def _amplifier(unit: AmplifierUnit, supply: str, ground: str) -> ClippingAmplifier:
    headroom_v = _figure("nominal_supply_v") / 2 - _figure("output_swing_v")
    return ClippingAmplifier(
        owner=unit.part.ref,
        name=unit.ref,
        non_inverting=unit.non_inverting,
        inverting=unit.inverting,
        output=unit.output,
        positive_rail=supply,
        negative_rail=ground,
        dc_gain=_figure("amplifier_gain"),
        gain_bandwidth_hz=_figure("amplifier_gain_bandwidth_hz"),
        high_headroom_v=headroom_v,
        low_headroom_v=headroom_v,
    )


def _noise(part: Part) -> tuple[OwnNoise, ...]:
    """The inner amplifiers alone: what coding and decoding add is the echo layer's."""
    figure = FIGURES["amplifier_noise_v_per_root_hz"]
    return tuple(
        OwnNoise(
            name=unit.ref,
            volts_per_rthz=figure.value,
            volts_corner_hz=_figure("amplifier_noise_corner_hz"),
            source=figure.source,
        )
        for unit in _amplifiers(part)
        if not _is_idle(part, unit)
    )


def _integrators(part: Part) -> list[Resistance]:
    return [
        Resistance(
            owner=part.ref,
            name=f"{part.ref}/{role}-integrator",
            a=part.net(inverting),
            b=part.net(output),
            ohms=_figure("integrator_ohms"),
        )
        for role, (inverting, output) in AMPLIFIER_PINS.items()
        if role in ("coder", "decoder")
    ]


def _half_supply(
    part: Part, word: str, pin: str, ground_pin: str, ohms: float
) -> tuple[Resistance, Resistance]:
    """Half the supply behind `ohms`: two equal resistors of twice that."""
    return _divider(part, word, pin, ground_pin, 2 * ohms, 2 * ohms)


def _divider(
    part: Part, word: str, pin: str, ground_pin: str, upper_ohms: float, lower_ohms: float
) -> tuple[Resistance, Resistance]:
    supply, net, ground = part.net(SUPPLY), part.net(pin), part.net(ground_pin)
    return (
        Resistance(owner=part.ref, name=f"{part.ref}/{word}-upper", a=supply, b=net, ohms=upper_ohms),
        Resistance(owner=part.ref, name=f"{part.ref}/{word}-lower", a=net, b=ground, ohms=lower_ohms),
    )


def _resting(part: Part) -> list[Resistance]:
    """What a meter reads at rest on the stores and the clock, where the circuit uses these pins."""
    share = _figure("store_v") / _figure("store_supply_v")
    upper_ohms, lower_ohms = _figure("store_ohms") / share, _figure("store_ohms") / (1 - share)
    found: list[Resistance] = []
    for word, pin in (("decoder-store", DECODER_STORE), ("coder-store", CODER_STORE)):
        if not is_unused(part, pin):
            found.extend(_divider(part, word, pin, ANALOGUE_GROUND, upper_ohms, lower_ohms))
    if not is_unused(part, CLOCK):
        found.extend(_half_supply(part, "clock", CLOCK, DIGITAL_GROUND, _figure("clock_ohms")))
    return found


def _draw(part: Part, dividers: list[Resistance]) -> SupplyDraw:
    """The typical supply current, less what the dividers above already take at 5 V."""
    taken_a = sum(
        _figure("nominal_supply_v") / (upper.ohms + lower.ohms)
        for upper, lower in zip(dividers[::2], dividers[1::2], strict=True)
    )
    return SupplyDraw(
        owner=part.ref,
        name=f"{part.ref}/supply",
        plus=part.net(SUPPLY),
        minus=part.net(DIGITAL_GROUND),
        dc_a=_figure("supply_a") - taken_a,
    )


def _check(part: Part) -> tuple[Sentences, ...]:
    if is_unused(part, SUPPLY):
        return (
            (
                f"{part.ref} has no supply written.",
                "The echo chip needs 5 V on pin 1.",
                f"Add supply=V5 (with the net of its regulator) to the line of {part.ref}.",
            ),
        )
    return ()


_AROUND = (
    "R1 10k > U1.16\n"
    "U1.16 > R2 10k > U1.15\n"
    "U1.9 > C1 100n > U1.10\n"
    "U1.11 > C2 100n > U1.12\n"
    "U1.12 > R3 10k > U1.13\n"
    "U1.13 > R4 10k > U1.14\n"
    "U1.7 > C3 100n > gnd\n"
    "U1.8 > C4 100n > gnd\n"
    "U1.ref > C5 47u > gnd\n"
)
WORKED = (
    Worked(
        text="supply V 4.97V wall\npart U1 echo-chip supply=V\nU1.time > R5 10k > gnd\nU1.ref > " + _AROUND,
        volts={f"~U1.{pin}": 2.48 for pin in ("2", "9", "10", "11", "12", "13", "14", "15", "16")},
        within_v=0.01,
        source="one published set of pin readings of a working unit, 2019",
    ),
    Worked(
        text="supply V 4.97V wall\npart U1 echo-chip supply=V\nU1.time > R5 50k > gnd\nU1.ref > " + _AROUND,
        volts={"~U1.7": 0.92, "~U1.8": 0.93, "~U1.6": 2.36},
        within_v=0.02,
        source="the same readings (pins 7, 8); 2.59 kohm model (pin 6)",
    ),
)

DEVICE = Device(
    kind="echo-chip",
    title="Echo chip",
    says="delays what it hears by 31 ms to about a second",
    letters=("U",),
    family="echo-chip",
    pins=PINS,
    figures=FIGURES,
    expand=_expand,
    amplifiers=_amplifiers,
    noise=_noise,
    check=_check,
    worked=WORKED,
    page=__doc__ or "",
)
