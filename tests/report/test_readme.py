"""What the README shows is what the program prints."""

import importlib.util
from pathlib import Path
from types import ModuleType

ROOT = Path(__file__).parents[2]


def writer() -> ModuleType:
    """The tool that prints the README's blocks anew."""
    spec = importlib.util.spec_from_file_location("write_readme", ROOT / "tools" / "write_readme.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_the_blocks_are_as_the_program_prints_them() -> None:
    shown = (ROOT / "README.md").read_text(encoding="utf-8")
    assert shown.count("```console\n$ ") >= 2
    assert writer().renewed(shown) == shown, "run `make docs`"
