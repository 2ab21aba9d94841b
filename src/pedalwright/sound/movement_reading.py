"""Movements as they are written: ``TIME 3 7 over 4s at 2s``, ``MODE long at 3s``, ``TIME 4 6 every 2s``."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from pedalwright.analysis.settings import SettingMistake, moved
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.kinds._knob import HALF_TURN
from pedalwright.sound.movement import (
    BYPASS,
    BYPASSED,
    ENGAGED,
    Flip,
    Glide,
    KnobMovement,
    Movement,
    Shape,
    Swing,
    SwitchMovement,
)
from pedalwright.units.values import Quantity, ValueMistake, parse_value

MOVE_EXAMPLE = "TIME 3 7 over 4s at 2s"
SWING_EXAMPLE = "TIME 4 6 every 2s"
SHORTEST_PERIOD_S, LONGEST_S = 0.02, 86400.0
"""a swing faster than 50 to and fro a second is a tone, not a movement; nothing lasts longer than a day"""


class MovementMistake(ValueError):
    """Movements cannot be done as written; `sentences` says why, one for each mistake."""

    def __init__(self, sentences: tuple[str, ...]) -> None:
        super().__init__(" ".join(sentences))
        self.sentences = sentences


class _Unclear(Exception):
    """One sentence about one movement."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Turn:
    """A glide whose beginning may be left unsaid."""

    first: float | None
    last: float
    start_s: float
    over_s: float

    @property
    def end_s(self) -> float:
        return self.start_s + self.over_s


_Act = _Turn | Flip | Swing


@dataclass(frozen=True, slots=True)
class _Said:
    """One movement taken apart: whom it is about, its bare words, and what stands behind its keywords."""

    text: str
    ref: str
    places: tuple[str, ...]
    clauses: dict[str, str]

    def seconds(self, keyword: str, otherwise: float) -> float:
        if keyword not in self.clauses:
            return otherwise
        try:
            found = parse_value(self.clauses[keyword], Quantity.TIME)
        except ValueMistake as mistake:
            raise _Unclear(f"In '{self.text}': {mistake}") from None
        if not 0.0 <= found <= LONGEST_S:
            raise _Unclear(f"In '{self.text}', '{keyword} {self.clauses[keyword]}' must lie within one day.")
        return found


def read_movements(
    circuit: Circuit, moves: Iterable[str] = (), swings: Iterable[str] = ()
) -> tuple[Movement, ...]:
    """Every knob and switch that moves, once, with all that was said of it, in the order first mentioned.

    `moves` are written like ``TIME 3 7 over 4s``, `swings` like ``TIME 4 6 every 2s``. Raises MovementMistake
    with every mistake found.
    """
    mistakes: list[str] = []
    done: dict[str, list[_Act]] = {}
    for text, is_swing in [*((text, False) for text in moves), *((text, True) for text in swings)]:
        try:
            ref, read = _swing(circuit, text) if is_swing else _move(circuit, text)
            done.setdefault(ref, []).append(read)
        except _Unclear as unclear:
            mistakes.append(str(unclear))
    for ref, acts in done.items():
        mistakes += _clashes(ref, acts)
    if mistakes:
        raise MovementMistake(tuple(mistakes))
    return tuple(_gathered(circuit, ref, acts) for ref, acts in done.items())


def _move(circuit: Circuit, text: str) -> tuple[str, _Turn | Flip]:
    said = _taken_apart(text, ("over", "at"), MOVE_EXAMPLE)
    start_s = said.seconds("at", 0.0)
    if _is_switch(circuit, said.ref):
        if len(said.places) != 1 or "over" in said.clauses:
            raise _Unclear(f"{said.ref} is a switch: write '{said.ref} POSITION at 3s', not '{said.text}'.")
        _look_up(circuit, said.ref, said.places[0])
        return said.ref, Flip(position=said.places[0], at_s=start_s)
    places = [_look_up(circuit, said.ref, place) for place in said.places]
    first = places[0] if len(places) == 2 else None
    return said.ref, _Turn(first=first, last=places[-1], start_s=start_s, over_s=said.seconds("over", 0.0))


def _swing(circuit: Circuit, text: str) -> tuple[str, Swing]:
    words = text.split()
    shapes = [shape for shape in Shape if shape.value in words]
    bare = " ".join(word for word in words if word not in {shape.value for shape in shapes})
    said = _taken_apart(bare, ("every", "at"), SWING_EXAMPLE)
    if _is_switch(circuit, said.ref):
        raise _Unclear(f"{said.ref} is a switch and cannot swing; move it with '{said.ref} POSITION at 3s'.")
    if len(said.places) != 2 or len(said.clauses) != 1 or len(shapes) > 1:
        raise _Unclear(
            f"'{said.text}' does not say between what and how fast; write it like {SWING_EXAMPLE}."
        )
    low, high = (_look_up(circuit, said.ref, place) for place in said.places)
    shape = shapes[0] if shapes else Shape.SINE
    return said.ref, Swing(low=low, high=high, period_s=_period(said), shape=shape)


def _period(said: _Said) -> float:
    if "every" in said.clauses:
        period_s = said.seconds("every", 0.0)
    else:
        try:
            rate_hz = parse_value(said.clauses["at"], Quantity.FREQUENCY)
        except ValueMistake as mistake:
            raise _Unclear(f"In '{said.text}': {mistake}") from None
        period_s = 1.0 / rate_hz if rate_hz > 0 else float("inf")
    if not SHORTEST_PERIOD_S <= period_s <= LONGEST_S:
        raise _Unclear(f"In '{said.text}', one to and fro must take from 20 ms to one day.")
    return period_s


def _taken_apart(text: str, keywords: tuple[str, ...], example: str) -> _Said:
    """Words up to the first keyword, then keywords each with one word behind it."""
    words = text.split()
    first = next((at for at, word in enumerate(words) if at and word in keywords), len(words))
    (ref, *places), behind = words[:first] or [""], words[first:]
    names, values = behind[::2], behind[1::2]
    clear = len(names) == len(values) == len(set(names)) and set(names) <= set(keywords)
    if not (clear and 1 <= len(places) <= 2):
        raise _Unclear(f"'{text[:60]}' is no movement; write it like {example}.")
    return _Said(text[:60], ref, tuple(places), dict(zip(names, values, strict=True)))


def _look_up(circuit: Circuit, ref: str, place: str) -> float:
    """The position a knob is to have; 0 for a switch, which has names instead."""
    if _is_foot_switch(circuit, ref):
        if place in (ENGAGED, BYPASSED):
            return 0.0
        raise _Unclear(f"{BYPASS} is {ENGAGED} or {BYPASSED}, not '{place[:40]}'.")
    try:
        setting = moved(circuit, {ref: place}).by_ref[ref].setting
    except SettingMistake as mistake:
        raise _Unclear(str(mistake)) from None
    return 0.0 if isinstance(setting, str) or setting is None else float(setting)


def _is_foot_switch(circuit: Circuit, ref: str) -> bool:
    return ref == BYPASS and BYPASS not in circuit.by_ref


def _is_switch(circuit: Circuit, ref: str) -> bool:
    part = circuit.by_ref.get(ref)
    return _is_foot_switch(circuit, ref) or (part is not None and part.kind == "switch")


def _clashes(ref: str, acts: list[_Act]) -> Iterable[str]:
    swings = [act for act in acts if isinstance(act, Swing)]
    if swings and len(acts) > 1:
        yield f"{ref} swings and moves besides; a knob can only follow one of them."
    for before, after in pairwise(_turns(acts)):
        if after.start_s < before.end_s or after.start_s == before.start_s:
            yield f"{ref} is still moving at {after.start_s:g} s when its next movement begins."
    flips = [act.at_s for act in acts if isinstance(act, Flip)]
    if len(flips) != len(set(flips)):
        yield f"{ref} is brought to two positions at the same moment."


def _gathered(circuit: Circuit, ref: str, acts: list[_Act]) -> Movement:
    part = circuit.by_ref.get(ref)
    if _is_switch(circuit, ref):
        flips = sorted((act for act in acts if isinstance(act, Flip)), key=lambda flip: flip.at_s)
        stands = ENGAGED if part is None else _switch_position(circuit, ref)
        return SwitchMovement(ref=ref, stands_at=stands, flips=tuple(flips))
    stands_at = HALF_TURN if part is None or part.setting is None else float(part.setting)
    swing = next((act for act in acts if isinstance(act, Swing)), None)
    return KnobMovement(ref=ref, stands_at=stands_at, glides=_joined(stands_at, _turns(acts)), swing=swing)


def _turns(acts: list[_Act]) -> list[_Turn]:
    return sorted((act for act in acts if isinstance(act, _Turn)), key=lambda turn: turn.start_s)


def _switch_position(circuit: Circuit, ref: str) -> str:
    from pedalwright.devices.kinds.switch import position

    return position(circuit.by_ref[ref])


def _joined(stands_at: float, turns: Iterable[_Turn]) -> tuple[Glide, ...]:
    """The turns as glides; one that does not say where it begins begins where the one before ended."""
    found: list[Glide] = []
    for turn in turns:
        before = found[-1].last if found else stands_at
        first = before if turn.first is None else turn.first
        found.append(Glide(first=first, last=turn.last, start_s=turn.start_s, over_s=turn.over_s))
    return tuple(found)
