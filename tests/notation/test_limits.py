"""Files that cannot be read, texts that are too large."""

from pathlib import Path

import pytest

from pedalwright.circuit.remark import UnusableCircuit
from pedalwright.notation import examine, limits, read_file, read_text

from .texts import LANTERN


def refused(path: Path) -> str:
    with pytest.raises(UnusableCircuit) as raised:
        read_file(path)
    (remark,) = raised.value.remarks
    assert str(path) in remark.what and remark.cure
    return remark.code


def test_a_file_reads_like_its_text(tmp_path: Path) -> None:
    path = tmp_path / "lantern.pedal"
    path.write_bytes(b"\xef\xbb\xbf" + LANTERN.replace("\n", "\r\n").encode())
    assert read_file(path) == read_file(str(path)) == read_text(LANTERN)


def test_files_that_cannot_be_read(tmp_path: Path) -> None:
    latin, huge = tmp_path / "latin.pedal", tmp_path / "huge.pedal"
    latin.write_bytes("about Größe\n".encode("latin-1"))
    huge.write_bytes(b"#" * (limits.LARGEST_FILE_BYTES + 1))
    assert refused(tmp_path / "nothing.pedal") == "file.missing"
    assert refused(tmp_path) == "file.directory"
    assert refused(latin) == "file.not-utf-8"
    assert refused(huge) == "text.too-large"
    assert refused(tmp_path / ("n" * 4000)) == "file.unreadable"
    assert refused(tmp_path / "a\0b") == "file.unreadable"


def test_a_byte_that_is_not_utf_8_is_located(tmp_path: Path) -> None:
    path = tmp_path / "latin.pedal"
    path.write_bytes(b"pedal A\nabout Gr\xf6\xdfe\n")
    with pytest.raises(UnusableCircuit) as raised:
        read_file(path)
    span = raised.value.remarks[0].span
    assert span is not None and (span.line, span.column) == (2, 9)


def codes(text: str) -> list[str]:
    return [remark.code for remark in examine(text).remarks]


def test_the_limits_are_kept_and_named() -> None:
    walk = "IN > R{} 1k > gnd"
    lines = [walk.format(number) for number in range(limits.MOST_PARTS)]
    assert examine("\n".join(lines)).circuit is not None
    assert codes("\n".join([*lines, walk.format(9000)])) == ["text.too-many-parts"]
    assert "text.too-many-lines" in codes("#\n" * limits.MOST_LINES + "#")
    assert "text.too-many-lines" not in codes("#\n" * limits.MOST_LINES)
    assert codes(f"#{'x' * (limits.LONGEST_LINE - 1)}\nIN > R1 1k > gnd\ninput IN line\noutput IN 1k") == []
    assert codes("#" + "x" * limits.LONGEST_LINE)[0] == "line.too-long"
    assert codes("# " * limits.LARGEST_FILE_BYTES)[0] == "text.too-large"
