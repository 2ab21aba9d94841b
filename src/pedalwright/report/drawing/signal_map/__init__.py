"""The signal map: stages as blocks, with gain and bandwidth in them and the level on every arrow."""

from pedalwright.report.drawing.signal_map.layout import signal_map
from pedalwright.report.drawing.signal_map.writing import signal_map_svg

__all__ = ["signal_map", "signal_map_svg"]
