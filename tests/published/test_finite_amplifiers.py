"""Amplifiers with a finite gain and bandwidth, and amplifiers that switch from rail to rail.

The published model is vo (1/A0 + s/(2 pi GBW)) = v+ - v-; `dc-gain=` and `gbw=` write its two figures.
"""

import pytest

from tests.published.bench import Check, modes
from tests.published.stages import HEADER, amplifier, circuit, mfb_band_pass, mfb_low_pass, sk_low_pass

FRANCO = "Franco, Design with Operational Amplifiers, 3rd ed."
COUGHLIN = "Coughlin and Driscoll, Operational Amplifiers"
FLOYD = "Floyd, Electronic Devices"

SHIFTED = {
    "10M": ((9853.3, 4.0264), (9964.0, 2.0072), (999.0, 10.008)),
    "3M": ((9534.4, 4.0811), (9881.3, 2.0237), (996.68, 10.031)),
    "1M": ((8769.2, 4.1872), (9655.2, 2.0686), (990.15, 10.096)),
}
"""Gain-bandwidth product: f0 and Q of the three circuits below (ideal: 10 kHz 4, 10 kHz 2, 1 kHz 10)."""


def three_filters(gbw: str) -> tuple[str, str, str]:
    options = f"gbw={gbw}Hz dc-gain=1M"
    return (
        circuit(mfb_low_pass(1, "IN", "OUT", "1193.662", "2387.324", "530.51648", "200n", "1n", options)),
        circuit(sk_low_pass(1, "IN", "OUT", "5758.28", "2199.467", "1n", "20n", options=options)),
        circuit(mfb_band_pass(1, "IN", "OUT", "15915.494", "837.65758", "318309.89", "10n", options)),
    )


def shifted() -> list[Check]:
    names = ("Ex. 3.16", "Ex. 3.10", "Ex. 3.15")
    return [
        check
        for gbw, expected in SHIFTED.items()
        for name, text, pair in zip(names, three_filters(gbw), expected, strict=True)
        for check in modes(f"{FRANCO}, {name}, gain-bandwidth {gbw}Hz", text, [pair], ideal=False)
    ]


LOOP = {
    1: ("-0.98", "0.99"),
    10: ("-9.01", "9.09"),
    100: ("-49.75", "50.0"),
    1000: ("-90.83", "90.91"),
    10000: ("-99.0", "99"),
}


def inverting(options: str, ri: str, rf: str) -> str:
    return circuit(
        amplifier(1, options), f"IN > R1 {ri} > U1.inv > R2 {rf} > OUT", "U1.out > OUT\nU1.non > gnd"
    )


def non_inverting(options: str, ra: str, rb: str) -> str:
    return circuit(
        amplifier(1, options), f"OUT > R2 {rb} > U1.inv > R1 {ra} > gnd", "U1.out > OUT\nU1.non > IN"
    )


def loop(open_gain: int, printed: tuple[str, str]) -> list[Check]:
    options = f"dc-gain={open_gain} gbw=1G"
    inverted, upright = inverting(options, "1k", "100k"), non_inverting(options, "1k", "99k")
    source = f"{COUGHLIN}, Ex. 10.5, open-loop gain {open_gain}"
    return [
        Check(
            source=source,
            says="inverting",
            text=inverted,
            ideal=False,
            exact=-100 / (1 + 101 / open_gain),
            printed=printed[0],
            asks=lambda made: made.transfer(0.01).real,
        ),
        Check(
            source=source,
            says="non-inverting",
            text=upright,
            ideal=False,
            exact=100 / (1 + 100 / open_gain),
            printed=printed[1],
            asks=lambda made: made.transfer(0.01).real,
        ),
    ]


def bandwidth(source: str, text: str, gain_db: float, hertz: float) -> Check:
    return Check(
        source=source,
        says="bandwidth",
        text=text,
        ideal=False,
        exact=hertz,
        asks=lambda made: made.corner_hz(1e4, 1e7, gain_db),
    )


ONE_MEGAHERTZ = "gbw=1MHz dc-gain=1M"
FOLLOWER = circuit(amplifier(1, ONE_MEGAHERTZ), "IN > U1.non", "U1.inv > OUT\nU1.out > OUT")


def switching(swing_v: float, *lines: str, **inputs: str) -> str:
    """An amplifier that stops 1.5 V short of its supplies, so `swing_v` each way."""
    held = "".join(f"supply {net} {volts} wall\n" for net, volts in inputs.items())
    rails = f"supply VP {swing_v + 1.5}V wall\nsupply VN -{swing_v + 1.5}V wall\n"
    return rails + held + "\n".join([amplifier(1), "U1.out > OUT", *lines]) + "\n"


def schmitt(swing_v: float, from_out: str, to_gnd: str, held_v: float) -> str:
    """Inverting: its input HELD, the other input divided down from the output."""
    return switching(
        swing_v,
        f"OUT > R2 {from_out} > P > R1 {to_gnd} > gnd",
        "P > U1.non\nHELD > U1.inv",
        HELD=f"{held_v}V",
    )


def thresholds(
    source: str, swing_v: float, from_out: str, to_gnd: str, exact: float, printed: str
) -> list[Check]:
    """Just beyond a threshold only one state is left, and the divider then stands at the other threshold."""
    found = []
    for sign in (1, -1):
        text = schmitt(swing_v, from_out, to_gnd, -sign * exact * 1.001)
        found += [
            Check(
                source=source,
                says=f"output {sign:+d}",
                text=text,
                ideal=False,
                exact=sign * swing_v,
                asks=lambda made: made.volts("OUT"),
            ),
            Check(
                source=source,
                says=f"threshold {sign:+d}",
                text=text,
                ideal=False,
                exact=sign * exact,
                printed=printed if sign > 0 else f"-{printed}",
                asks=lambda made: made.volts("P"),
            ),
        ]
    return found


def non_inverting_schmitt(swing_v: float, feed: str, back: str, reference_v: float, held_v: float) -> str:
    return switching(
        swing_v,
        f"HELD > R1 {feed} > U1.non > R2 {back} > OUT",
        "REF > U1.inv",
        HELD=f"{held_v}V",
        REF=f"{reference_v}V",
    )


def offset_threshold(source: str, held_v: float, out_v: float, exact: float) -> list[Check]:
    """The dividing node of an inverting trigger with a reference, in the state that its input leaves it."""
    text = switching(
        15.0,
        "REF > R1 10k > P > R2 65k > OUT",
        "P > U1.non\nHELD > U1.inv",
        REF="11.53846V",
        HELD=f"{held_v}V",
    )
    return [
        Check(
            source=source,
            says="state",
            text=text,
            ideal=False,
            exact=out_v,
            asks=lambda made: made.volts("OUT"),
        ),
        Check(
            source=source,
            says="threshold",
            text=text,
            ideal=False,
            exact=exact,
            asks=lambda made: made.volts("P"),
        ),
    ]


def three_way_schmitt(held_v: float) -> str:
    return switching(
        13.0,
        "HELD > R1 10k > U1.non\nREF > R2 12.5k > U1.non\nU1.non > R3 86.67k > OUT\nU1.inv > gnd",
        REF="-15V",
        HELD=f"{held_v}V",
    )


def flips(source: str, text: str, out_v: float) -> Check:
    return Check(
        source=source, says="state", text=text, ideal=False, exact=out_v, asks=lambda made: made.volts("OUT")
    )


BOUNDED = (
    HEADER
    + "\n".join(
        [
            amplifier(1),
            "U1.out > OUT > R1 100k > P > R2 47k > gnd\nP > U1.non",
            "OUT > BT1 5.4V (esr=1m) > U1.inv",
            "HELD > R3 10k > U1.inv",
            "supply HELD -3V wall",
        ]
    )
    + "\n"
)
"""While the pair of zeners conducts, 4.7 V and 0.7 V, a cell of 5.4 V stands in for it."""

CHECKS = [
    *shifted(),
    *(check for open_gain, printed in LOOP.items() for check in loop(open_gain, printed)),
    bandwidth(f"{COUGHLIN}, Ex. 10.6, inverting 1", inverting(ONE_MEGAHERTZ, "10k", "10k"), 0.0, 500e3),
    bandwidth(f"{COUGHLIN}, Ex. 10.6, follower", FOLLOWER, 0.0, 1e6),
    bandwidth(
        "noise gain, not signal gain: non-inverting 2",
        non_inverting(ONE_MEGAHERTZ, "10k", "10k"),
        6.0205999,
        500e3,
    ),
    *thresholds(f"{COUGHLIN}, Ex. 6.1 (printed 7)", 15.0, "100k", "86k", 6.93548, "7"),
    *thresholds(f"{FLOYD}, Ex. 13.2", 5.0, "100k", "100k", 2.5, "2.5"),
    # Triangle and square: the second amplifier's ramp turns at swing times R3/R2.
    *thresholds("Floyd, Ex. 16.4, divider of its Schmitt trigger", 14.0, "33k", "10k", 14 * 10 / 43, "3.26"),
    # Thresholds 12 V and 8 V, R 10k, n 7.5, reference 8.8235 (printed 8.82).
    flips(f"{COUGHLIN}, Ex. 4.4, above 12 V", non_inverting_schmitt(15, "10k", "75k", 8.82353, 12.02), 15.0),
    flips(f"{COUGHLIN}, Ex. 4.4, below 8 V", non_inverting_schmitt(15, "10k", "75k", 8.82353, 7.98), -15.0),
    # Inverting form: thresholds 12 V and 8 V, n 6.5, reference 11.53846 (printed 11.54).
    *offset_threshold(f"{COUGHLIN}, Ex. 4.5, input below 8 V", 7.98, 15.0, 12.0),
    *offset_threshold(f"{COUGHLIN}, Ex. 4.5, input above 12 V", 12.02, -15.0, 8.0),
    # Thresholds 13.5 V and 10.5 V, reference -15 V through 12.5k, output of 13 V through 86.67k.
    flips(f"{COUGHLIN}, Ex. 4.6, above 13.5 V", three_way_schmitt(13.52), 13.0),
    flips(f"{COUGHLIN}, Ex. 4.6, below 10.5 V", three_way_schmitt(10.48), -13.0),
    Check(
        source=f"{FLOYD}, Ex. 13.3",
        says="bounded output",
        text=BOUNDED,
        exact=7.938,
        printed="7.938",
        asks=lambda made: made.volts("OUT"),
    ),
    Check(
        source=f"{FLOYD}, Ex. 13.3",
        says="threshold",
        text=BOUNDED,
        exact=2.538,
        printed="2.538",
        asks=lambda made: made.volts("P"),
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_amplifier_has_its_published_limits(check: Check) -> None:
    assert check.misses(check.bench) == []
