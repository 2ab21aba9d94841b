"""The manual's page on wants lists every quantity as the program knows it."""

from pathlib import Path

from pedalwright.analysis.wants import wanted_quantities

PAGE = Path(__file__).parents[3] / "docs" / "wants.md"


def test_the_page_lists_every_quantity_with_what_it_is() -> None:
    lines = PAGE.read_text(encoding="utf-8").splitlines()
    rows = [line.split(" | ") for line in lines if line.startswith("| `")]
    told = {name.strip("| `"): says for name, says, *_ in rows}
    assert told == {name: one.says for name, one in wanted_quantities().items()}
