"""How long the build document of the echo pedal takes, made and printed, beside the walk-through alone.

Run it as a script; it prints and judges nothing. Both start from the text's circuit with nothing computed, in
turn, in one warm process, so that noise meets both alike.
"""

from collections.abc import Callable
from statistics import median
from time import perf_counter

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.walk import walk
from pedalwright.notation import read_text
from pedalwright.report.html_page import html_page
from pedalwright.report.pack.assembling import build_document, html_document
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.lint import disagreements
from pedalwright.report.pack.parts_csv import parts_csv
from pedalwright.report.paper.printing import pdf_document

GOAL_S = 3.0
ROUNDS = 5
CIRCUIT = "lantern-echo"


def packed(text: str) -> None:
    """Everything the verb does but writing the files."""
    dossier = Dossier(Analysis(read_text(text), text))
    built = build_document(dossier)
    table = parts_csv(dossier)
    if disagreements(built, dossier.circuit, table):
        raise SystemExit("The document does not agree with itself.")
    pdf_document(built.document, cover=built.cover, stamp=built.stamp, mark=built.revision)
    html_page(html_document(built))


def walked(text: str) -> None:
    """The walk-through alone."""
    walk(Analysis(read_text(text), text))


def seconds(work: Callable[[str], None], text: str) -> float:
    """Wall time of one call."""
    start = perf_counter()
    work(text)
    return perf_counter() - start


def main() -> None:
    """Print the figures."""
    text = circuits.text(CIRCUIT)
    packed(text)
    pairs = [(seconds(packed, text), seconds(walked, text)) for _ in range(ROUNDS)]
    whole, alone = (median(times) for times in zip(*pairs, strict=True))
    print(f"pack, {CIRCUIT}, warm, in one process")
    print(f"  {whole:.2f} s (goal {GOAL_S} s)")
    print(f"  the walk-through alone {alone:.2f} s; ratio {whole / alone:.1f}")


if __name__ == "__main__":
    main()
