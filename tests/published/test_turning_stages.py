"""All-passes, phasers and a gyrator, with ideal amplifiers: stages that turn phase or impedance round."""

import math

import pytest

from pedalwright.solve.poles import zeros
from pedalwright.solve.response import Drive
from tests.published.bench import Bench, Check, given
from tests.published.stages import amplifier, circuit

COUGHLIN = "Coughlin and Driscoll, Operational Amplifiers"
GAYAKWAD = "Gayakwad, Op-Amps and Linear Integrated Circuits"
CLOSED = "closed form"


def all_pass(r: str, c: str) -> str:
    """H = (1 - sRC)/(1 + sRC)."""
    return circuit(
        amplifier(1),
        "IN > R1 10k > U1.inv > R2 10k > OUT",
        f"IN > R3 {r} > U1.non > C1 {c} > gnd",
        "U1.out > OUT",
    )


def phaser(count: int) -> str:
    """All-passes of 10k and 10n in a row, then dry and wet in equal parts (inverted alike by the summer)."""
    nets = ["IN", *(f"A{n}" for n in range(1, count + 1))]
    stages = (
        f"{amplifier(n)}\nU{n}.out > {nets[n]}\n"
        f"{nets[n - 1]} > R{n}1 10k > U{n}.inv > R{n}2 10k > {nets[n]}\n"
        f"{nets[n - 1]} > R{n}3 10k > U{n}.non > C{n}1 10n > gnd"
        for n in range(1, count + 1)
    )
    mixer = f"{amplifier(9)}\nIN > R91 10k > U9.inv\n{nets[-1]} > R92 10k > U9.inv > R93 10k > OUT"
    return circuit(*stages, mixer, "U9.out > OUT\nU9.non > gnd")


F0 = 1591.549431


def notch(count: int, place: int) -> float:
    """The notches of the mix, over f0, from the published tangent."""
    return math.tan((2 * place + 1) * math.pi / (2 * count))


def notch_of(made: Bench, place: int) -> float:
    found = zeros(made.small, Drive(source="input"), "OUT").finite
    return float(sorted(z.imag for z in found if z.imag > 0)[place]) / (2 * math.pi * F0)


GYRATOR = circuit(amplifier(1), "A > C1 10n > U1.non > R1 100k > gnd", "A > R2 1k > U1.inv\nU1.inv > U1.out")

CHECKS = [
    Check(
        source=f"{GAYAKWAD}, Ex. 7.11",
        says="phase",
        text=all_pass("15.9k", "10n"),
        exact=-89.9442,
        printed="-90",
        asks=lambda made: made.phase_deg(1e3),
    ),
    Check(
        source=f"{COUGHLIN}, Ex. 5.14",
        says="phase",
        text=all_pass("100k", "10n"),
        exact=161.9139,
        printed="162",
        asks=lambda made: -made.phase_deg(1e3),
    ),
    Check(
        source=f"{COUGHLIN}, Ex. 5.13",
        says="phase",
        text=all_pass("15915.49", "10n"),
        exact=-90.0,
        asks=lambda made: made.phase_deg(1e3),
    ),
    Check(
        source=f"{COUGHLIN}, Ex. 5.13",
        says="level everywhere",
        text=all_pass("15915.49", "10n"),
        exact=0.0,
        within=1e-6,
        asks=lambda made: max(abs(made.level_db(f)) for f in (10, 1e3, 1e5)),
    ),
    *(
        Check(
            source="notches of a row of all-passes with the dry sound",
            says=f"{count} stages, notch {place + 1}",
            text=phaser(count),
            exact=notch(count, place),
            asks=given(place, notch_of),
        )
        for count in (2, 4, 6, 8)
        for place in range(count // 2)
    ),
    *(
        Check(
            source=f"{CLOSED}, gyrator",
            says=f"{part} of ohms at {hertz:g} Hz",
            text=GYRATOR,
            exact=exact,
            asks=given((hertz, part), lambda made, at: float(getattr(made.ohms(at[0], "A"), at[1]))),
        )
        for hertz, ohms in (
            (100, 1003.908 + 622.011j),
            (1e3, 1389.299 + 6195.893j),
            (10e3, 29021.3 + 44597.2j),
        )
        for part, exact in (("real", ohms.real), ("imag", ohms.imag))
    ),
    Check(
        source=f"{CLOSED}, gyrator",
        says="inductance",
        text=GYRATOR,
        exact=0.990,
        printed="0.990",
        asks=lambda made: made.ohms(1.0, "A").imag / (2 * math.pi),
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_stage_turns_as_published(check: Check) -> None:
    assert check.misses(check.bench) == []


def test_the_tangent_gives_the_tabulated_notches() -> None:
    table = {
        2: (1.0,),
        4: (0.414214, 2.414214),
        6: (0.267949, 1.0, 3.732051),
        8: (0.198912, 0.668179, 1.496606, 5.027339),
    }
    for count, expected in table.items():
        assert [notch(count, place) for place in range(count // 2)] == pytest.approx(expected, abs=1e-6)
