"""Operational amplifier stages of textbooks, with ideal amplifiers."""

import math

import pytest

from tests.published.bench import Check, given
from tests.published.stages import amplifier, circuit, gain_from

COUGHLIN = "Coughlin and Driscoll, Operational Amplifiers"
FLOYD = "Floyd, Electronic Devices"
GAYAKWAD = "Gayakwad, Op-Amps and Linear Integrated Circuits"
CLOSED = "closed form"


def at_rest(*lines: str, **inputs: str) -> str:
    """A circuit at rest, its inputs held by supplies."""
    held = "".join(f"supply {net} {volts} wall\n" for net, volts in inputs.items())
    return f"supply VP 15V wall\nsupply VN -15V wall\n{held}" + "\n".join(lines) + "\n"


def inverting(ri: str, rf: str, *more: str) -> tuple[str, ...]:
    return (amplifier(1), f"A > R1 {ri} > U1.inv > R2 {rf} > OUT", "U1.out > OUT\nU1.non > gnd", *more)


def summing(rf: str, *inputs: str) -> tuple[str, ...]:
    feeds = (
        f"{net} > R{n} {ohms} > U1.inv" for n, (net, ohms) in enumerate(zip("ABC", inputs, strict=True), 1)
    )
    return (amplifier(1), *feeds, f"U1.inv > R9 {rf} > OUT", "U1.out > OUT\nU1.non > gnd")


INVERTER = at_rest(*inverting("10k", "100k", "OUT > R3 25k > gnd"), A="1V")
INVERTER_UP = at_rest(*inverting("10k", "250k"), A="-0.5V")
SUM = at_rest(*summing("10k", "10k", "10k", "10k"), A="2V", B="3V", C="1V")
SUM_MIXED = at_rest(*summing("10k", "10k", "10k", "10k"), A="2V", B="3V", C="-1V")
SUM_SCALED = at_rest(*summing("10k", "47k", "100k", "10k"), A="3V", B="2V", C="8V")
SUM_AVERAGE = at_rest(*summing("1k", "3k", "3k", "3k"), A="1V", B="2V", C="3V")
AVERAGE_UP = at_rest(
    amplifier(1),
    "A > R1 1k > P\nB > R2 1k > P\nC > R3 1k > P\nP > U1.non",
    gain_from(1, "OUT", ("1k", "2k")),
    A="2V",
    B="-3V",
    C="4V",
)
NON_INVERTING = circuit(amplifier(1), "IN > U1.non", gain_from(1, "OUT", ("10k", "40k")))
FOLLOWER = at_rest(amplifier(1), "A > U1.non", "U1.inv > OUT\nU1.out > OUT > R1 10k > gnd", A="4V")


def difference(a: str, b: str) -> str:
    """Gain 100 for A above B."""
    return at_rest(
        amplifier(1),
        "B > R1 1k > U1.inv > R2 100k > OUT",
        "A > R3 1k > U1.non > R4 100k > gnd",
        "U1.out > OUT",
        A=a,
        B=b,
    )


EQUAL, ONE, THREE = difference("10mV", "10mV"), difference("10mV", "1nV"), difference("10mV", "-20mV")
INTEGRATOR = circuit(amplifier(1), "IN > R1 10k > U1.inv > C1 10n > OUT", "U1.out > OUT\nU1.non > gnd")
INTEGRATOR_SLOW = circuit(amplifier(1), "IN > R1 1M > U1.inv > C1 1u > OUT", "U1.out > OUT\nU1.non > gnd")
LOSSY = circuit(amplifier(1), "IN > R1 10k > U1.inv > R2 100k || C1 10n > OUT", "U1.out > OUT\nU1.non > gnd")
DIFFERENTIATOR = circuit(
    amplifier(1),
    "IN > R1 1591.549 > X > C1 0.1u > U1.inv > R2 31830.99 || C2 5n > OUT",
    "U1.out > OUT\nU1.non > gnd",
)
DIFFERENTIATOR_IDEAL = circuit(
    amplifier(1), "IN > C1 0.1u > U1.inv > R2 31830.99 > OUT", "U1.out > OUT\nU1.non > gnd"
)


COUPLED = (
    "input IN 50 1V\n"
    + "\n".join(
        [
            "supply VP 15V wall\nsupply VN -15V wall",
            amplifier(1),
            "IN > C1 0.1u > R1 100 > U1.inv > R2 1k > OUT",
            "U1.out > OUT\nU1.non > gnd",
        ]
    )
    + "\n"
)


def volts(source: str, text: str, exact: float, printed: str = "", net: str = "OUT") -> Check:
    return Check(
        source=source,
        says=f"volts at {net}",
        text=text,
        exact=exact,
        printed=printed,
        within=1e-7 if exact == 0 else None,
        asks=lambda made: made.volts(net),
    )


def amps(source: str, text: str, name: str, exact: float) -> Check:
    return Check(
        source=source, says=f"current of {name}", text=text, exact=exact, asks=lambda made: made.amperes(name)
    )


CHECKS = [
    volts(f"{COUGHLIN}, Ex. 3.1", INVERTER, -10.0, "-10"),
    amps(f"{COUGHLIN}, Ex. 3.1", INVERTER, "R1", 0.1e-3),
    amps(f"{COUGHLIN}, Ex. 3.2, load", INVERTER, "R3", -0.4e-3),
    amps(f"{COUGHLIN}, Ex. 3.2, amplifier pin", INVERTER, "U1", -0.5e-3),
    volts(f"{COUGHLIN}, Ex. 3.3", INVERTER_UP, 12.5, "12.5"),
    volts(f"{COUGHLIN}, Ex. 3.8", SUM, -6.0, "-6"),
    volts(f"{COUGHLIN}, Ex. 3.9", SUM_MIXED, -4.0, "-4"),
    volts(f"{FLOYD}, Ex. 13.7", SUM_SCALED, -8.838298, "-8.838"),
    volts(f"{GAYAKWAD}, Ex. 6.4", SUM_AVERAGE, -2.0, "-2.0"),
    volts(f"{GAYAKWAD}, Ex. 6.5", AVERAGE_UP, 1.0, "1.0", "P"),
    volts(f"{GAYAKWAD}, Ex. 6.5", AVERAGE_UP, 3.0, "3.0"),
    Check(
        source=f"{COUGHLIN}, Ex. 3.13",
        says="gain",
        text=NON_INVERTING,
        exact=5.0,
        printed="5",
        asks=lambda made: made.transfer(100).real,
    ),
    volts(f"{COUGHLIN}, Ex. 3.15", FOLLOWER, 4.0),
    amps(f"{COUGHLIN}, Ex. 3.15", FOLLOWER, "R1", 0.4e-3),
    volts(f"{COUGHLIN}, Ex. 8.1", EQUAL, 0.0),
    volts(f"{COUGHLIN}, Ex. 8.1", ONE, 1.0, "1"),
    volts(f"{COUGHLIN}, Ex. 8.1", THREE, 3.0, "3"),
    # A step of V makes a ramp of V |H| 2 pi f for a pure integrator.
    Check(
        source=f"{FLOYD}, Ex. 13.8",
        says="ramp of 5 V [kV/s]",
        text=INTEGRATOR,
        exact=-50.0,
        printed="-50",
        asks=lambda made: (5 * made.transfer(100.0) * 2j * math.pi * 100.0).real / 1e3,
    ),
    *(
        Check(
            source=f"{GAYAKWAD}, Ex. 6.15",
            says=f"2 V after {seconds} s",
            text=INTEGRATOR_SLOW,
            exact=-2.0 * seconds,
            asks=given(seconds, lambda made, t: (2 * t * made.transfer(1.0) * 2j * math.pi).real),
        )
        for seconds in (1, 2, 3, 4)
    ),
    Check(
        source=f"{CLOSED}, lossy integrator",
        says="pole",
        text=LOSSY,
        exact=159.155,
        asks=lambda made: made.mode(0)[0],
    ),
    Check(
        source=f"{CLOSED}, lossy integrator",
        says="gain at rest",
        text=LOSSY,
        exact=-10.0,
        asks=lambda made: made.transfer(1e-3).real,
    ),
    Check(
        source=f"{CLOSED}, lossy integrator",
        says="unity",
        text=LOSSY,
        exact=1583.57,
        asks=lambda made: made.corner_hz(500, 5000, 3.0102999566),
    ),
    Check(
        source=f"{COUGHLIN}, Ex. 5.18, 0.4 V at 1 kHz, whole network",
        says="volts",
        text=DIFFERENTIATOR,
        exact=4.0,
        asks=lambda made: 0.4 * abs(made.transfer(1e3)),
    ),
    Check(
        source=f"{COUGHLIN}, Ex. 5.18, 0.4 V at 100 Hz, whole network",
        says="volts",
        text=DIFFERENTIATOR,
        printed="0.7921",
        asks=lambda made: 0.4 * abs(made.transfer(100)),
    ),
    Check(
        source=f"{COUGHLIN}, Ex. 5.18, as the book idealises it",
        says="volts",
        text=DIFFERENTIATOR_IDEAL,
        exact=8.0,
        printed="8",
        asks=lambda made: 0.4 * abs(made.transfer(1e3)),
    ),
    Check(
        source=f"{GAYAKWAD}, Ex. 6.1",
        says="corner with the source's 50 ohms",
        text=COUPLED,
        exact=10610.33,
        printed="10.61e3",
        asks=lambda made: made.mode(0)[0],
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_stage_does_what_the_book_says(check: Check) -> None:
    assert check.misses(check.bench) == []
