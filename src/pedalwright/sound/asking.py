"""From a wish to what is to be done: the sound ready, the circuits to play, and all mistakes in one go."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from difflib import get_close_matches
from pathlib import Path

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.settings import SettingMistake, moved
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.kinds._knob import HALF_TURN
from pedalwright.devices.kinds.switch import position
from pedalwright.sound.material import Material, built_in, from_file
from pedalwright.sound.movement import Movement
from pedalwright.sound.movement_reading import MovementMistake, read_movements
from pedalwright.sound.playing import Part
from pedalwright.sound.sources.catalogue import source_names
from pedalwright.sound.sources.options import HIGHEST_V
from pedalwright.sound.sources.reading import is_source
from pedalwright.sound.unusable import UnusableSound
from pedalwright.sound.wish import OVERSAMPLINGS, Wish

LEAST_S, LONGEST_S, LONGEST_TAIL_S = 0.01, 86400.0, 600.0
DRY, ENGAGED = "bypassed", "engaged"
Settings = Mapping[str, float | str]


class HearingMistake(ValueError):
    """A wish cannot be met as it is; `sentences` says why, one for each mistake."""

    def __init__(self, sentences: tuple[str, ...]) -> None:
        super().__init__(" ".join(sentences))
        self.sentences = sentences


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Asked:
    """A wish that can be met: what to play, and through what, in the order of the file."""

    material: Material
    parts: tuple[Part, ...]

    @property
    def pictured(self) -> Part:
        """The one worth looking at: the first that is not merely bypassed."""
        return next(part for part in self.parts if not part.is_dry)


def asked_for(
    analysis: Analysis, wish: Wish, against: Analysis | None = None, other_settings: Settings | None = None
) -> Asked:
    """What a wish comes to. Raises HearingMistake with all that is wrong with it."""
    mistakes = [*_of_numbers(wish), *_of_jacks(analysis.circuit)]
    if against is not None:
        mistakes += _of_jacks(against.circuit)
        if other_settings:
            mistakes.append("Compare with another circuit or with other positions, one of the two.")
    elif other_settings:
        against = _resettled(analysis, other_settings, mistakes)
    moves = [_movements(one.circuit, wish, mistakes) for one in (analysis, against) if one is not None]
    material = _material(analysis.circuit, wish, mistakes)
    if mistakes or material is None:
        raise HearingMistake(tuple(dict.fromkeys(mistakes)))
    return Asked(material=material, parts=tuple(_parts(analysis, against, moves, wish, other_settings or {})))


def level_of(circuit: Circuit, wish: Wish) -> float:
    """The largest value of the sound in volts: as wished, or the largest its source is expected to reach."""
    if wish.level_v is not None or circuit.input is None:
        return wish.level_v or 1.0
    return circuit.input.level_v


def settings_of(circuit: Circuit) -> tuple[tuple[str, str], ...]:
    """Where every knob and every switch stands, as text."""
    knobs = ((part.ref, f"{HALF_TURN if part.setting is None else part.setting:g}") for part in circuit.knobs)
    return (*knobs, *((part.ref, position(part)) for part in circuit.switches))


def _of_numbers(wish: Wish) -> Iterator[str]:
    if wish.level_v is not None and not 0.0 < wish.level_v <= HIGHEST_V:
        yield f"The level must lie above 0 V, and not above {HIGHEST_V:g} V."
    if wish.seconds is not None and not LEAST_S <= wish.seconds <= LONGEST_S:
        yield "The sound must last from 10 ms to one day."
    if wish.tail_s is not None and not 0.0 <= wish.tail_s <= LONGEST_TAIL_S:
        yield "The tail must last from nothing to 600 s."
    if wish.oversampling not in (None, *OVERSAMPLINGS):
        yield f"Oversampling is {', '.join(map(str, OVERSAMPLINGS))} times, not {wish.oversampling}."


def _of_jacks(circuit: Circuit) -> Iterator[str]:
    name = circuit.title or "The circuit"
    if circuit.input is None:
        yield f"{name} has no input jack to play into; write a line such as 'input IN pickup'."
    if circuit.output is None:
        yield f"{name} has no output jack to listen at; write a line such as 'output OUT 1M'."


def _resettled(analysis: Analysis, settings: Settings, mistakes: list[str]) -> Analysis | None:
    try:
        return Analysis(moved(analysis.circuit, settings), analysis.text)
    except SettingMistake as mistake:
        mistakes += mistake.sentences
        return None


def _movements(circuit: Circuit, wish: Wish, mistakes: list[str]) -> tuple[Movement, ...]:
    try:
        return read_movements(circuit, wish.moves, wish.swings)
    except MovementMistake as mistake:
        mistakes += mistake.sentences
        return ()


def _material(circuit: Circuit, wish: Wish, mistakes: list[str]) -> Material | None:
    """The sound; None, with every mistake noted, where there is none."""
    sound = replace(wish, level_v=1.0, seconds=None) if mistakes else wish
    level_v = level_of(circuit, sound)
    try:
        if is_source(wish.sound):
            return built_in(wish.sound, level_v=level_v, seconds=sound.seconds)
        if not Path(wish.sound).exists() and not Path(wish.sound).suffix:
            mistakes.append(_no_sound(wish.sound))
            return None
        seconds, look_only = sound.seconds, bool(mistakes)
        return from_file(wish.sound, level_v=level_v, seconds=seconds, mono=wish.mono, look_only=look_only)
    except UnusableSound as unusable:
        mistakes += [" ".join(filter(None, (one.what, one.why, one.cure))) for one in unusable.remarks]
        return None


def _no_sound(word: str) -> str:
    """For a word that is neither a file nor a built-in sound."""
    near = get_close_matches(word.partition(":")[0].lower(), source_names(), n=1)
    hint = f"did you mean {near[0]}?" if near else f"the built-in ones are {', '.join(source_names())}."
    return f"There is no sound file '{word[:60]}', and no built-in sound of that name; {hint}"


def _parts(
    analysis: Analysis,
    against: Analysis | None,
    moves: list[tuple[Movement, ...]],
    wish: Wish,
    other_settings: Settings,
) -> Iterator[Part]:
    if wish.with_bypass:
        yield Part(label=DRY, mark=DRY, analysis=analysis, is_dry=True)
    if against is None:
        yield Part(label=ENGAGED, mark=ENGAGED, analysis=analysis, movements=moves[0])
        return
    names = [one.circuit.title or "a circuit without a name" for one in (analysis, against)]
    if other_settings:
        stands = dict(settings_of(analysis.circuit))
        first = ", ".join(f"{ref} at {stands[ref]}" for ref in other_settings)
        names = [first, ", ".join(f"{ref} at {at}" for ref, at in other_settings.items())]
    for letter, name, one, moving in zip("AB", names, (analysis, against), moves, strict=True):
        yield Part(label=f"{letter}, {name}", mark=letter.lower(), analysis=one, movements=moving)
