"""The sound that is to be played: a built-in one or a file, brought to volts and to the player's rate."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from pedalwright.circuit.remark import Remark
from pedalwright.solve.arrays import FloatArray
from pedalwright.sound.through import RATE_HZ


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Material:
    """A sound that can be played again and again: `blocks()` gives (frames, channels) in volts at RATE_HZ.

    `says` is what it is, in words; `frames` how many there are, near enough for a progress bar. `remarks` is
    complete when the sound has been played; `path` is the file it comes from, if any.
    """

    name: str
    says: str
    channels: int
    frames: int
    blocks: Callable[[], Iterator[FloatArray]]
    remarks: Callable[[], tuple[Remark, ...]] = tuple
    path: Path | None = None


def built_in(wish: str, *, level_v: float, seconds: float | None) -> Material:
    """A sound of our own making (``pluck:E2``), so long and so loud where the wish itself does not say.

    Raises UnusableSound with every mistake in the wish.
    """
    from pedalwright.sound.sources.reading import read_source

    asked = wish if seconds is None else f"{wish},seconds={seconds!r}s"
    chosen = read_source(asked, level_v=level_v)
    return Material(
        name=wish,
        says=f"{wish}, {chosen.source.says}",
        channels=1,
        frames=round(chosen.seconds * RATE_HZ),
        blocks=lambda: (block[:, None] for block in chosen.blocks(RATE_HZ)),
    )


def from_file(
    path: str, *, level_v: float, seconds: float | None, mono: bool, look_only: bool = False
) -> Material:
    """A sound file with its largest value at `level_v`; its first `seconds` where they are given.

    It is read through to find its largest value, unless it is only to be looked at. Raises UnusableSound for
    a file that cannot be played.
    """
    from pedalwright.sound.files.reading import SoundIn

    sound = SoundIn(path, rate_hz=RATE_HZ, mono=mono)
    header = sound.header
    channels = {1: "one channel", 2: "two channels"}.get(header.channels, f"{header.channels} channels")
    whole = Material(
        name=path,
        says=f"{Path(path).name}, {channels} at {header.rate_hz / 1000:g} kHz",
        channels=sound.channels,
        frames=sound.frames,
        blocks=sound.blocks,
        remarks=lambda: sound.remarks,
        path=Path(path),
    )
    material = first_seconds(whole, seconds)
    return material if look_only else scaled(material, level_v)


def first_seconds(material: Material, seconds: float | None) -> Material:
    """The beginning of a sound; all of it for None."""
    if seconds is None:
        return material
    most = max(round(seconds * RATE_HZ), 1)
    frames = min(most, material.frames)
    return replace(material, frames=frames, blocks=lambda: _beginning(material.blocks(), most))


def scaled(material: Material, level_v: float) -> Material:
    """The sound with its largest value made `level_v` [V], in a first pass through it; silence stays."""
    largest = max((float(np.abs(block).max(initial=0.0)) for block in material.blocks()), default=0.0)
    gain = level_v / largest if largest > 0 else 1.0
    return replace(material, blocks=lambda: (gain * block for block in material.blocks()))


def _beginning(blocks: Iterable[FloatArray], most: int) -> Iterator[FloatArray]:
    left = most
    for block in blocks:
        yield block[:left]
        left -= len(block)
        if left <= 0:
            return
