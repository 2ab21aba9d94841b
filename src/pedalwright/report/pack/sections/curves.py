"""Section 15, drawn: the response with what tolerances do to it, the repeats, their decay, the delay dial."""

from dataclasses import replace

from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.plots_catalogue import drawn, kinds_named, share
from pedalwright.report.plots_document import plots_section

SHOWN = ("response", "repeats", "decay", "delay-dial", "noise", "impedances")
"""stages and knobs are drawn where they are told"""


def build(dossier: Dossier) -> Chapter:
    """Every plot there is something to show of, from the answers the other sections tell."""
    share(dossier.analysis, echo=dossier.echo, knobs=dossier.knobs, noise=dossier.noise, walk=dossier.walk)
    found = drawn(dossier.analysis, kinds_named(SHOWN))
    sections = (plots_section(one) for one in found)
    return chapter(sections=[replace(section, anchor=f"curves-{section.anchor}") for section in sections])


SECTION = PackSection(name="curves", place=15.2, heading="Curves", build=build)
