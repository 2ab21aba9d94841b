"""Section 3: the whole schematic with the test points, drawn from the same text as everything else."""

from pedalwright.analysis.naming_nets import spoken
from pedalwright.report.blocks import Block, Facts, Paragraph, Pictures, Section, Tone
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter

READING = (
    "The sound goes from left to right; a flag is a wire to every other flag of its name; pin numbers stand "
    "beside the pins. The connections drawn here were read back from the lines and are those of the text."
)


def build(dossier: Dossier) -> Chapter:
    """The drawing, how to read it, and where the named test points are."""
    picture = dossier.schematic
    if picture is None:
        return chapter()
    blocks: list[Block] = [Pictures((picture,)), Paragraph(READING, Tone.QUIET)]
    points = tuple((spoken(point.net), point.text) for point in dossier.circuit.points)
    inner = Section(anchor="schematic-points", heading="Test points", blocks=(Facts(points),))
    return chapter(blocks, [inner] if points else [])


SECTION = PackSection(name="schematic", place=3, heading="Schematic", build=build)
