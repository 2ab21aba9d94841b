"""The drawing: schematics laid out by stage, proved, and written as SVG."""

from pedalwright.report.drawing.desk import UnprovedDrawing, proof_of, schematic
from pedalwright.report.drawing.geometry import drawing_json
from pedalwright.report.drawing.signal_map import signal_map, signal_map_svg
from pedalwright.report.drawing.svg import schematic_svg, sheet_svg

__all__ = [
    "UnprovedDrawing",
    "drawing_json",
    "proof_of",
    "schematic",
    "schematic_svg",
    "sheet_svg",
    "signal_map",
    "signal_map_svg",
]
