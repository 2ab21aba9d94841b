"""Every formula with its limits, its source and an example, as its docstring has them."""

import inspect
from collections.abc import Iterator
from importlib import import_module
from pkgutil import iter_modules
from types import FunctionType, ModuleType

import pedalwright.formulas as folder
from pedalwright.formulas.sources import SOURCES
from pedalwright.report.markdown_page import escaped
from reference_pages._markdown import code, page, paragraphs, table

FILE = "formulas.md"


def write() -> str:
    """The page."""
    topics = [found.name for found in iter_modules(folder.__path__) if not found.name.startswith("_")]
    blocks = [block for topic in topics if topic != "sources" for block in _topic(topic)]
    sources = table(("key", "publication"), sorted(SOURCES.items()))
    intro = "The closed forms the walk-through compares with the solved circuit. All are in SI units."
    return page("Formulas", intro, *blocks, "## Sources", sources)


def _topic(topic: str) -> list[str]:
    module = import_module(f"{folder.__name__}.{topic}")
    blocks = [f"## {topic}", *paragraphs(inspect.getdoc(module) or "")]
    for function in _functions(module):
        blocks += [f"### {escaped(function.__name__)}", code(inspect.getdoc(function) or "")]
    return blocks


def _functions(module: ModuleType) -> Iterator[FunctionType]:
    for name, member in vars(module).items():
        if inspect.isfunction(member) and member.__module__ == module.__name__ and not name.startswith("_"):
            yield member
