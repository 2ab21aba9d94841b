"""What was heard as one self-contained page: figures, pictures, and the beginning of the sound itself."""

import numpy as np

from pedalwright.report.blocks import Clip, Clips, Section
from pedalwright.report.html_page import html_page
from pedalwright.report.sound_clip import LONGEST_S, sound_clip
from pedalwright.report.sound_document import sound_document
from pedalwright.report.sound_pictures import picture_blocks
from pedalwright.report.sound_sentences import in_the_file
from pedalwright.sound.through import RATE_HZ
from pedalwright.sound.wish import Heard, Take


def sound_page(heard: Heard) -> str:
    """The text of the page, with the beginning of every take as it stands in its file."""
    sections = [Section(anchor="listen", heading="Listen", blocks=(Clips(tuple(map(_clip, heard.takes))),))]
    if heard.looks is not None:
        blocks = picture_blocks(heard.looks, heard.repeats)
        sections.append(Section(anchor="pictures", heading="Pictures", blocks=blocks))
    return html_page(sound_document(heard, sections))


def _clip(take: Take) -> Clip:
    import soundfile

    with soundfile.SoundFile(take.file) as file:
        file.seek(round(take.start_s * RATE_HZ))
        frames = round(min(take.seconds, LONGEST_S + 1.0) * RATE_HZ)
        samples = np.asarray(file.read(frames, dtype="float64", always_2d=True)).mean(axis=1)
    peak = f"{take.output.peak_v:.2g} V peak at the output jack"
    return sound_clip(samples, RATE_HZ, title=take.label, told=f"{peak}; {in_the_file(take)} in this sound.")
