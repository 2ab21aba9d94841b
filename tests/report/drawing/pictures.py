"""The circuits that are drawn, each read and brought to rest once."""

from functools import cache
from pathlib import Path

from pedalwright import circuits
from pedalwright.analysis.memo import Analysis
from pedalwright.notation import read_text
from pedalwright.report.drawing import schematic
from pedalwright.report.drawing.sheet import Sheet

CIRCUITS = Path(__file__).resolve().parents[2] / "circuits"
FILES = {path.stem: path for path in sorted(CIRCUITS.glob("*/*.pedal"))}
NAMES = (*circuits.names(), *FILES)


@cache
def analysis_of(name: str) -> Analysis:
    text = FILES[name].read_text(encoding="utf-8") if name in FILES else circuits.text(name)
    return Analysis(read_text(text), text)


@cache
def sheet_of(name: str) -> Sheet:
    return schematic(analysis_of(name))
