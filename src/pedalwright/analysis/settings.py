"""Knobs and switches moved before anything is computed, every mistake in the wish told at once."""

from collections.abc import Mapping
from difflib import get_close_matches
from math import isfinite

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part

LOWEST, HIGHEST = 0.0, 10.0


class SettingMistake(ValueError):
    """Knobs cannot be set as asked; `sentences` says why, one for each mistake."""

    def __init__(self, sentences: tuple[str, ...]) -> None:
        super().__init__(" ".join(sentences))
        self.sentences = sentences


def moved(circuit: Circuit, settings: Mapping[str, float | str]) -> Circuit:
    """The circuit with knobs (0 to 10) and switches (a position's name) set as asked.

    Positions of knobs may be numbers or their texts. Raises SettingMistake with every mistake found.
    """
    taken: dict[str, float | str] = {}
    mistakes: list[str] = []
    for name, position in settings.items():
        part = circuit.by_ref.get(name)
        if part is None or part.kind not in ("knob", "trim", "switch"):
            mistakes.append(_unknown(circuit, name, part))
            continue
        place = _switched(part, str(position)) if part.kind == "switch" else _turned(str(position))
        if place is None:
            mistakes.append(_not_a_place(part, str(position)))
        else:
            taken[name] = place
    if mistakes:
        raise SettingMistake(tuple(mistakes))
    return circuit.with_settings(taken) if taken else circuit


def positions(switch: Part) -> tuple[str, ...]:
    """The names of a switch's positions, in the order of the text."""
    contacts = (pin.rpartition(".")[2] for pin, _ in switch.pins)
    return tuple(dict.fromkeys(name for name in contacts if name != "common"))


def _turned(position: str) -> float | None:
    try:
        value = float(position)
    except ValueError:
        return None
    return value if isfinite(value) and LOWEST <= value <= HIGHEST else None


def _switched(switch: Part, position: str) -> str | None:
    return position if position in positions(switch) else None


def _unknown(circuit: Circuit, name: str, part: Part | None) -> str:
    names = [one.ref for one in (*circuit.knobs, *circuit.switches)]
    if part is not None:
        return f"{name} is a {part.kind}, not a knob or a switch; {_there_are(names)}"
    near = get_close_matches(name.upper(), names, n=1, cutoff=0.5)
    hint = f"did you mean {near[0]}?" if near else _there_are(names)
    return f"There is no knob or switch named '{_short(name)}'; {hint}"


def _there_are(names: list[str]) -> str:
    return f"there are {', '.join(names)}." if names else "this circuit has none."


def _not_a_place(part: Part, position: str) -> str:
    if part.kind == "switch":
        return f"{part.ref} has no position '{_short(position)}'; it has {', '.join(positions(part))}."
    comma = " Write a point, not a comma." if "," in position else ""
    return f"{part.ref} cannot stand at '{_short(position)}'; knobs go from 0 to 10.{comma}"


def _short(text: str) -> str:
    return text if len(text) <= 40 else f"{text[:37]}..."
