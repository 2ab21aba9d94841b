"""Tone controls and a record equaliser of the literature, table by table."""

import pytest

from tests.published.bench import Check, given, levels, modes
from tests.published.stages import amplifier, circuit

FRANCO = "Franco, Design with Operational Amplifiers, 3rd ed."
DAFX = "Yeh and Smith, DAFx-06 (passive three-control stack)"


def split(ohms: float, share: float) -> tuple[str, str]:
    """The track below and above the wiper, without the ohm that real tracks keep at their ends."""
    return f"{ohms * share:.9g}R", f"{ohms * (1 - share):.9g}R"


def active(bass: float, treble: float) -> str:
    """Bass and treble around an inverting amplifier; 1 is full boost (wiper at the input's end)."""
    (bass_out, bass_in), (treble_out, treble_in) = split(100e3, bass), split(500e3, treble)
    return circuit(
        amplifier(1),
        "U1.non > gnd",
        "U1.out > OUT",
        f"IN > R1 11k > A > R2 {bass_in} > W > R3 {bass_out} > B > R4 11k > OUT",
        "A > C1 51n > W\nB > C2 51n > W\nW > R5 11k > U1.inv",
        f"IN > R6 3.6k > R7 {treble_in} > V > R8 {treble_out} > R9 3.6k > OUT",
        "V > C3 5.1n > U1.inv",
    )


UNLOADED = active(0.5, 1).replace("500000R", "5G")
"""The book's limit of the treble leaves the far half of its track out."""
ACTIVE_HZ = (20, 30, 100, 300, 1e3, 3e3, 10e3, 20e3)
ACTIVE_DB = {
    (0.5, 0.5): (0, 0, 0, 0, 0, 0, 0, 0),
    (1, 0.5): (18.3081, 16.8032, 9.1796, 2.6629, 0.3162, 0.0362, 0.0033, 0.0008),
    (0.5, 1): (0.0909, 0.1818, 0.6914, 1.2452, 4.0426, 10.7280, 17.3981, 18.9273),
    (1, 1): (18.5958, 17.2645, 9.9199, 3.1508, 3.5895, 10.6111, 17.3845, 18.9236),
}
BASS_KNOB = circuit(
    "knob BASS 100k linear at 10",
    amplifier(1),
    "U1.non > gnd",
    "U1.out > OUT",
    "IN > R1 11k > BASS.3\nBASS.1 > R4 11k > OUT\nBASS.3 > C1 51n > BASS.2\nBASS.1 > C2 51n > BASS.2",
    "BASS.2 > R5 11k > U1.inv",
)


def stack(treble: float, middle: float, bass: float) -> str:
    """Treble wiper is the output; the middle wiper is driven by its own capacitor."""
    (t_low, t_high), (m_low, m_high) = split(250e3, treble), split(25e3, middle)
    return (
        "input IN 1m 1V\n"
        + "\n".join(
            [
                f"IN > C1 250p > R1 {t_high} > OUT > R2 {t_low} > B",
                f"IN > R3 56k > S > C2 20n > B > R4 {bass * 1e6:.9g}R > M",
                f"M > R5 {m_high} > W > R6 {m_low} > gnd",
                "S > C3 20n > W",
            ]
        )
        + "\n"
    )


STACK_HZ = (20, 80, 300, 500, 1e3, 3e3, 10e3)
STACK_DB = {
    (0.5, 0.5, 0.5): (-2.4638, -2.2325, -8.4511, -11.5125, -11.7494, -6.5741, -4.5920),
    (1, 0, 0): (-23.3369, -15.1092, -13.9711, -14.1744, -10.4769, -2.7544, -0.3170),
    (0, 1, 0): (-18.6285, -11.5486, -10.2568, -10.1499, -9.9842, -9.4389, -9.0897),
    (0, 0, 1): (-1.0909, -1.6176, -7.4899, -11.2343, -16.5597, -24.4258, -33.8847),
    (1, 1, 1): (-0.9483, -2.1328, -7.9442, -9.0530, -7.0907, -2.0464, -0.2360),
    (0.8, 0.2, 0.6): (-2.0246, -2.0735, -9.3815, -14.8478, -12.8005, -4.3858, -2.0281),
}

RECORD = circuit(
    amplifier(1),
    "IN > U1.non",
    "U1.out > OUT",
    "OUT > R2 316k || C2 10n > X > R3 28k || C3 2.7n > U1.inv > R1 340 > gnd",
)
RECORD_DB = {20: 19.006, 50: 16.700, 100: 12.868, 500: 2.570, 2122: -2.846, 10e3: -13.723, 20e3: -19.584}
STANDARD_DB = {20: 19.274, 50: 16.946, 100: 13.088, 500: 2.648, 2122: -2.866, 10e3: -13.734, 20e3: -19.620}
"""the time constants 3180, 318 and 75 us exactly"""


def table(source: str, text: str, hertz: tuple[float, ...], decibels: tuple[float, ...]) -> list[Check]:
    return levels(source, text, dict(zip(hertz, decibels, strict=True)))


CHECKS = [
    *(
        check
        for (bass, treble), db in ACTIVE_DB.items()
        for check in table(
            f"{FRANCO}, Ex. 3.7, bass {bass}, treble {treble}", active(bass, treble), ACTIVE_HZ, db
        )
    ),
    *(
        check
        for (bass, treble), db in ACTIVE_DB.items()
        for check in table(
            f"{FRANCO}, Ex. 3.7, bass {1 - bass}, treble {1 - treble}",
            active(1 - bass, 1 - treble),
            ACTIVE_HZ,
            tuple(-x for x in db),
        )
    ),
    Check(
        source=f"{FRANCO}, Ex. 3.7",
        says="bass limit",
        text=active(1, 0.5),
        exact=20.0786,
        within=0.0005,
        asks=lambda made: made.level_db(1e-3),
    ),
    Check(
        source=f"{FRANCO}, Ex. 3.7",
        says="treble limit",
        text=UNLOADED,
        exact=20.1436,
        within=0.0005,
        asks=lambda made: made.level_db(1e8),
    ),
    # A knob keeps an ohm at its end, which costs 0.0008 dB of boost.
    Check(
        source=f"{FRANCO}, Ex. 3.7, with a knob",
        says="bass limit",
        text=BASS_KNOB,
        exact=20.0786,
        within=0.002,
        asks=lambda made: made.level_db(1e-3),
    ),
    *(
        check
        for setting, db in STACK_DB.items()
        for check in table(f"{DAFX}, treble, middle, bass {setting}", stack(*setting), STACK_HZ, db)
    ),
    *levels(f"{FRANCO}, Ex. 3.6", RECORD, {1e3: 40.475}),
    *(
        check
        for f, db in RECORD_DB.items()
        for check in levels(f"{FRANCO}, Ex. 3.6, over 1 kHz", RECORD, {f: db}, over_db=40.47499)
    ),
    # The example's standard parts stay within 0.3 dB of the curve they are meant for.
    *(
        Check(
            source="record equalisation, 3180/318/75 us",
            says=f"deviation at {f:g} Hz",
            text=RECORD,
            exact=db,
            within=0.3,
            asks=given(f, lambda made, f: made.level_db(f) - made.level_db(1e3)),
        )
        for f, db in STANDARD_DB.items()
    ),
    *modes(f"{FRANCO}, Ex. 3.6", RECORD, [(50.3655, 0), (2105.22, 0)]),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_tone_network_has_the_published_response(check: Check) -> None:
    assert check.misses(check.bench) == []
