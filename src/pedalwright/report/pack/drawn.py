"""Drawings for the document: the whole schematic, and a stage of it by itself."""

import re

from pedalwright.analysis.memo import Analysis
from pedalwright.report.blocks import Picture
from pedalwright.report.drawing import UnprovedDrawing, schematic, sheet_svg, signal_map_svg
from pedalwright.report.paper.pictures import size_of

WIDE_MAP = 1050.0
"""pixels from which a signal map is easier to read on a turned page"""
_TITLE = re.compile(r'\b(id|aria-labelledby)="schematic"')
"""the drawing's own name, which is that of the section it stands in"""
_NAMES = re.compile(r'\b(id|aria-labelledby)="')


def whole_schematic(analysis: Analysis) -> Picture | None:
    """The schematic, proved equal to the circuit; None where no drawing could be proved."""
    try:
        sheet = schematic(analysis)
    except UnprovedDrawing:
        return None
    count = len(analysis.circuit.parts)
    told = f"Schematic with {count} parts, stage by stage; its connections are those of the parts' pins."
    svg = _TITLE.sub(r'\1="schematic-title"', sheet_svg(sheet))
    return Picture(svg=svg, described=told, caption="", landscape=True)


def drawn_map(analysis: Analysis) -> Picture:
    """The stages as blocks in the order of the sound."""
    told = "The stages as blocks, with level, gain and bandwidth on the arrows between them."
    svg = _apart(signal_map_svg(analysis), "map")
    size = size_of(svg)
    return Picture(svg=svg, described=told, caption="", landscape=size is not None and size[0] > WIDE_MAP)


def stage_drawing(analysis: Analysis, name: str, title: str) -> Picture | None:
    """One stage alone, by its name (``S3``); None where no drawing could be proved."""
    try:
        sheet = schematic(analysis, stage=name)
    except (KeyError, UnprovedDrawing):
        return None
    told = f"The parts of the stage, {title}, and what they are joined to."
    return Picture(svg=_apart(sheet_svg(sheet), name), described=told, caption="")


def _apart(svg: str, name: str) -> str:
    """The drawing with ids of its own, so that it can stand on one page with others."""
    mark = "".join(sign for sign in name if sign.isascii() and sign.isalnum())
    return _NAMES.sub(rf'\1="{mark}-', svg)
