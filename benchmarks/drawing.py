"""How long the schematic of the echo pedal takes: layout, proof and SVG, the circuit's stages known.

Run it as a script; it prints and judges nothing. What is counted is the processor's time. Beside it stands
the same sheet handed to Matplotlib, line by line and text by text, and written as SVG: what drawing it with
a plotting library would take, layout and proof not counted.
"""

from collections.abc import Callable
from io import StringIO
from statistics import median
from time import process_time

from matplotlib.figure import Figure

from pedalwright.analysis.memo import Analysis
from pedalwright.circuits import text
from pedalwright.notation import read_text
from pedalwright.report.drawing import proof_of, schematic, sheet_svg
from pedalwright.report.drawing.sheet import Ring, Sheet

GOAL_MS = 50.0
ROUNDS = 25
CIRCUIT = "lantern-echo"


def plotted(sheet: Sheet) -> str:
    """The sheet through Matplotlib."""
    figure = Figure()
    axes = figure.add_axes((0, 0, 1, 1))
    for wire in sheet.wires:
        axes.plot(*zip(wire.start, wire.end, strict=True), color="black")
    for one in (*sheet.placed, *sheet.flags):
        for item in one.ink:
            if not isinstance(item, Ring):
                axes.plot(*zip(*item.points, strict=True), color="black")
    for label in sheet.labels:
        axes.text(label.x, label.y, label.text)
    written = StringIO()
    figure.savefig(written, format="svg")
    return written.getvalue()


def main() -> None:
    """Print the figures."""
    analysis = Analysis(read_text(text(CIRCUIT)))
    sheet = schematic(analysis)
    times: dict[str, list[float]] = {"layout": [], "proof": [], "svg": [], "plot": []}
    for _ in range(ROUNDS):
        times["layout"].append(_ms(lambda: schematic(analysis)))
        times["proof"].append(_ms(lambda: proof_of(analysis, sheet)))
        times["svg"].append(_ms(lambda: sheet_svg(sheet)))
    times["plot"] = [_ms(lambda: plotted(sheet)) for _ in range(3)]
    layout, proof, svg, plot = (median(found) for found in times.values())
    print(f"schematic of {CIRCUIT}, {len(analysis.circuit.parts)} parts, {len(sheet.wires)} pieces of wire")
    whole = layout + svg
    print(f"  layout with proofs {layout:.1f} ms, SVG {svg:.1f} ms: {whole:.1f} ms (goal {GOAL_MS:g} ms)")
    print(f"  of that, proving the whole sheet {proof:.1f} ms; {len(sheet_svg(sheet)) / 1000:.0f} kB of SVG")
    print(f"  its lines and texts through Matplotlib {plot:.0f} ms: {plot / whole:.0f} times as long")


def _ms(work: Callable[[], object]) -> float:
    start = process_time()
    work()
    return 1e3 * (process_time() - start)


if __name__ == "__main__":
    main()
