"""Pedalwright: a guitar-pedal circuit from text to an explained, proved walk-through.

    import pedalwright as pw

    lantern = pw.read("lantern.pedal")
    print(pw.walk(lantern).stages[0].purpose)

Everything heavy is imported when it is first asked for.
"""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from pedalwright.analysis.memo import Analysis
    from pedalwright.analysis.records import Walk
    from pedalwright.circuit.circuit import Circuit
    from pedalwright.circuit.remark import UnusableCircuit
    from pedalwright.review.reviewing import Review
    from pedalwright.sound.wish import Heard

__all__ = ["UnusableCircuit", "check", "hear", "read", "read_text", "walk"]


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


def check(circuit: "Analysis | Circuit", only: Sequence[str] = ()) -> "Review":
    """What the review finds in a circuit, worst first; `only` these rules (codes or names) when any is named.

    Raises ValueError for a rule there is not.
    """
    from pedalwright.analysis.memo import Analysis
    from pedalwright.review.catalogue import rule_named
    from pedalwright.review.reviewing import review

    rules = [(word, rule_named(word)) for word in only]
    unknown = next((word for word, rule in rules if rule is None), None)
    if unknown is not None:
        raise ValueError(f"there is no rule '{unknown}'")
    analysis = circuit if isinstance(circuit, Analysis) else Analysis(circuit)
    return review(analysis, tuple(rule for _, rule in rules if rule is not None) or None)


def hear(
    analysis: "Analysis",
    goal: Path | str,
    sound: str = "chord:Am",
    *,
    against: "Analysis | None" = None,
    other_settings: Mapping[str, float | str] | None = None,
    **wishes: Any,
) -> "Heard":
    """Play a built-in sound or a sound file through a circuit into the file `goal`, .wav or .flac.

    `wishes` are the other fields of `pedalwright.sound.wish.Wish`: ``level_v=0.3``, ``with_bypass=True``,
    ``moves=("TIME 3 7 over 4s",)``. `against` is another circuit to compare with, `other_settings` other
    positions of this one's knobs. Raises ValueError with everything in the wish that cannot be, and
    `pedalwright.sound.unusable.UnusableSound` for files that cannot be read or written.
    """
    from pedalwright.sound.hearing import hear as heard
    from pedalwright.sound.wish import Wish

    wish = Wish(sound=sound, **wishes)
    return heard(analysis, goal, wish, against=against, other_settings=other_settings)


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
