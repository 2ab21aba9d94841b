"""What is said about a drawing that was written to a file."""

from pedalwright.analysis.memo import Analysis
from pedalwright.report.drawing.proof import DrawingProof
from pedalwright.report.drawing.sheet import Sheet
from pedalwright.report.identity import title_of
from pedalwright.report.plain_text import plain
from pedalwright.stages.recognise import kind_named


def drawing_told(analysis: Analysis, sheet: Sheet, proof: DrawingProof, out: str) -> tuple[str, ...]:
    """What was drawn and that it was proved, and which stages had to be drawn part by part."""
    said = [
        f"{plain(title_of(sheet.title))}: {len(sheet.placed)} symbols in {plain(out)}.",
        f"Proved: the nets read back from the drawn lines are those of the text ({proof.pins} pins).",
    ]
    if sheet.safe:
        said.append(
            "The usual layout could not be proved; every pin bears a flag with its net's name instead."
        )
    for name in sheet.plain_stages:
        title = kind_named(analysis.stages.stage(name).kind).title
        said.append(f"{name} ({title}) is drawn part by part: its usual picture does not fit it.")
    return tuple(said)
