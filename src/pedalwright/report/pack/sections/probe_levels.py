"""Section 9: what an audio probe finds on the way, for the loudest playing the input is stated for."""

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.records import Level
from pedalwright.report.blocks import Paragraph, Table, Tone
from pedalwright.report.figures import figure
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.walk_document import stage_headings

LOUD_V, FAINT_V = 0.1, 0.01
"""through a small practice amplifier a probe's signal of the one is loud, of less than the other faint (house
rule)
"""

LEGEND = (
    f"Loud is {1000 * LOUD_V:.0f} mV and more, faint less than {1000 * FAINT_V:.0f} mV, plain what lies "
    "between; clipped: the loudest playing is cut there or before."
)


def build(dossier: Dossier) -> Chapter:
    """A row a net, in the order the signal meets them."""
    headings = stage_headings(dossier.walk)
    rows = [
        (headings[stage.name], spoken(level.net), figure(_peak_v(level), "V"), _loudness(level))
        for stage in dossier.walk.stages
        for level in stage.levels
        if level.level_v is not None
    ]
    if not rows:
        return chapter()
    at = figure(dossier.walk.overall.reference_hz, "Hz")
    return chapter(
        [
            Paragraph(
                "An audio probe is a screened cable with a 100 nF capacitor of 63 V or more at its tip, "
                "into an amplifier turned low. Touch the points in this order while a note or a tone goes "
                "in; where the sound is lost or spoiled, the fault lies between that point and the one "
                "before."
            ),
            Table(
                caption=f"Peak at {at} from the loudest playing stated, knobs as in this document",
                columns=("stage", "point", "peak", "sounds"),
                rows=tuple(rows),
                figures=(2,),
            ),
            Paragraph(f"{LEGEND}{_repeats(dossier)}", Tone.QUIET),
        ]
    )


def _repeats(dossier: Dossier) -> str:
    """What a point behind an echo chip is told by."""
    chips = dossier.analysis.view.parts_of("echo-chip")
    return " Behind an echo chip the first repeat is meant where it is the louder one." if chips else ""


def _peak_v(level: Level) -> float:
    """What stands there: no more than the point lets through."""
    wanted = level.level_v or 0.0
    return wanted if level.limit_v is None else min(wanted, level.limit_v)


def _loudness(level: Level) -> str:
    peak = _peak_v(level)
    word = "loud" if peak >= LOUD_V else "faint" if peak < FAINT_V else "plain"
    clipped = level.clipped_at or (level.headroom_db is not None and level.headroom_db < 0)
    return f"{word}, clipped" if clipped else word


SECTION = PackSection(name="probe-levels", place=9, heading="With an audio probe", build=build)
