"""A circuit heard: the sound made ready, played through every circuit compared, levelled, put into files."""

from collections.abc import Callable, Mapping, Sequence
from contextlib import ExitStack
from hashlib import sha256
from pathlib import Path

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.circuit import Circuit
from pedalwright.devices.sources import source_figures, source_names
from pedalwright.sound.asking import Asked, asked_for, settings_of
from pedalwright.sound.filing import Place, filed, goals, look_at
from pedalwright.sound.levelling import are_alike, gains, heard_on
from pedalwright.sound.looking import looks
from pedalwright.sound.loudness.records import Loudness
from pedalwright.sound.measuring import measured
from pedalwright.sound.movement import Movement
from pedalwright.sound.playing import MakePlayer, Played, play
from pedalwright.sound.repeat_marks import repeat_marks
from pedalwright.sound.through import RATE_HZ, Player
from pedalwright.sound.wish import Heard, Take, TakeLevel, Wish
from pedalwright.units.levels import db_of_ratio

Told = Callable[[str, float | None], None]
"""told what is being done, and how much of it is, 0 to 1; None where that is not known"""
PLAYING, MEASURING = "Playing", "Measuring"
USUAL_TAIL_S = 3.0
"""expected where it is not said, for the progress bar"""


def hear(
    analysis: Analysis,
    goal: Path | str,
    wish: Wish | None = None,
    *,
    against: Analysis | None = None,
    other_settings: Mapping[str, float | str] | None = None,
    spare: Sequence[Path | str] = (),
    make_player: MakePlayer | None = None,
    told: Told | None = None,
) -> Heard:
    """Play a sound through a circuit into the file `goal`, .wav or .flac, 48 kHz and 24 bits.

    With `against`, another circuit, or `other_settings`, other positions of knobs and switches, both are
    played, equally loud. The files of `spare` are never written over, nor is the sound itself. Raises
    HearingMistake with everything in the wish that cannot be, and UnusableSound for a file that cannot be
    read or written; nothing is then written.
    """
    wish, make_player, told = wish or Wish(), make_player or usual_player, told or _nobody
    asked = asked_for(analysis, wish, against, other_settings)
    files = goals(Path(goal), [part.mark for part in asked.parts], two_files=wish.two_files)
    inputs = [*map(Path, spare), *([asked.material.path] if asked.material.path else [])]
    for file in dict.fromkeys(files):
        look_at(file, inputs)
    with ExitStack() as desk:
        played = _all_played(asked, wish, make_player, desk, files[0].absolute().parent, told)
        sounds = [heard_on(one.tape) for one in played]
        scales = gains(sounds)
        places, said = filed(played, scales, files, inputs)
        shown = next(one for one in played if one.part is asked.pictured)
        seen = looks(shown.before, shown.tape) if shown.before is not None else None
        marks = repeat_marks(shown)
    if wish.measure:
        told(MEASURING, None)
    return Heard(
        title=analysis.circuit.title,
        text_sha256=sha256(analysis.text.encode("utf-8")).hexdigest() if analysis.text else "",
        settings=settings_of(analysis.circuit),
        sound=asked.material.says,
        channels=asked.material.channels,
        source_says=source_says(analysis.circuit),
        input=TakeLevel(peak_v=played[0].input.peak_v, rms_v=played[0].input.rms_v),
        takes=tuple(
            _take(*each, wish, make_player) for each in zip(played, sounds, scales, places, strict=True)
        ),
        seed=wish.seed,
        moved=(*wish.moves, *wish.swings),
        matched=are_alike(sounds),
        remarks=(*(" ".join((r.what, r.why, r.cure)) for r in asked.material.remarks()), *said),
        looks=seen,
        repeats=marks,
    )


def usual_player(circuit: Circuit, movements: tuple[Movement, ...], wish: Wish) -> Player:
    """A player of the circuit itself."""
    from pedalwright.sound.player import Player as CircuitPlayer

    made: Player = CircuitPlayer.of(
        circuit,
        rate_hz=RATE_HZ,
        oversampling=wish.oversampling,
        movements=movements,
        power_on=wish.power_on,
        seed=wish.seed,
    )
    return made


def source_says(circuit: Circuit) -> str:
    """What drives the input jack, in words."""
    port = circuit.input
    if port is None or port.source not in source_names():
        return "" if port is None else f"a source of {port.ohms:g} ohm"
    return source_figures(port.source).says


def _all_played(
    asked: Asked, wish: Wish, make_player: MakePlayer, desk: ExitStack, folder: Path, told: Told
) -> tuple[Played, ...]:
    tail_s = USUAL_TAIL_S if wish.tail_s is None else wish.tail_s
    expected = len(asked.parts) * (asked.material.frames + round(tail_s * RATE_HZ))
    done = 0

    def count(frames: int) -> None:
        nonlocal done
        done += frames
        told(PLAYING, min(done / expected, 1.0))

    return tuple(
        play(
            part,
            asked.material,
            wish,
            make_player=make_player,
            desk=desk,
            folder=folder,
            keep_input=wish.picture and part is asked.pictured,
            progress=count,
        )
        for part in asked.parts
    )


def _nobody(doing: str, share: float | None) -> None:
    """Nobody wants to know."""


def _take(
    one: Played, sound: Loudness, scale: float, place: Place, wish: Wish, make_player: MakePlayer
) -> Take:
    measures = wish.measure and not one.part.is_dry
    level = TakeLevel(
        peak_v=one.output.peak_v,
        rms_v=one.output.rms_v,
        loudness_lufs=sound.lufs if sound.is_known else None,
    )
    return Take(
        label=one.part.label,
        output=level,
        seconds=one.seconds,
        ending=one.ending,
        gain_db=db_of_ratio(scale),
        file=place.file,
        start_s=place.start_s,
        tail_s=one.tail_s,
        replaced=place.replaced,
        remarks=one.remarks,
        measured=measured(one, wish, make_player) if measures else None,
    )
