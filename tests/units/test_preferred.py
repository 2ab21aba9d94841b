"""IEC 60063 series, against a published reproduction of the lists and their known irregularities."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pedalwright.units.preferred import (
    Series,
    is_member,
    members_between,
    nearest,
    nearest_by_ratio,
    series_of,
    step,
    worst_snap_error,
)

E12_PUBLISHED = "10 12 15 18 22 27 33 39 47 56 68 82"
E24_PUBLISHED = "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91"
E48_PUBLISHED = (
    "100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 287 301 316 332 "
    "348 365 383 402 422 442 464 487 511 536 562 590 619 649 681 715 750 787 825 866 909 953"
)
E96_PUBLISHED = (
    "100 102 105 107 110 113 115 118 121 124 127 130 133 137 140 143 147 150 154 158 162 165 169 174 178 182 "
    "187 191 196 200 205 210 215 221 226 232 237 243 249 255 261 267 274 280 287 294 301 309 316 324 332 340 "
    "348 357 365 374 383 392 402 412 422 432 442 453 464 475 487 499 511 523 536 549 562 576 590 604 619 634 "
    "649 665 681 698 715 732 750 768 787 806 825 845 866 887 909 931 953 976"
)
values = st.floats(1e-13, 1e8)


@pytest.mark.parametrize(
    ("series", "published", "scale"),
    [
        (Series.E3, "10 22 47", 10),
        (Series.E6, "10 15 22 33 47 68", 10),
        (Series.E12, E12_PUBLISHED, 10),
        (Series.E24, E24_PUBLISHED, 10),
        (Series.E48, E48_PUBLISHED, 1),
        (Series.E96, E96_PUBLISHED, 1),
    ],
)
def test_lists_of_iec_60063(series: Series, published: str, scale: int) -> None:
    assert series.members == tuple(int(number) * scale for number in published.split())
    assert len(series.members) == series.value


def test_e192_has_its_one_exception_and_holds_e96() -> None:
    assert len(set(Series.E192.members)) == 192
    assert 920 in Series.E192.members and 919 not in Series.E192.members
    assert set(Series.E96.members) < set(Series.E192.members)


def test_eight_members_of_e24_leave_the_geometric_rule() -> None:
    rule = [round(10 * 10 ** (i / 24)) for i in range(24)]
    pairs = zip((member // 10 for member in Series.E24.members), rule, strict=True)
    leaving = [member for member, by_rule in pairs if member != by_rule]
    assert leaving == [27, 30, 33, 36, 39, 43, 47, 82]


def test_e24_is_mostly_outside_e96_and_e192() -> None:
    def shared(finer: Series) -> list[int]:
        return [member // 10 for member in Series.E24.members if member in finer.members]

    assert shared(Series.E96) == [10, 11, 13, 15, 20, 75]
    assert shared(Series.E192) == [10, 11, 12, 13, 15, 16, 18, 20, 24, 47, 75]


@pytest.mark.parametrize(
    ("series", "percent"),
    [
        ("E3", 37.5), ("E6", 20.0), ("E12", 11.11), ("E24", 7.143), ("E48", 2.594), ("E96", 1.481),
        ("E192", 0.971),
    ],
)  # fmt: skip
def test_worst_snap_error(series: str, percent: float) -> None:
    assert 100 * worst_snap_error(Series[series]) == pytest.approx(percent, abs=6e-3)


@pytest.mark.parametrize(
    ("x", "series", "expected"),
    [
        (15915.494, "E12", 15e3), (15915.494, "E24", 16e3), (15915.494, "E96", 15.8e3),
        (15915.494, "E192", 16e3),
        (11253.95, "E12", 12e3), (11253.95, "E24", 11e3), (11253.95, "E96", 11.3e3), (4774.65, "E24", 4.7e3),
        (4774.65, "E96", 4.75e3), (5968.31, "E12", 5.6e3), (5968.31, "E24", 6.2e3), (5968.31, "E96", 5.9e3),
        (39008.56, "E12", 39e3), (39008.56, "E96", 39.2e3), (1865.8, "E24", 1.8e3), (1865.8, "E96", 1.87e3),
        (4415.0, "E12", 4.7e3), (4415.0, "E24", 4.3e3), (4415.0, "E96", 4.42e3),
        (95492.97, "E24", 91e3),
    ],
)  # fmt: skip
def test_nearest(x: float, series: str, expected: float) -> None:
    assert nearest(x, Series[series]) == expected


def test_difference_and_ratio_can_disagree() -> None:
    assert nearest(95492.97, Series.E24) == 91e3
    assert nearest_by_ratio(95492.97, Series.E24) == 100e3


def test_smallest_series() -> None:
    assert series_of(4.7e-9) is Series.E3
    assert series_of(3300.0) is Series.E6
    assert series_of(910.0) is Series.E24
    assert series_of(4640.0) is Series.E48
    assert series_of(4750.0) is Series.E96
    assert series_of(1010.0) is Series.E192
    assert series_of(1003.0) is None


@given(x=values, series=st.sampled_from(Series))
def test_nearest_is_a_member_and_close(x: float, series: Series) -> None:
    snapped = nearest(x, series)
    assert is_member(snapped, series)
    assert abs(snapped - x) / x <= worst_snap_error(series) * (1 + 1e-9)


@given(x=values, series=st.sampled_from(Series), n=st.integers(1, 60))
def test_steps_go_there_and_back(x: float, series: Series, n: int) -> None:
    start = nearest(x, series)
    up, down = step(start, series, n), step(start, series, -n)
    assert down < start < up
    assert step(up, series, -n) == pytest.approx(start, rel=1e-12)
    assert step(down, series, n) == pytest.approx(start, rel=1e-12)
    assert len(members_between(start, up, series)) == n + 1


@given(x=values, series=st.sampled_from(Series))
def test_the_next_members_enclose(x: float, series: Series) -> None:
    below, above = step(x, series, -1), step(x, series, 1)
    assert below < x < above
    assert len(members_between(below, above, series)) == (3 if is_member(x, series) else 2)


@pytest.mark.parametrize("x", [0.0, -1.0, float("inf"), float("nan")])
def test_no_preferred_number_below_zero(x: float) -> None:
    with pytest.raises(ValueError, match="above zero"):
        nearest(x, Series.E12)
