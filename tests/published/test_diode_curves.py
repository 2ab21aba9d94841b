"""Diodes against the published closed form and the published limiter, every card written out.

Junction current and resistor: I = (n Vt/R) W((Is R/(n Vt)) exp((V + Is R)/(n Vt))) - Is, T. C. Banwell and
A. Jayakumar, Electronics Letters 36(4), 291-292, 2000. Cards are those in circulation, not data-sheet values.
"""

import pytest

from tests.published.bench import BOLTZMANN, CHARGE, Check

BANWELL = "Banwell and Jayakumar, Electronics Letters 36(4), 2000"
YEH = "Yeh, Abel and Smith, DAFx-07, diode limiter"

CARD_T, WARM_T = 300.15, 298.15
SMALL = "saturation=2.52nA, emission=1.752, series=0.568"
SMALL_OTHER = "saturation=4.352nA, emission=1.906, series=0.6458"
POWER = "saturation=14.11nA, emission=1.984, series=33.89m"
SCHOTTKY = "saturation=31.7uA, emission=1.373, series=51m"
TEXTBOOK = "saturation=1e-14A, emission=1, series=0"
JUNCTION_2N2222 = "saturation=25fA, emission=1, series=0.3"


def fed(volts: str, ohms: str, card: str) -> str:
    return f"supply V {volts} wall\nV > R1 {ohms} > A > D1 1N4148 ({card}) > gnd\n"


# (card, supply, resistor, mA, terminal voltage)
FED = [
    (SMALL, "1V", "1k", 0.451596, 0.548404),
    (SMALL, "5V", "1k", 4.346772, 0.653228),
    (SMALL, "9V", "1k", 8.315124, 0.684876),
    (SMALL, "9V", "10k", 0.842313, 0.576874),
    (SMALL, "4.5V", "100k", 0.040610, 0.439019),
    (SMALL_OTHER, "9V", "1k", 8.281847, 0.718153),
    (POWER, "9V", "1k", 8.317880, 0.682120),
    (SCHOTTKY, "9V", "1k", 8.799625, 0.200375),
    (TEXTBOOK, "5V", "1k", 4.307112, 0.692888),
]
FORWARD = {
    1e-6: 0.27126,
    10e-6: 0.37550,
    100e-6: 0.47989,
    1e-3: 0.58474,
    5e-3: 0.65994,
    10e-3: 0.69419,
    100e-3: 0.84966,
}
"""amperes: volts of the first card; fed here through the resistor that drops ten volts"""
POLARITY = [
    (POWER, 10e-3, 0.6916),
    (POWER, 100e-3, 0.8128),
    (SCHOTTKY, 10e-3, 0.2050),
    (SCHOTTKY, 100e-3, 0.2912),
]
"""series diodes of a supply, four decimals"""
THROUGH_2N2222 = {
    0.6: (0.345373, 0.306654, 0.175072, 0.0498298),
    0.7: (14.3717, 3.76194, 0.787053, 0.125977),
    1.0: (683.612, 27.8909, 3.40303, 0.396442),
}
"""volts: mA through 0, 10, 100 and 1000 ohms more"""

LIMITER_T = 0.0453 * CHARGE / BOLTZMANN / 1.752
"""the temperature at which the paper's 45.3 mV is 1.752 kT/q"""
LIMITED = {
    0.1: 0.099950254,
    0.2: 0.199546243,
    0.3: 0.296169777,
    0.5: 0.428654543,
    0.7: 0.479723495,
    1: 0.515436430,
    2: 0.564629058,
    3: 0.588138647,
    4.5: 0.609794905,
    5: 0.615216337,
    9: 0.644425263,
    10: 0.649521448,
}


def limiter(volts: float) -> str:
    card = "saturation=2.52nA, emission=1.752, series=0"
    return (
        f"supply V {volts}V wall\nV > R1 2.2k > A > C1 10n > gnd\n"
        f"A > D1 1N4148 ({card}) > gnd\ngnd > D2 1N4148 ({card}) > A\n"
    )


def drop(card: str, amps: float, volts: float) -> str:
    return fed(f"{10 + volts:.9g}V", f"{10 / amps:.9g}", card)


def checks_fed(card: str, supply: str, ohms: str, milliamps: float, volts: float) -> list[Check]:
    source, text = f"{BANWELL}, {supply} through {ohms}, {card}", fed(supply, ohms, card)
    return [
        Check(
            source=source,
            says="volts",
            text=text,
            exact=volts,
            within=1e-6,
            asks=lambda made: made.volts("A"),
        ),
        Check(
            source=source,
            says="mA",
            text=text,
            exact=milliamps,
            within=max(1e-6, 1e-5 * milliamps),
            asks=lambda made: 1e3 * made.amperes("D1"),
        ),
    ]


CHECKS = [
    *(check for row in FED for check in checks_fed(*row)),
    *(
        Check(
            source=f"{BANWELL}, first card",
            says=f"forward voltage at {amps:g} A",
            text=drop(SMALL, amps, volts),
            exact=volts,
            within=1e-5,
            asks=lambda made: made.volts("A"),
        )
        for amps, volts in FORWARD.items()
    ),
    *(
        Check(
            source=f"{BANWELL}, {card}",
            says=f"series drop at {amps:g} A",
            text=drop(card, amps, volts),
            exact=volts,
            within=1e-4,
            asks=lambda made: made.volts("A"),
        )
        for card, amps, volts in POLARITY
    ),
    *(
        Check(
            source=f"{BANWELL}, 2N2222 as a diode",
            says=f"mA at {volts} V through {ohms} ohms",
            temperature_k=WARM_T,
            text=fed(f"{volts}V", f"{ohms}R", JUNCTION_2N2222),
            exact=milliamps,
            asks=lambda made: 1e3 * made.amperes("D1"),
        )
        for volts, row in THROUGH_2N2222.items()
        for ohms, milliamps in zip((0, 10, 100, 1000), row, strict=True)
    ),
    *(
        Check(
            source=f"{YEH}, static",
            says=f"{sign * volts} V in",
            text=limiter(sign * volts),
            exact=sign * limited,
            within=1e-8,
            temperature_k=LIMITER_T,
            asks=lambda made: made.volts("A"),
        )
        for volts, limited in LIMITED.items()
        for sign in (1, -1)
    ),
    Check(
        source=f"{YEH}",
        says="resistance of the resting pair",
        text=limiter(1e-9),
        exact=8.98810e6,
        temperature_k=LIMITER_T,
        asks=lambda made: 1 / (made.small.parameter("D1/gd") + made.small.parameter("D2/gd")),
    ),
    # The pair's 9 Mohm across the capacitor add a quarter of a part in a thousand to the RC corner.
    Check(
        source=f"{YEH}",
        says="linear corner",
        text=limiter(1e-9),
        exact=7234.316 * (1 + 2200 / 8.98810e6),
        temperature_k=LIMITER_T,
        asks=lambda made: made.mode(0)[0],
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_diode_follows_the_closed_form(check: Check) -> None:
    assert check.misses(check.bench) == []
