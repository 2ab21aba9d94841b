"""Takes put into sound files: one after the other in one, or each in one of its own."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.playing import Played
from pedalwright.sound.through import RATE_HZ
from pedalwright.sound.unusable import unusable
from pedalwright.sound.wish import GAP_S


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a take is: in which file, and after how many seconds; whether that took another file's place."""

    file: Path
    start_s: float
    replaced: bool


def look_at(goal: Path, inputs: Sequence[Path]) -> None:
    """Find out, before anything is played, whether a sound can be written there. Raises UnusableSound."""
    from pedalwright.sound.files.placing import Placing, spared
    from pedalwright.sound.files.refusals import unwritable
    from pedalwright.sound.files.writing import FORMATS

    resolved = spared(goal, inputs)
    if resolved.suffix.lower() not in FORMATS:
        raise unusable(
            "sound-file.ending",
            f"'{goal.name}' has no ending of a sound file.",
            "The ending says how the sound is kept.",
            f"End the name in {' or '.join(FORMATS)}.",
        )
    try:
        Placing(resolved).drop()
    except OSError as failure:
        raise unwritable(failure, resolved) from None


def goals(goal: Path, marks: Sequence[str], *, two_files: bool) -> tuple[Path, ...]:
    """The file of every take: the one named, or one each with the take's mark in its name."""
    if not two_files or len(marks) == 1:
        return tuple(goal for _ in marks)
    return tuple(goal.with_name(f"{goal.stem}-{mark}{goal.suffix}") for mark in marks)


def filed(
    takes: Sequence[Played], scales: Sequence[float], files: Sequence[Path], inputs: Sequence[Path]
) -> tuple[tuple[Place, ...], tuple[str, ...]]:
    """Write every take, multiplied by its scale, into its file. Gives the places, and what is to be said.

    Takes that share a file stand in it with a gap between. Raises UnusableSound where one cannot be written.
    """
    from pedalwright.sound.files.writing import SoundOut

    places: list[Place] = []
    said: list[str] = []
    for file in dict.fromkeys(files):
        inside = [at for at, name in enumerate(files) if name == file]
        group = [(takes[at], scales[at]) for at in inside]
        frames = sum(one.tape.frames for one, _ in group) + (len(group) - 1) * round(GAP_S * RATE_HZ)
        channels = group[0][0].tape.channels
        replaced = file.exists()
        with SoundOut(file, rate_hz=RATE_HZ, channels=channels, inputs=inputs, frames=frames) as out:
            for at, (one, scale) in enumerate(group):
                if at:
                    out.write(np.zeros((round(GAP_S * RATE_HZ), channels)))
                places.append(Place(file=file, start_s=out.frames / RATE_HZ, replaced=replaced))
                for block in _scaled(one, scale):
                    out.write(block)
        said += [f"{remark.what} {remark.why} {remark.cure}" for remark in out.remarks]
    return tuple(places), tuple(said)


def _scaled(take: Played, scale: float) -> Iterator[FloatArray]:
    for block in take.tape.blocks():
        yield scale * block
