"""Filters of several stages from handbooks: odd orders, wide bands, state variables, the active twin-T."""

import pytest

from pedalwright.solve.poles import zeros
from pedalwright.solve.response import Drive
from tests.published.bench import Bench, Check, given, levels, modes
from tests.published.stages import (
    amplifier,
    circuit,
    cr_high_pass,
    gain_from,
    rc_low_pass,
    sk_high_pass,
    sk_low_pass,
)

OAFE = "Op Amps for Everyone, ch. 16"
FRANCO = "Franco, Design with Operational Amplifiers, 3rd ed."
GAYAKWAD = "Gayakwad, Op-Amps and Linear Integrated Circuits"
COUGHLIN = "Coughlin and Driscoll, Operational Amplifiers"
FLOYD = "Floyd, Electronic Devices"

F2 = circuit(
    rc_low_pass(1, "IN", "A", "3.16k", "1n"),
    sk_low_pass(2, "A", "B", "1.87k", "4.42k", "820p", "1.5n"),
    sk_low_pass(3, "B", "OUT", "1.47k", "4.53k", "330p", "4.7n"),
)
F2_IDEAL = circuit(
    rc_low_pass(1, "IN", "A", "3183.10", "1n"),
    sk_low_pass(2, "A", "B", "1865.80", "4415.00", "820p", "1.5n"),
    sk_low_pass(3, "B", "OUT", "1447.25", "4513.83", "330p", "4.7n"),
)
F3 = circuit(
    cr_high_pass(1, "IN", "A", "100n", "2.10k"),
    sk_high_pass(2, "A", "OUT", "100n", "100n", "3.16k", "1.65k"),
)
F3_IDEAL = circuit(
    cr_high_pass(1, "IN", "A", "100n", "2105.22"),
    sk_high_pass(2, "A", "OUT", "100n", "100n", "3184.37", "1666.92"),
)
DOUBLED = ("10k", "10k")
F16 = circuit(
    amplifier(1),
    "IN > C11 50n > X1 > R11 15915.494 > gnd\nX1 > U1.non",
    gain_from(1, "A", DOUBLED),
    amplifier(2),
    "A > R21 15915.494 > X2 > C21 10n > gnd\nX2 > U2.non",
    gain_from(2, "OUT", DOUBLED),
)
GAINS_F16 = {
    10: "0.1997",
    30: "0.5931",
    100: "1.78",
    200: "2.7735",
    447.2: "3.3333",
    700: "3.1508",
    1e3: "2.7735",
    2e3: "1.78",
    7e3: "0.5655",
    10e3: "0.3979",
}
F18 = circuit(
    sk_low_pass(1, "IN", "A", "15915.494", "15915.494", "5n", "20n"),
    rc_low_pass(2, "A", "OUT", "15915.494", "10n"),
)
F20 = circuit(
    sk_high_pass(1, "IN", "A", "0.1u", "0.1u", "20k", "5k"),
    cr_high_pass(2, "A", "OUT", "0.1u", "10k"),
)
F25 = circuit(
    sk_low_pass(1, "IN", "A", "1.8k", "1.8k", "30.9159n", "30.9159n", ("10k", "1.52k")),
    sk_low_pass(2, "A", "OUT", "1.8k", "1.8k", "30.9159n", "30.9159n", ("10k", "12.35k")),
)


def state_variable(r: str, c: str, r5: str, r6: str) -> str:
    """Summer (HP), two integrators (BP, LP), and an equal sum of HP and LP (OUT): a notch.

    All resistors of the summers are 10k; R5 and R6 divide the band-pass output for the summer's other input.
    """
    return circuit(
        *(amplifier(n) for n in (1, 2, 3, 4)),
        "IN > R1 10k > U1.inv\nLP > R2 10k > U1.inv\nU1.inv > R3 10k > HP",
        "U1.out > HP\nU2.out > BP\nU3.out > LP\nU4.out > OUT",
        f"BP > R5 {r5} > U1.non > R6 {r6} > gnd",
        f"HP > R7 {r} > U2.inv > C7 {c} > BP",
        f"BP > R8 {r} > U3.inv > C8 {c} > LP",
        "HP > R9 10k > U4.inv\nLP > R10 10k > U4.inv > R11 10k > OUT",
        "U2.non > gnd\nU3.non > gnd\nU4.non > gnd",
    )


F26 = state_variable("1k", "22n", "100k", "1k")
F27 = state_variable("12k", "0.22u", "95.7k", "3.3k")
F12 = circuit(
    amplifier(1),
    "IN > R1 26525.824 > X1 > R2 26525.824 > P",
    "X1 > C3 200n > gnd",
    "IN > C1 100n > X2 > C2 100n > P",
    "X2 > R3 13262.912 > OUT",
    "P > U1.non",
    gain_from(1, "OUT", ("10k", "9583.333")),
)
F12_PRINTED = F12.replace("26525.824", "26.53k").replace("13262.912", "13.26k").replace("9583.333", "9.58k")


def zero_hz(made: Bench) -> float:
    """The lowest zero with a frequency of its own."""
    found = zeros(made.small, Drive(source="input"), "OUT").finite
    return float(min(abs(z) for z in found if z.imag > 0.1 * abs(z))) / 6.283185307179586


CHECKS = [
    *modes(f"{OAFE}, Example 16-3, 1 % parts", F2, [(49522.9, 1.62311), (49915.5, 0.618187), (50365.5, 0)]),
    *levels(
        f"{OAFE}, Example 16-3, 1 % parts",
        F2,
        {
            10e3: 0.0082,
            25e3: 0.0459,
            40e3: -0.3609,
            50e3: -3.0516,
            100e3: -30.2793,
            500e3: -100.134,
        },
    ),
    # The handbook's coefficients have four decimals (0.6180), which moves the corner by 0.0007 dB.
    Check(
        source=f"{OAFE}, Example 16-3, R from the formulas",
        says="corner",
        text=F2_IDEAL,
        exact=-3.0103,
        within=0.001,
        asks=lambda made: made.level_db(50e3),
    ),
    *modes(f"{OAFE}, Example 16-4, 1 % parts", F3, [(697.003, 0.691945), (757.881, 0)]),
    *levels(
        f"{OAFE}, Example 16-4, 1 % parts",
        F3,
        {
            100: -51.4061,
            500: -12.1266,
            1000: -3.0400,
            2000: -0.6921,
            10e3: -0.0268,
        },
    ),
    *levels(f"{OAFE}, Example 16-4, R from the formulas", F3_IDEAL, {1000: -3.0103}),
    *(
        Check(
            source=f"{GAYAKWAD}, Ex. 7.7",
            says=f"gain at {f:g} Hz",
            text=F16,
            printed=printed,
            asks=given(f, lambda made, f: abs(made.transfer(f))),
        )
        for f, printed in GAINS_F16.items()
    ),
    Check(
        source=f"{GAYAKWAD}, Ex. 7.7",
        says="centre",
        text=F16,
        exact=447.2136,
        printed="447.2",
        asks=lambda made: made.peak_hz(100, 2000),
    ),
    Check(
        source=f"{GAYAKWAD}, Ex. 7.7",
        says="Q, of centre over distance of the poles",
        text=F16,
        exact=0.559017,
        printed="0.56",
        asks=lambda made: made.peak_hz(100, 2000) / (made.mode(1)[0] - made.mode(0)[0]),
    ),
    *modes(f"{COUGHLIN}, Ex. 11.5", F18, [(1000.0, 1.0), (1000.0, 0)]),
    *levels(f"{COUGHLIN}, Ex. 11.5", F18, {1000: -3.0103, 10e3: -60.0}),
    *modes(f"{COUGHLIN}, Ex. 11.10", F20, [(159.155, 1.0), (159.155, 0)]),
    *levels(f"{COUGHLIN}, Ex. 11.10", F20, {15.91549: -60.0, 159.15494: -3.0103}),
    *modes(f"{FLOYD}, Ex. 15.4", F25, [(2860.0, 0.541126), (2860.0, 1.307190)]),
    Check(
        source=f"{FLOYD}, Ex. 15.7",
        says="Q, printed 33.7",
        text=F26,
        exact=33.6667,
        printed="33.7",
        asks=lambda made: made.mode(0)[1],
    ),
    Check(
        source=f"{FLOYD}, Ex. 15.7",
        says="f0",
        text=F26,
        exact=7234.3156,
        printed="7234",
        asks=lambda made: made.mode(0)[0],
    ),
    Check(
        source=f"{FLOYD}, Ex. 15.7",
        says="bandwidth",
        text=F26,
        exact=214.8807,
        printed="215",
        asks=lambda made: made.mode(0)[0] / made.mode(0)[1],
    ),
    Check(
        source=f"{FLOYD}, Ex. 15.8", says="notch", text=F27, exact=60.28596, printed="60.286", asks=zero_hz
    ),
    Check(source=f"{FLOYD}, Ex. 15.8", says="Q", text=F27, exact=10.0, asks=lambda made: made.mode(0)[1]),
    Check(source=f"{FRANCO}, Ex. 3.14", says="notch", text=F12, exact=60.0, printed="60.00", asks=zero_hz),
    Check(
        source=f"{FRANCO}, Ex. 3.14",
        says="Q",
        text=F12,
        exact=12.0,
        asks=lambda made: max(made.mode(place)[1] for place in range(2)),
    ),
    Check(
        source=f"{FRANCO}, Ex. 3.14",
        says="gain at 57.5 Hz",
        text=F12,
        printed="1.3996",
        asks=lambda made: abs(made.transfer(57.5)),
    ),
    Check(
        source=f"{FRANCO}, Ex. 3.14",
        says="gain at 62.5 Hz",
        text=F12,
        printed="1.3707",
        asks=lambda made: abs(made.transfer(62.5)),
    ),
    Check(
        source=f"{FRANCO}, Ex. 3.14",
        says="dB re K at 57.5 Hz",
        text=F12,
        printed="-2.92",
        asks=lambda made: made.level_db(57.5) - made.level_db(1e-3),
    ),
    Check(
        source=f"{FRANCO}, Ex. 3.14",
        says="gain far below the notch",
        text=F12_PRINTED,
        printed="1.96",
        exact=1.958,
        asks=lambda made: abs(made.transfer(1e-3)),
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_example_comes_out_as_published(check: Check) -> None:
    assert check.misses(check.bench) == []
