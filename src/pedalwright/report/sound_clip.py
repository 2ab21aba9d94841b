"""A short sound inside a page: an audio element that holds its data, with its title, level and caution."""

from html import escape
from io import BytesIO

import numpy as np

from pedalwright.report.blocks import Clip, FloatArray
from pedalwright.report.plain_text import plain
from pedalwright.report.sound_png import data_address

CLIP_RATE_HZ = 24000
"""a pedal's sound has little above the 12 kHz this carries, and the page stays half as large"""
LONGEST_S = 6.0
MOST_BYTES = 300_000
"""of a page's text for one clip"""
FADE_S = 0.1
HEARING = "Turn the volume down before you play it, and raise it slowly."
MEDIA_TYPE = "audio/flac"


def sound_clip(samples: FloatArray, rate_hz: int, *, title: str, told: str) -> Clip:
    """A clip of `samples` (frames,), full scale at 1, no longer than LONGEST_S and faded out where it is cut.

    `told` says how loud it is; the caution for hearing is added. 16-bit FLAC at CLIP_RATE_HZ, shortened until
    it takes no more than MOST_BYTES in the page. Raises ValueError for samples beyond full scale.
    """
    import soxr

    if len(samples) and float(np.max(np.abs(samples))) > 1.0:
        raise ValueError("the clip has samples beyond full scale")
    wanted = samples[: round(LONGEST_S * rate_hz)]
    # Resampling may overshoot by a little, where the sound touches full scale.
    kept = np.clip(np.asarray(soxr.resample(wanted, rate_hz, CLIP_RATE_HZ), dtype=np.float64), -1.0, 1.0)
    cut = len(samples) > len(wanted)
    data = _flac(_faded(kept) if cut else kept)
    while len(data) * 4 / 3 > MOST_BYTES:
        kept = kept[: int(len(kept) * min(0.95, MOST_BYTES * 3 / 4 / len(data)))]
        data = _flac(_faded(kept))
    seconds = len(kept) / CLIP_RATE_HZ
    return Clip(title=title, told=f"{told} {HEARING}", seconds=seconds, data=data, media_type=MEDIA_TYPE)


def _flac(samples: FloatArray) -> bytes:
    import soundfile

    stream = BytesIO()
    soundfile.write(stream, samples, CLIP_RATE_HZ, format="FLAC", subtype="PCM_16")
    return stream.getvalue()


def _faded(samples: FloatArray) -> FloatArray:
    """The samples with their end faded to nothing."""
    frames = min(len(samples), round(FADE_S * CLIP_RATE_HZ))
    return np.concatenate(
        [samples[: len(samples) - frames], samples[len(samples) - frames :] * _fall(frames)]
    )


def _fall(frames: int) -> FloatArray:
    return np.asarray(np.cos(np.linspace(0.0, np.pi / 2, frames)) ** 2)


def clip_element(clip: Clip, ident: str) -> str:
    """The clip as HTML: a labelled audio element with its controls, which never plays by itself."""
    title, told = escape(plain(clip.title)), escape(plain(clip.told))
    source = data_address(clip.data, clip.media_type)
    length = f"{clip.seconds:.1f} s"
    return (
        f'<figure class="sound"><figcaption id="{ident}"><b>{title}</b> ({length}). {told}</figcaption>'
        f'<audio controls preload="metadata" aria-labelledby="{ident}" src="{source}">'
        f"This browser plays no sound.</audio></figure>\n"
    )


def clip_sentence(clip: Clip) -> str:
    """The clip where nothing can be played."""
    return f"Sound, {clip.seconds:.1f} s, played by the HTML page: {clip.title}. {clip.told}"
