"""Knobs against measured tracks and the makers' law.

Holmes and van Walstijn, DAFx-19, and its data files: six measured 100k parts, 21 readings over 300 degrees,
and the makers' break-points of the audio law. The knob is asked through the solver, as a divider of one volt.
"""

import pytest

from tests.published.bench import Check

HOLMES = "Holmes and van Walstijn, DAFx-19"

# (total, at a quarter, at half, at three quarters of the turn), ohms
MEASURED = {
    "audio": ((98200, 5129, 16500, 62090), (83410, 2782, 13501, 45530), (100490, 3090, 15156, 58290)),
    "linear": ((99290, 27490, 54040, 80010), (93670, 24160, 48360, 73660), (94940, 20960, 47140, 73360)),
}
BANDS = {"audio": (0.021, 0.015, 0.12), "linear": (0.045, 0.05, 0.06)}
"""How far one part may lie from the law, as a share of its track: they differ among themselves by as much."""
MAKERS_15 = {0.05: 0.003, 0.30: 0.063, 0.51: 0.162, 0.70: 0.410, 0.92: 0.958, 0.97: 1.000, 0.5: 0.157}


def divider(law: str, setting: float, ohms: str = "100k") -> str:
    return (
        f"supply V 1V wall\nknob LEVEL {ohms} {law} at {setting:g}\n"
        "V > LEVEL.3\nLEVEL.1 > gnd\nLEVEL.2 > A > R1 10G > gnd\n"
    )


def share(source: str, law: str, setting: float, exact: float, within: float) -> Check:
    return Check(
        source=source,
        says=f"{law} at {setting:g}",
        text=divider(law, setting),
        exact=exact,
        within=within,
        asks=lambda made: made.volts("A"),
    )


LOADED = "supply V 1V wall\nknob P 10k linear at 5\nV > P.3\nP.1 > gnd\nP.2 > A > R1 10k > gnd\n"

CHECKS = [
    *(
        share(f"{HOLMES}, {law} part {number}", law, setting, ohms / total, band)
        for law, parts in MEASURED.items()
        for number, (total, *readings) in enumerate(parts, 1)
        for setting, ohms, band in zip((2.5, 5.0, 7.5), readings, BANDS[law], strict=True)
    ),
    # Three printed decimals, and an ohm at each end of 100k.
    *(share(f"{HOLMES}, makers' law 15A", "audio", 10 * turn, y, 1e-3) for turn, y in MAKERS_15.items()),
    *(
        share("audio seen from the other end (from memory)", "reverse-audio", 10 - 10 * turn, 1 - y, 1e-3)
        for turn, y in MAKERS_15.items()
    ),
    share("linear law", "linear", 2.5, 0.25, 1e-5),
    share(f"{HOLMES}: 1.0 to 1.2 ohms are left at the end", "audio", 0.0, 1.1 / 100e3, 0.2 / 100e3),
    Check(
        source="a track at half turn loaded by its own resistance",
        says="share",
        text=LOADED,
        exact=0.4,
        asks=lambda made: made.volts("A"),
    ),
]


@pytest.mark.parametrize("check", CHECKS, ids=str)
def test_the_track_lies_in_its_band(check: Check) -> None:
    assert check.misses(check.bench) == []
