"""Bipolar transistor stages of textbooks.

The books fix the base-emitter voltage at 0.7 V. Here each transistor gets the saturation current that has
0.7 V at the example's own collector current, and flat curves (`early=1MV`), so the exact junction agrees
with the book. Their 26 mV is kT/q at 301.7 K. They count re = 26 mV/IE, with IE for IC in the slope and
beta for beta + 1 in the input resistance; where that matters the check multiplies it in and says so.
"""

import math

import pytest

from pedalwright.solve.rest import ROOM_K
from tests.published.bench import BOLTZMANN, CHARGE, Check

MALVINO = "Malvino and Bates, Electronic Principles"
BOYLESTAD = "Boylestad and Nashelsky, Electronic Devices and Circuit Theory"
WARM_K = 0.026 * CHARGE / BOLTZMANN
ENDLESS = "1e12"
"""a current gain that leaves the base current out, as the books' quick analysis does"""
LOW_HZ = 10.0
"""low enough for the transistor's own capacitances, high enough for one farad to be a short"""


def transistor(collector_a: float, beta: str, kelvin: float) -> str:
    saturation_a = collector_a / math.expm1(0.7 * CHARGE / (BOLTZMANN * kelvin))
    return f"part Q1 npn 2N3904 c=C b=B e=E beta={beta} saturation={saturation_a:.12g}A early=1MV\n"


def divider_bias(
    volts: str,
    r1: str,
    r2: str,
    rc: str,
    re: str,
    *,
    collector_a: float,
    beta: str = ENDLESS,
    kelvin: float = ROOM_K,
    more: str = "",
) -> str:
    return (
        f"supply V {volts} wall\n{transistor(collector_a, beta, kelvin)}"
        f"V > R1 {r1} > B > R2 {r2} > gnd\nV > R3 {rc} > C\nE > R4 {re} > gnd\n{more}"
    )


def fixed_bias(
    volts: str,
    rb: str,
    rc: str,
    re: str = "0R",
    *,
    collector_a: float,
    beta: str,
    kelvin: float = ROOM_K,
    more: str = "",
) -> str:
    return (
        f"supply V {volts} wall\n{transistor(collector_a, beta, kelvin)}"
        f"V > R1 {rb} > B\nV > R3 {rc} > C\nE > R4 {re} > gnd\n{more}"
    )


BYPASS = "E > C1 1F > gnd\n"
SLOPE_50K = "C > R9 50k > X > C9 1F > E\n"
"""the book's collector resistance ro, which leaves the resting point alone"""

M81 = divider_bias("10V", "10k", "2.2k", "3.6k", "1k", collector_a=1.103279e-3)
M83 = divider_bias("10V", "10k", "2.2k", "3.6k", "1k", collector_a=1.088028e-3, beta="200")
M84 = divider_bias("10V", "488.235", "100", "400", "100", collector_a=10e-3)
B41 = fixed_bias("12V", "240k", "2.2k", collector_a=2.354167e-3, beta="50")
B51 = fixed_bias("12V", "470k", "3k", collector_a=2.404255e-3, beta="100", kelvin=WARM_K)
B51_SLOPE = fixed_bias(
    "12V", "470k", "3k", collector_a=2.404255e-3, beta="100", kelvin=WARM_K, more=SLOPE_50K
)
B52_NODES = divider_bias("22V", "56k", "8.2k", "6.8k", "1.5k", collector_a=1.321919e-3, beta="90")
B52_EXACT = divider_bias(
    "22V", "56k", "8.2k", "6.8k", "1.5k", collector_a=1.321919e-3, beta="90", kelvin=WARM_K, more=BYPASS
)
B52 = divider_bias("22V", "56k", "8.2k", "6.8k", "1.5k", collector_a=1.406646e-3, kelvin=WARM_K, more=BYPASS)
B52_SLOPE = divider_bias(
    "22V", "56k", "8.2k", "6.8k", "1.5k", collector_a=1.406646e-3, kelvin=WARM_K, more=BYPASS + SLOPE_50K
)
B53 = fixed_bias("20V", "470k", "2.2k", "0.56k", collector_a=4.306582e-3, beta="120", kelvin=WARM_K)
B55 = divider_bias("16V", "90k", "10k", "2.2k", "0.68k", collector_a=1.323529e-3, kelvin=WARM_K)
B55_BYPASSED = divider_bias(
    "16V", "90k", "10k", "2.2k", "0.68k", collector_a=1.323529e-3, kelvin=WARM_K, more=BYPASS
)


def volts(source: str, text: str, net: str, exact: float, printed: str = "", below: str = "gnd") -> Check:
    return Check(
        source=source,
        says=f"volts {net} over {below}",
        text=text,
        exact=exact,
        printed=printed,
        asks=lambda made: made.volts(net) - made.volts(below),
    )


def amps(source: str, text: str, name: str, exact: float, printed: str = "", unit: float = 1e-3) -> Check:
    return Check(
        source=source,
        says=f"current of {name}",
        text=text,
        exact=exact / unit,
        printed=printed,
        asks=lambda made: made.amperes(name) / unit,
    )


def gain(
    source: str, text: str, exact: float, printed: str = "", share: float = 1.0, rel: float = 1e-4
) -> Check:
    """Collector over base; `share` is what the book's re leaves out."""
    return Check(
        source=source,
        says="gain",
        text=text,
        exact=exact,
        printed=printed,
        rel=rel,
        temperature_k=WARM_K,
        asks=lambda made: made.followed(LOW_HZ, "C", "B").real * share,
    )


def re_ohms(source: str, text: str, exact: float, printed: str, emitter: str) -> Check:
    """26 mV over the emitter current, of the solved resting point."""
    return Check(
        source=source,
        says="re",
        text=text,
        exact=exact,
        printed=printed,
        temperature_k=WARM_K,
        asks=lambda made: 0.026 / made.amperes(emitter),
    )


def input_by_the_book(total_ohms: float, base_resistor: float, beta: float) -> float:
    """Input resistance with beta in the place of beta + 1."""
    into_base = 1 / (1 / total_ohms - 1 / base_resistor) * beta / (beta + 1)
    return 1 / (1 / into_base + 1 / base_resistor)


CHECKS = [
    amps(f"{MALVINO}, Ex. 8-1", M81, "Q1", 1.103279e-3, "1.1"),
    volts(f"{MALVINO}, Ex. 8-1", M81, "C", 4.924918, "4.92", below="E"),
    amps(f"{MALVINO}, Ex. 8-3", M83, "R4", 1.0934686e-3, "1.09"),
    Check(
        source=f"{MALVINO}, Ex. 8-3",
        says="base current [uA]",
        text=M83,
        exact=5.44014,
        asks=lambda made: 1e6 * (made.amperes("R1") - made.amperes("R2")),
    ),
    volts(f"{MALVINO}, Ex. 8-3", M83, "C", 6.083098),
    volts(f"{MALVINO}, Ex. 8-3", M83, "C", 4.989629, below="E"),
    amps(f"{MALVINO}, Ex. 8-4 (R1 488)", M84, "Q1", 10e-3, "10"),
    amps(f"{BOYLESTAD}, Ex. 4.1", B41, "R1", 47.0833e-6, "47.08", 1e-6),
    amps(f"{BOYLESTAD}, Ex. 4.1", B41, "Q1", 2.354167e-3, "2.35"),
    volts(f"{BOYLESTAD}, Ex. 4.1", B41, "C", 6.820833, "6.82"),
    Check(
        source=f"{BOYLESTAD}, Ex. 5.1",
        says="re",
        text=B51,
        exact=10.70709,
        printed="10.71",
        temperature_k=WARM_K,
        asks=lambda made: 0.026 / (made.amperes("Q1") + made.amperes("R1")),
    ),
    gain(f"{BOYLESTAD}, Ex. 5.1, times (beta + 1)/beta", B51, -280.188, share=101 / 100),
    gain(f"{BOYLESTAD}, Ex. 5.1, ro 50k, times (beta + 1)/beta", B51_SLOPE, -264.329, share=101 / 100),
    Check(
        source=f"{BOYLESTAD}, Ex. 5.1, beta for beta + 1",
        says="input ohms",
        text=B51,
        exact=1068.28,
        printed="1.07e3",
        temperature_k=WARM_K,
        asks=lambda made: input_by_the_book(made.ohms(LOW_HZ, "B").real, 470e3, 100),
    ),
    Check(
        source="nodal solution of Boylestad, Ex. 5.2",
        says="base current [uA]",
        text=B52_NODES,
        exact=14.68799,
        asks=lambda made: 1e6 * (made.amperes("R1") - made.amperes("R2")),
    ),
    amps("nodal solution of Boylestad, Ex. 5.2", B52_NODES, "Q1", 1.321919e-3),
    volts("nodal solution of Boylestad, Ex. 5.2", B52_NODES, "E", 2.004911),
    volts("nodal solution of Boylestad, Ex. 5.2", B52_NODES, "C", 13.010949),
    re_ohms(f"{BOYLESTAD}, Ex. 5.2, base current left out", B52, 18.48369, "18.48", "R4"),
    gain(f"{BOYLESTAD}, Ex. 5.2, base current left out", B52, -367.892, "-367.9"),
    gain(f"{BOYLESTAD}, Ex. 5.2, ro 50k, base current left out", B52_SLOPE, -323.849, "-323.8"),
    # The book leaves the base current out of the bias (5 % more emitter current) and takes beta for beta + 1.
    Check(
        source=f"{BOYLESTAD}, Ex. 5.2",
        says="input ohms, within what the book leaves out",
        text=B52_EXACT,
        exact=1349.64,
        rel=0.06,
        temperature_k=WARM_K,
        asks=lambda made: made.ohms(LOW_HZ, "B").real,
    ),
    re_ohms(f"{BOYLESTAD}, Ex. 5.3", B53, 5.9873, "5.99", "R4"),
    # beta re against (beta + 1) re is nine parts in 100 000 of the whole here.
    gain(f"{BOYLESTAD}, Ex. 5.3 (book, with beta (re + RE): -3.89)", B53, -3.8552, rel=2e-4),
    Check(
        source=f"{BOYLESTAD}, Ex. 5.3 (book, with beta (re + RE): 59.34k)",
        says="input kilohms",
        text=B53,
        exact=59.770,
        rel=2e-4,
        temperature_k=WARM_K,
        asks=lambda made: made.ohms(LOW_HZ, "B").real / 1e3,
    ),
    re_ohms(f"{BOYLESTAD}, Ex. 5.5", B55, 19.64444, "19.64", "R4"),
    gain(f"{BOYLESTAD}, Ex. 5.5, re counted", B55, -3.144454),
    # -3.24 is RC/RE: re taken for nothing, three parts in a hundred here.
    gain(f"{BOYLESTAD}, Ex. 5.5, re taken for nothing", B55, -3.235294, rel=0.03),
    gain(f"{BOYLESTAD}, Ex. 5.5, bypassed (printed -112.02)", B55_BYPASSED, -111.991),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_stage_rests_and_amplifies_as_published(check: Check) -> None:
    assert check.misses(check.bench) == []
