"""A family is a folder: read in name order, once, and refused when it is not a proper list."""

from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

import pytest

from pedalwright.registry import FamilyError, load_family


@dataclass(frozen=True, slots=True)
class Herb:
    kind: str


def family(folder: Path, name: str, **files: str) -> str:
    """Write a package of that name whose files hold the given text, and give its name."""
    package = folder / name
    package.mkdir()
    header = f"from {__name__} import Herb\n"
    (package / "__init__.py").write_text("", encoding="utf-8")
    for file, text in files.items():
        (package / f"{file}.py").write_text(header + text, encoding="utf-8")
    return name


@pytest.fixture
def shelf(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder packages can be imported from."""
    monkeypatch.syspath_prepend(tmp_path)
    return tmp_path


def test_the_files_are_the_list_in_the_order_of_their_names(shelf: Path) -> None:
    package = family(shelf, "ordered", thyme='ENTRY = Herb("thyme")', anise='ENTRY = Herb("star anise")')
    assert load_family(package, Herb, "ENTRY") == (Herb("star anise"), Herb("thyme"))


def test_the_folder_is_read_once(shelf: Path) -> None:
    package = family(shelf, "once", anise='ENTRY = Herb("anise")')
    first = load_family(package, Herb, "ENTRY")
    (shelf / package / "basil.py").write_text("raise AssertionError", encoding="utf-8")
    assert load_family(package, Herb, "ENTRY") is first


def test_shared_helpers_and_sub_folders_are_not_entries(shelf: Path) -> None:
    package = family(shelf, "helped", _shared="", anise='ENTRY = Herb("anise")')
    family(shelf / package, "drawer", basil='ENTRY = Herb("basil")')
    assert load_family(package, Herb, "ENTRY") == (Herb("anise"),)


def test_the_file_that_defines_the_record_is_not_an_entry(shelf: Path) -> None:
    record = "from dataclasses import dataclass\n@dataclass\nclass Herb:\n    kind: str\n"
    entry = 'from defined.herb import Herb\nENTRY = Herb("anise")'
    package = family(shelf, "defined", herb=record, anise=entry)
    herb_type = import_module("defined.herb").Herb
    assert [herb.kind for herb in load_family(package, herb_type, "ENTRY")] == ["anise"]


def test_a_file_that_adds_nothing_is_refused_by_name(shelf: Path) -> None:
    package = family(shelf, "idle", anise='ENTRY = Herb("anise")', basil="", cumin="")
    with pytest.raises(FamilyError, match=r"idle/basil\.py adds no ENTRY of type Herb"):
        load_family(package, Herb, "ENTRY")


def test_a_record_of_another_type_is_refused(shelf: Path) -> None:
    package = family(shelf, "foreign", anise='ENTRY = "anise"')
    with pytest.raises(FamilyError, match=r"foreign/anise\.py adds no ENTRY of type Herb"):
        load_family(package, Herb, "ENTRY")


def test_two_files_with_one_key_are_refused_and_both_named(shelf: Path) -> None:
    package = family(shelf, "twice", anise='ENTRY = Herb("anise")', basil='ENTRY = Herb("anise")')
    with pytest.raises(FamilyError, match=r"twice/anise\.py and twice/basil\.py both add the kind 'anise'"):
        load_family(package, Herb, "ENTRY")
