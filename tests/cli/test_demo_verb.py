"""The verb `demo`: files in a folder, the same on every run."""

from pathlib import Path

import pytest

from pedalwright import circuits
from pedalwright.cli.main import main
from tests.report.pages import assert_sound


@pytest.mark.slow
def test_every_circuit_in_every_form_and_the_same_twice(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    statuses = [main(["demo", str(tmp_path / name)]) for name in ("one", "two")]
    said = capsys.readouterr()
    assert statuses[0] == statuses[1]
    assert statuses[0] in (0, 1)
    assert said.err == ""
    endings = (".html", ".md", ".json", "-schematic.svg", "-review.html")
    wanted = {f"{name}{ending}" for name in circuits.names() for ending in endings} | {"lantern-echo.pdf"}
    written = {path.name for path in (tmp_path / "one").iterdir()}
    assert written == wanted | {"index.html"}
    for name in written:
        assert (tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes(), name
    index = assert_sound((tmp_path / "one" / "index.html").read_text(encoding="utf-8"))
    links = {link.attributes["href"] for link in index.all("a")}
    pages = (".html", "-schematic.svg", "-review.html")
    beside = {f"{name}{ending}" for name in circuits.names() for ending in pages}
    assert links == beside | {"lantern-echo.pdf"}
    assert circuits.title("lantern-echo") in said.out


def test_a_file_in_the_place_of_the_folder(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "demo"
    path.write_text("mine", encoding="utf-8")
    assert main(["demo", str(path)]) == 2
    assert str(path) in capsys.readouterr().err
    assert path.read_text(encoding="utf-8") == "mine"
