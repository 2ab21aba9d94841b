"""The words beside the supply socket."""

import pytest

from pedalwright.analysis.power import budget
from pedalwright.analysis.power.label import stated_polarity
from tests.analysis.power.circuits_by_hand import analysis


def label_of(ohms: float, note: str = "") -> str:
    found = budget(analysis(f"{note}supply V 9V wall 9V..9.0001V\nV > R1 {ohms} > gnd\n"))
    assert found.adaptor is not None
    return found.adaptor.label


@pytest.mark.parametrize(
    ("ohms", "size"), [(9000, "100 mA"), (150, "100 mA"), (130, "200 mA"), (46, "300 mA"), (20, "1 A")]
)
def test_the_label_names_the_smallest_size_with_half_as_much_again(ohms: float, size: str) -> None:
    assert label_of(ohms) == f"9 V DC, centre negative, at least {size}"


def test_beyond_every_size_the_need_itself_is_named() -> None:
    found = budget(analysis("supply V 9V wall 9V..9.0001V\nV > R1 2 > gnd\n")).adaptor
    assert found is not None and found.standard_a is None and found.margin is None
    assert found.label.endswith("at least 6.75 A")


def test_the_margin_is_the_size_over_the_most_drawn() -> None:
    found = budget(analysis("supply V 9V wall 9V..9.0001V\nV > R1 450 > gnd\n")).adaptor
    assert found is not None
    assert found.margin == pytest.approx(5.0, rel=1e-3)
    assert found.needed_a == pytest.approx(30e-3, rel=1e-3)


def test_the_text_decides_on_the_polarity() -> None:
    assert "centre positive" in label_of(1000, "# 9 V, center-positive plug!\n")
    found = budget(analysis("# tip negative\nsupply V 9V wall\nV > R1 1k > gnd\n")).adaptor
    assert found is not None and found.polarity_stated and found.polarity == "centre negative"
    assert stated_polarity("nothing of the sort") == ""
