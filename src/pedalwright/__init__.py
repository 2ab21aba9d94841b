"""Pedalwright: a guitar-pedal circuit from text to an explained, proved walk-through.

    import pedalwright as pw

    lantern = pw.read("lantern.pedal")
    print(pw.walk(lantern).stages[0].purpose)

Everything heavy is imported when it is first asked for.
"""

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.analysis.records import Walk
    from pedalwright.circuit.remark import UnusableCircuit

__all__ = ["UnusableCircuit", "read", "read_text", "walk"]


def read(path: Path | str, *, settings: Mapping[str, float | str] | None = None) -> "Analysis":
    """The circuit of a file, ready to be asked; `settings` moves knobs (0 to 10) and switches (a position's
    name).

    Raises UnusableCircuit with every mistake in the text, and ValueError for settings that cannot be.
    """
    from pedalwright.notation.files import text_of_file

    return _analysis(text_of_file(path), str(path), settings)


def read_text(text: str, *, settings: Mapping[str, float | str] | None = None) -> "Analysis":
    """The same from the text itself."""
    return _analysis(text, "", settings)


def walk(analysis: "Analysis") -> "Walk":
    """The walk-through of a circuit as records: stages, parts, figures, proofs."""
    from pedalwright.analysis.walk import walk as walk_through

    return walk_through(analysis)


def _analysis(text: str, source: str, settings: Mapping[str, float | str] | None) -> "Analysis":
    from pedalwright.analysis.memo import Analysis
    from pedalwright.analysis.settings import moved
    from pedalwright.notation.reading import read_text as understood

    return Analysis(moved(understood(text, source=source), settings or {}), text)


def __getattr__(name: str) -> Any:
    if name == "UnusableCircuit":
        from pedalwright.circuit.remark import UnusableCircuit

        return UnusableCircuit
    raise AttributeError(f"module 'pedalwright' has no attribute {name!r}")
