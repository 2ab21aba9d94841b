"""Start-up stays short by loading little: a test of the loaded modules, never of the clock."""

import json
import subprocess
import sys

import pytest

from pedalwright.cli._verbs import verb_names

PROGRAM = """
import json, sys
from pedalwright.cli.main import main
status = main(sys.argv[1:])
loaded = sorted({name.split(".")[0] for name in sys.modules})
print(json.dumps({"status": status, "loaded": loaded}), file=sys.stderr)
"""


HEAVY = {"scipy", "matplotlib", "sympy", "control", "mpmath"}


def loaded_by(*arguments: str) -> set[str]:
    command = [sys.executable, "-c", PROGRAM, *arguments]
    run = subprocess.run(command, capture_output=True, check=True, encoding="utf-8")
    answer = json.loads(run.stderr.splitlines()[-1])
    assert answer["status"] == 0
    return set(answer["loaded"])


def test_the_probe_sees_what_is_loaded() -> None:
    assert {"click", "pedalwright"} <= loaded_by("--version")


def test_the_version_costs_no_library_but_the_command_line() -> None:
    assert loaded_by("--version") & (HEAVY | {"numpy", "lark", "rich"}) == set()


def test_help_loads_no_heavy_library() -> None:
    assert loaded_by("--help") & HEAVY == set()


@pytest.mark.parametrize("verb", verb_names())
def test_the_help_of_a_verb_loads_no_heavy_library(verb: str) -> None:
    assert loaded_by(verb, "--help") & HEAVY == set()
