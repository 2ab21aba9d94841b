"""The formulas as a family: every public function has limits, source and units, and its example runs."""

import doctest
import importlib
import inspect
import re
from collections.abc import Iterator
from pathlib import Path
from types import FunctionType, ModuleType

import pytest

import pedalwright.formulas
from pedalwright.formulas.sources import SOURCES

FOLDER = Path(pedalwright.formulas.__file__).parent
TOPICS = sorted(path.stem for path in FOLDER.glob("*.py") if path.stem not in {"__init__", "sources"})


def module_of(topic: str) -> ModuleType:
    return importlib.import_module(f"pedalwright.formulas.{topic}")


def public_functions() -> Iterator[tuple[str, FunctionType]]:
    for topic in TOPICS:
        if not topic.startswith("_"):
            module = module_of(topic)
            for name, member in vars(module).items():
                if inspect.isfunction(member) and member.__module__ == module.__name__ and name[0] != "_":
                    yield topic, member


FUNCTIONS = list(public_functions())
names = [f"{topic}.{function.__name__}" for topic, function in FUNCTIONS]


@pytest.mark.parametrize(("topic", "function"), FUNCTIONS, ids=names)
def test_docstring_is_complete(topic: str, function: FunctionType) -> None:
    text = function.__doc__ or ""
    assert "Source:" in text, "says no source"
    assert ">>>" in text, "has no example"
    assert re.search(r"\[.+\]", text.partition("\n")[2]), "gives no unit in brackets"
    assert "Valid:" in text, "says no limit"
    for parameter in inspect.signature(function).parameters:
        line = re.search(rf"^ +(\w+, )*{parameter}(, \w+)*: .*\[.+\]$", text, re.MULTILINE)
        assert line, f"{parameter} has no line of its own with a unit"


@pytest.mark.parametrize(("topic", "function"), FUNCTIONS, ids=names)
def test_source_is_known(topic: str, function: FunctionType) -> None:
    source = (function.__doc__ or "").partition("Source:")[2].partition(">>>")[0]
    keys = re.findall(r"\[([A-Za-z0-9]+)\]", source)
    assert all(key in SOURCES for key in keys)
    assert keys or "from memory" in source or "common practice, no source" in source


def test_every_source_is_used() -> None:
    texts = " ".join((module_of(topic).__doc__ or "") for topic in TOPICS)
    texts += " ".join(function.__doc__ or "" for _, function in FUNCTIONS)
    assert {key for key in SOURCES if f"[{key}]" not in texts} == set()


@pytest.mark.parametrize(("topic", "function"), FUNCTIONS, ids=names)
def test_many_numbers_are_named_by_the_caller(topic: str, function: FunctionType) -> None:
    positional = [
        parameter
        for parameter in inspect.signature(function).parameters.values()
        if parameter.kind is inspect.Parameter.POSITIONAL_OR_KEYWORD
    ]
    assert len(positional) <= 2


@pytest.mark.parametrize("topic", TOPICS)
def test_examples_run(topic: str) -> None:
    outcome = doctest.testmod(module_of(topic))
    assert outcome.failed == 0
    assert outcome.attempted > 0 or topic.startswith("_")
