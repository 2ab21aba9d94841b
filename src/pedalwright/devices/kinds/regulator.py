"""A voltage regulator: turns a higher, unsteady supply into a steady one; keeps the echo chip at its 5 V.

It needs its dropout above the output at the input (78L05: 6.7 V for 5 V), 100 nF or more at both sides
close to its pins, and it turns the voltage it takes off into heat: (input - output) x current + input x its
own current. A TO-92 part at 9 V in, 5 V out and 30 mA gets 31 kelvin hotter than the air around it; touch a
regulator only after it has been off for a while. Fitted backwards it passes the whole supply to what it
should protect: measure its output before fitting the chip. Behind a mains adaptor leave the mains side
alone: use a certified adaptor.

`noise_v` is the voltage at its output between 10 Hz and 100 kHz, root mean square.

`part U3 regulator 5V ...` takes the 78L05's figures with the stated voltage. The adjustable LM317 holds
1.25 V between `out` and `adj`; two resistors set its output.
"""

from pedalwright.circuit.noise import OwnNoise
from pedalwright.circuit.part import Part
from pedalwright.circuit.primitives import CurrentSource, Primitive, RegulatedOutput, SupplyDraw
from pedalwright.circuit.span import Span
from pedalwright.devices.device import Device, Pin, Worked, is_unused
from pedalwright.devices.part_facts import MEMORY, Sentences, figure, figures

LOWEST_V, HIGHEST_V = 1.2, 24.0
_HUNDRED_MILLIAMPERES = figures(
    "Wing Shing 78L05 sheet, typical: 15 mV over 1 to 100 mA is 0.15 ohm",
    dropout_v=1.7, quiescent_a=3.8e-3, output_ohms=0.15, most_a=0.1, ripple_rejection_db=49.0,
) | figures("ST L78L sheet", most_input_v=30.0) | figures(
    "Wing Shing 78L05 sheet: 6 mA at most", most_quiescent_a=6e-3
) | figures("2N3904 sheet: same TO-92 outline", k_per_w=200.0) | figures(
    MEMORY, most_junction_c=125.0
)  # fmt: skip
_ONE_AMPERE = figures(
    "Fairchild LM78XX rev 1.3.1, typical: 9 mV over 5 mA to 1.5 A is 6 mohm",
    dropout_v=2.0, quiescent_a=5e-3, output_ohms=0.006, most_a=1.0, ripple_rejection_db=73.0,
) | figures("Fairchild LM78XX rev 1.3.1", most_quiescent_a=8e-3, k_per_w=65.0) | figures(
    MEMORY, most_input_v=35.0, most_junction_c=125.0
)  # fmt: skip
_LOW_DROP = figures(
    MEMORY, dropout_v=0.2, quiescent_a=0.4e-3, output_ohms=0.1, most_a=0.1, ripple_rejection_db=60.0,
    most_input_v=26.0, most_quiescent_a=1e-3, k_per_w=160.0, most_junction_c=125.0,
)  # fmt: skip
TYPES = {
    "78L05": _HUNDRED_MILLIAMPERES | figures("Wing Shing 78L05 sheet", volts=5.0, noise_v=42e-6),
    "78L06": _HUNDRED_MILLIAMPERES | figures(MEMORY, volts=6.0, noise_v=50e-6),
    "78L08": _HUNDRED_MILLIAMPERES | figures(MEMORY, volts=8.0, noise_v=60e-6),
    "78L09": _HUNDRED_MILLIAMPERES | figures(MEMORY, volts=9.0, noise_v=70e-6),
    "7805": _ONE_AMPERE | figures("Fairchild LM78XX rev 1.3.1", volts=5.0, noise_v=42e-6),
    "7809": _ONE_AMPERE | figures(MEMORY, volts=9.0, noise_v=60e-6),
    "LM2931": _LOW_DROP | figures(MEMORY, volts=5.0, noise_v=500e-6),
    "LM317": figures(
        MEMORY, volts=1.25, dropout_v=1.9, quiescent_a=0.0, adjust_a=50e-6, output_ohms=0.01, most_a=1.5,
        ripple_rejection_db=65.0, most_input_v=40.0, most_adjust_a=100e-6, k_per_w=50.0,
        most_junction_c=125.0, noise_v=37.5e-6,
    ),
}  # fmt: skip
DEFAULT_TYPE = "78L05"
ADJUSTABLE = ("LM317",)
NOISE_BAND_HZ = 100e3 - 10.0
"""the band `noise_v` is stated for, 10 Hz to 100 kHz, taken as flat in it"""


def set_volts(part: Part) -> float:
    """The voltage it holds: between out and gnd, or between out and adj for an adjustable type."""
    return part.value if part.value is not None else figure(part, "volts", TYPES, DEFAULT_TYPE)


def _expand(part: Part) -> tuple[Primitive, ...]:
    supply, output, ground = (part.net(pin) for pin in ("in", "out", "gnd"))
    regulating = RegulatedOutput(
        owner=part.ref,
        name=part.ref,
        input=supply,
        output=output,
        ground=ground,
        volts=set_volts(part),
        dropout_v=figure(part, "dropout_v", TYPES, DEFAULT_TYPE),
        output_ohms=figure(part, "output_ohms", TYPES, DEFAULT_TYPE),
    )
    if part.type in ADJUSTABLE:
        adjust_a = figure(part, "adjust_a", TYPES, DEFAULT_TYPE)
        name = f"{part.ref}/adjust"
        return regulating, CurrentSource(owner=part.ref, name=name, a=supply, b=ground, dc_a=adjust_a)
    quiescent_a = figure(part, "quiescent_a", TYPES, DEFAULT_TYPE)
    name = f"{part.ref}/supply"
    return regulating, SupplyDraw(owner=part.ref, name=name, plus=supply, minus=ground, dc_a=quiescent_a)


def _noise(part: Part) -> tuple[OwnNoise, ...]:
    """At the output; of a voltage the type is not made for, in proportion to it."""
    known = TYPES[part.type or DEFAULT_TYPE]
    share = set_volts(part) / known["volts"].value
    density = share * known["noise_v"].value / NOISE_BAND_HZ**0.5
    return (OwnNoise(name=part.ref, volts_per_rthz=density, source=known["noise_v"].source),)


def _pins_of(part: Part) -> tuple[Pin, ...]:
    adjustable = part.type in ADJUSTABLE
    return (
        Pin(name="in", says="the higher, unsteady side"),
        Pin(name="out", says="the steady side"),
        Pin(
            name="gnd",
            aliases=("adj",),
            default="" if adjustable else "gnd",
            says="where the dividing resistors meet" if adjustable else "ground",
        ),
    )


def _check(part: Part) -> tuple[Sentences, ...]:
    found: list[Sentences] = []
    if part.value is None and part.type not in TYPES:
        what = f"{part.ref} says neither its voltage nor its type."
        cure = f"Write regulator 5V, or one of: {', '.join(TYPES)}."
        found.append((what, "A regulator holds one voltage.", cure))
    if part.value is not None and not LOWEST_V <= part.value <= HIGHEST_V:
        what = f"{part.ref}: no regulator is made for {part.value_text}."
        found.append((what, f"They hold {LOWEST_V:g} to {HIGHEST_V:g} V.", "Write 5V, for instance."))
    wanted = ("in", "out", "gnd") if part.type in ADJUSTABLE else ("in", "out")
    for pin in wanted:
        if is_unused(part, pin):
            shown = "adj" if pin == "gnd" else pin
            what = f"{part.ref} has no {shown} pin written."
            cure = f"Add {shown}=NET to the line of {part.ref}."
            found.append((what, "A regulator stands between two supplies.", cure))
    return tuple(found)


WORKED = (
    Worked(
        text=(
            "supply V 9V wall\n"
            "part U1 regulator 78L05 in=V out=A\n"
            "A > R1 1k > gnd\n"
        ),
        volts={"A": 5.0},
        within_v=0.002,
        source="Wing Shing 78L05 sheet",
    ),
    Worked(
        text=(
            "supply V 6V wall\n"
            "part U1 regulator 5V in=V out=A\n"
            "A > R1 1k > gnd\n"
        ),
        volts={"A": 4.3},
        within_v=0.002,
        source="Wing Shing 78L05 sheet: 1.7 V dropout",
    ),
    Worked(
        text=(
            "supply V 9V wall\n"
            "part U1 regulator LM317 in=V out=A adj=ADJ\n"
            "A > R1 240 > ADJ > R2 720 > gnd\n"
        ),
        volts={"A": 5.036},
        within_v=0.002,
        source="1.25 V (1 + R2/R1) + 50 uA R2, the sheet's formula (from memory)",
    ),
)

DEVICE = Device(
    kind="regulator",
    title="Voltage regulator",
    says="holds a steady voltage from a higher one",
    letters=("U",),
    family="regulator",
    pins=_pins_of(Part(ref="U1", kind="regulator", span=Span(1, 1, 1))),
    pins_of=_pins_of,
    types=TYPES,
    default_type=DEFAULT_TYPE,
    value_of="voltage",
    expand=_expand,
    noise=_noise,
    check=_check,
    worked=WORKED,
    page=__doc__ or "",
)
