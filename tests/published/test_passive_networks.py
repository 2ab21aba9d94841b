"""RC, twin-T, Wien, bridged-T and phase-shift networks against their closed forms and books."""

import cmath
import math

import pytest

from pedalwright.solve.poles import zeros
from pedalwright.solve.response import Drive
from tests.published.bench import Bench, Check, given, levels, modes
from tests.published.stages import amplifier, circuit, follower, gain_from

SOURCE = "input IN 1m 1V\n"
GAYAKWAD = "Gayakwad, Op-Amps and Linear Integrated Circuits"
COUGHLIN = "Coughlin and Driscoll, Operational Amplifiers"
FLOYD = "Floyd, Electronic Devices"
BOYLESTAD = "Boylestad and Nashelsky, Electronic Devices and Circuit Theory"
CLOSED = "closed form"


def passive(*lines: str) -> str:
    return SOURCE + "\n".join(lines) + "\n"


def low(r: str, c: str) -> str:
    return passive(f"IN > R1 {r} > OUT > C1 {c} > gnd")


def high(r: str, c: str) -> str:
    return passive(f"IN > C1 {c} > OUT > R1 {r} > gnd")


def corner(source: str, text: str, hertz: float, printed: str = "", unit: float = 1.0) -> Check:
    """The only pole of a network, in hertz; `printed` in the book's unit."""
    return Check(
        source=source,
        says=f"corner {hertz:g} Hz",
        text=text,
        exact=hertz / unit,
        printed=printed,
        asks=lambda made: made.mode(0)[0] / unit,
    )


def gain(source: str, text: str, hertz: float, exact: float, rel: float = 1e-4) -> Check:
    """The magnitude at one frequency."""
    return Check(
        source=source,
        says=f"gain at {hertz:g} Hz",
        text=text,
        exact=exact,
        rel=rel,
        asks=lambda made: abs(made.transfer(hertz)),
    )


def phase(source: str, text: str, hertz: float, degrees: float) -> Check:
    return Check(
        source=source,
        says=f"phase at {hertz:g} Hz",
        text=text,
        exact=degrees,
        asks=lambda made: made.phase_deg(hertz),
    )


def needed(source: str, text: str, hertz: float, gain_needed: float) -> list[Check]:
    """An oscillator's network turns by 0 or 180 degrees at its frequency, and needs this gain around it."""
    return [
        Check(
            source=source,
            says="gain needed",
            text=text,
            exact=gain_needed,
            asks=lambda made: (1 / made.transfer(hertz)).real,
        ),
        Check(
            source=source,
            says="nothing left out of phase",
            text=text,
            exact=0.0,
            within=1e-4,
            asks=lambda made: math.sin(cmath.phase(made.transfer(hertz))),
        ),
    ]


def zero_hz(made: Bench) -> float:
    found = zeros(made.small, Drive(source="input"), "OUT").finite
    return float(max(abs(z.imag) for z in found)) / (2 * math.pi)


F0 = 1591.549431
RELATIVE = {
    0.1: (-0.04321, -5.7106),
    0.5: (-0.96910, -26.5651),
    1: (-3.01030, -45.0),
    2: (-6.98970, -63.4349),
    10: (-20.04321, -84.2894),
}
LOW, HIGH = low("10k", "10n"), high("10k", "10n")
CORNERS = {
    ("1k", "100n"): 1591.549,
    ("10k", "1n"): 15915.494,
    ("22k", "1n"): 7234.316,
    ("1M", "22n"): 7.234316,
    ("100k", "0.1u"): 15.915494,
    ("4.7k", "10n"): 3386.275,
    ("10k", "15n"): 1061.033,
    ("1M", "10n"): 15.915494,
    ("2.2k", "10n"): 7234.316,
    ("100", "100u"): 15.9155,
    ("47", "47u"): 72.048,
    ("5k", "47u"): 0.677255,
}
BIAS = passive("IN > C1 10u > OUT > R1 10k > gnd", "OUT > R2 10k > gnd")
TWO = passive("IN > R1 10k > A > R2 10k > OUT > C2 10n > gnd", "A > C1 10n > gnd")


def buffered(count: int) -> str:
    """Equal low-passes of 10k and 10n behind followers."""
    nets = ["IN", *(f"A{n}" for n in range(1, count)), "OUT"]
    return circuit(
        *(
            f"{nets[n - 1]} > R{n} 10k > X{n} > C{n} 10n > gnd\n{follower(n, f'X{n}', nets[n])}"
            for n in range(1, count + 1)
        )
    )


def twin_t(r: str, half_r: str, c: str, double_c: str) -> str:
    return passive(
        f"IN > R1 {r} > X > R2 {r} > OUT",
        f"X > C3 {double_c} > gnd",
        f"IN > C1 {c} > Y > C2 {c} > OUT",
        f"Y > R3 {half_r} > gnd",
    )


TWIN = twin_t("10k", "5k", "10n", "20n")
OFF_TWIN = twin_t("10k", "5.05k", "10n", "20n")
MAINS = twin_t("39008.56", "19504.28", "68n", "136n")
WIEN = passive("IN > R1 10k > X > C1 10n > OUT", "OUT > R2 10k || C2 10n > gnd")
BRIDGED = passive("IN > C1 10n > X > C2 10n > OUT", "X > R1 1k > gnd", "IN > R2 100k > OUT")
B0 = 1591.549431


def wien(r: str, c: str, r1: str, rf: str) -> str:
    """The Wien divider and its amplifier, opened at the divider's input."""
    return circuit(
        amplifier(1),
        f"IN > R1 {r} > X > C1 {c} > P > R2 {r} || C2 {c} > gnd",
        "P > U1.non",
        gain_from(1, "OUT", (r1, rf)),
    )


def cr_ladder(count: int, r: str, c: str) -> str:
    nets = ["IN", *(f"A{n}" for n in range(1, count)), "OUT"]
    return passive(*(f"{nets[n - 1]} > C{n} {c} > {nets[n]} > R{n} {r} > gnd" for n in range(1, count + 1)))


CR3, CR4 = cr_ladder(3, "10k", "1n"), cr_ladder(4, "10k", "10n")
CR3_SLOW = cr_ladder(3, "3.3k", "0.1u")
RC3 = passive(
    "IN > R1 10k > A > R2 10k > B > R3 10k > OUT > C3 10n > gnd", "A > C1 10n > gnd", "B > C2 10n > gnd"
)
CR3_BUFFERED = circuit(
    *(
        f"{a} > C{n} 10n > X{n} > R{n} 10k > gnd\n{follower(n, f'X{n}', b)}"
        for n, a, b in ((1, "IN", "A"), (2, "A", "B"), (3, "B", "OUT"))
    )
)

CHECKS = [
    *(
        check
        for ratio, (db, deg) in RELATIVE.items()
        for check in (
            *levels(f"{CLOSED}, RC low-pass", LOW, {F0 * ratio: db}),
            phase(f"{CLOSED}, RC low-pass", LOW, F0 * ratio, deg),
            *levels(f"{CLOSED}, CR high-pass", HIGH, {F0 / ratio: db}),
            phase(f"{CLOSED}, CR high-pass", HIGH, F0 * ratio, 90 + deg),
        )
    ),
    *(corner(f"{CLOSED}, corner", low(r, c), hertz) for (r, c), hertz in CORNERS.items()),
    corner(f"{CLOSED}, two equal bias resistors", BIAS, 3.18310),
    corner(f"{COUGHLIN}, Ex. 11.1", low("10k", "1n"), 15915.494, "15.92", 1e3),
    corner(f"{COUGHLIN}, Ex. 11.2", low("15915.494", "5n"), 2000.0),
    corner(f"{GAYAKWAD}, Ex. 7.1", low("15.9k", "10n"), 1000.975, "1.00", 1e3),
    *modes(f"{CLOSED}, two equal RC in a row", TWO, [(607.918, 0), (4166.731, 0)]),
    Check(
        source=f"{CLOSED}, two equal RC in a row",
        says="corner",
        text=TWO,
        exact=595.620,
        asks=lambda made: made.corner_hz(100, 5000, 0.0),
    ),
    *(
        Check(
            source=f"{CLOSED}, {count} buffered RC",
            says="corner",
            text=buffered(count),
            exact=hertz,
            asks=lambda made: made.corner_hz(100, 5000, 0.0),
        )
        for count, hertz in ((2, 1024.312), (3, 811.411))
    ),
    *(
        gain(f"{CLOSED}, twin-T", TWIN, F0 * ratio, size, 2e-5 / size)
        for ratio, size in {
            0.1: 0.927179,
            0.5: 0.351123,
            0.9: 0.052704,
            1.1: 0.047673,
            2: 0.351123,
            10: 0.927179,
        }.items()
    ),
    *(
        Check(
            source=f"{CLOSED}, twin-T",
            says=f"edge {place + 1}",
            text=TWIN,
            exact=ratio,
            asks=given(place, lambda made, place: made.corner_hz(100, 30e3, 0.0, place) / F0),
        )
        for place, ratio in enumerate((0.236068, 4.236068))
    ),
    *levels(f"{CLOSED}, twin-T with 1 % too much in the shunt", OFF_TWIN, {F0: -55.084}),
    Check(source=f"{GAYAKWAD}, Ex. 7.10 (39.01k)", says="notch", text=MAINS, exact=60.0, asks=zero_hz),
    *(
        gain(f"{CLOSED}, Wien divider", WIEN, F0 * ratio, size)
        for ratio, size in {
            1: 1 / 3,
            0.5: 0.298142,
            2: 0.298142,
            0.1: 0.0966691,
            10: 0.0966691,
        }.items()
    ),
    phase(f"{CLOSED}, Wien divider", WIEN, F0 / 2, 26.5651),
    phase(f"{CLOSED}, Wien divider", WIEN, F0 * 2, -26.5651),
    phase(f"{CLOSED}, Wien divider", WIEN, F0 / 10, 73.1416),
    phase(f"{CLOSED}, Wien divider", WIEN, F0 * 10, -73.1416),
    *needed(f"{CLOSED}, Wien divider", WIEN, F0, 3.0),
    *levels(
        f"{CLOSED}, bridged-T", BRIDGED, {B0: -34.1514, B0 / 2: -16.6666, B0 * 2: -16.6666, B0 / 10: -3.1401}
    ),
    *needed(f"{FLOYD}, Ex. 16.1: round the loop", wien("10k", "10n", "10k", "20k"), 1591.55, 1.0),
    *needed(f"{GAYAKWAD}, Ex. 7.13: round the loop", wien("3.3k", "0.05u", "12k", "24k"), 964.575, 1.0),
    # Printed 3122.27 with pi taken as 3.14.
    *needed(f"{BOYLESTAD}, Ex. 14.8: round the loop", wien("51k", "1n", "10k", "20k"), 3120.69, 1.0),
    *needed(f"{FLOYD}, Ex. 16.2 (290k over 10k)", CR3, 6497.47, -29.0),
    *needed(f"{GAYAKWAD}, Ex. 7.12 (957k over 33k; 200 Hz by its rounding)", CR3_SLOW, 196.893, -29.0),
    *needed(f"{CLOSED}, three RC to ground", RC3, 3898.484, -29.0),
    *needed(f"{CLOSED}, three buffered CR", CR3_BUFFERED, F0 / math.sqrt(3), -8.0),
    *needed(f"{CLOSED}, four CR", CR4, 0.836660 * F0, -18.3878),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_network_follows_its_closed_form(check: Check) -> None:
    assert check.misses(check.bench) == []
