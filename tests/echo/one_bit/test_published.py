"""What is published about the sound of the chip, and what the manual prints of it.

Sources, by the words in the table: the maker's data sheet, Echo Processor IC, V1.6, February 2010 (*data
sheet*); measurements of one unit with six sets of capacitors, August 2021 (*capacitor study*); measurements
on a tempo module, June 2025 (*tempo module*), both on one builder's pages. The bounds are what the model
reached with the constants fixed beforehand: they guard against drift, and the manual tells the misfits.
"""

import pytest

from tests.echo.one_bit.measuring import a_weight
from tests.echo.one_bit.published import CHECKS, Published, alike, printed

IDS = [check.what for check in CHECKS]


@pytest.mark.parametrize("check", CHECKS, ids=IDS)
def test_published_figure(check: Published) -> None:
    ours = check.measure()
    assert check.holds(ours), f"{ours:.4g} {check.unit} against {check.value} published"
    assert alike(ours, printed()[check.what], check.steady, in_db=check.in_db), "the manual's table is stale"


def test_the_manual_prints_every_row() -> None:
    assert list(printed()) == IDS


@pytest.mark.parametrize(
    ("frequency_hz", "weight_db"),
    [(31.623, -39.4), (100.0, -19.1), (1000.0, 0.0), (2511.886, 1.3), (10_000.0, -2.5), (19_952.623, -9.3)],
)
def test_the_weighting_of_the_noise_is_the_standard_one(frequency_hz: float, weight_db: float) -> None:
    """IEC 61672-1, table of A-weighting, to the 0.1 dB it prints."""
    assert alike(20 * float(a_weight(frequency_hz)) ** 0.5, 20 * 10 ** (weight_db / 40), 1.006, in_db=False)
