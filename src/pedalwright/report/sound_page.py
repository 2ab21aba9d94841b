"""Sound in pages: what was heard as one self-contained page, and a few seconds of a circuit for any other."""

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Block, Clip, Clips, Paragraph, Section, Tone
from pedalwright.report.figures import figure
from pedalwright.report.html_page import html_page
from pedalwright.report.sound_clip import LONGEST_S, sound_clip
from pedalwright.report.sound_document import sound_document
from pedalwright.report.sound_pictures import picture_blocks
from pedalwright.report.sound_sentences import in_the_file
from pedalwright.sound.asking import HearingMistake
from pedalwright.sound.clipping import clips_from_v
from pedalwright.sound.hearing import hear
from pedalwright.sound.through import RATE_HZ
from pedalwright.sound.unusable import UnusableSound
from pedalwright.sound.wish import Heard, Take, Wish

SAMPLE = Wish(sound="chord:Am,seconds=3s", with_bypass=True)
"""what is played for a page that has other things to tell"""


def sound_page(heard: Heard) -> str:
    """The text of the page, with the beginning of every take as it stands in its file."""
    sections = [_listen(tuple(map(_clip, heard.takes)))]
    if heard.looks is not None:
        blocks = picture_blocks(heard.looks, heard.repeats)
        sections.append(Section(anchor="pictures", heading="Pictures", blocks=blocks))
    return html_page(sound_document(heard, sections))


def sample_section(analysis: Analysis) -> Section:
    """A chord through the pedal bypassed and engaged, equally loud, to be played in a page.

    Where the circuit cannot be played, the reason stands in its place.
    """
    try:
        with TemporaryDirectory() as folder:
            heard = hear(analysis, Path(folder) / "sample.wav", SAMPLE)
            clips = tuple(map(_clip, heard.takes))
        limit_v = clips_from_v(analysis)
    except (HearingMistake, UnusableSound) as refusal:
        return _listen((), Paragraph(f"There is nothing to hear: {refusal}", Tone.DOUBT))
    peak = f"{heard.input.peak_v:.2g} V peak"
    said = f"A chord of our own making, {peak} at the input jack from {heard.source_says}, knobs as set."
    if limit_v is not None:
        said += f" It clips above {figure(limit_v, 'V')} peak (1 % distortion of a growing tone of 1 kHz)."
    return _listen(clips, Paragraph(said), *(Paragraph(one, Tone.QUIET) for one in heard.takes[-1].remarks))


def _listen(clips: tuple[Clip, ...], *said: Block) -> Section:
    return Section(anchor="listen", heading="Listen", blocks=(*said, Clips(clips)))


def _clip(take: Take) -> Clip:
    import soundfile

    with soundfile.SoundFile(take.file) as file:
        file.seek(round(take.start_s * RATE_HZ))
        frames = round(min(take.seconds, LONGEST_S + 1.0) * RATE_HZ)
        samples = np.asarray(file.read(frames, dtype="float64", always_2d=True)).mean(axis=1)
    peak = f"{take.output.peak_v:.2g} V peak at the output jack"
    title = f"{take.label[0].upper()}{take.label[1:]}"
    return sound_clip(samples, RATE_HZ, title=title, told=f"{peak}; {in_the_file(take)} in this sound.")
