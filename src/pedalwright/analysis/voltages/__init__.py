"""What a meter reads on every pin and test point, and whether the readings somebody took are right.

`voltage_table` is the whole table, `resting_bands` the bands alone for whoever needs only those,
`compare_readings` holds a pasted list against a table.
"""

from pedalwright.analysis.voltages.bands import Band, RestingBands, resting_bands
from pedalwright.analysis.voltages.compare import (
    Compared,
    Comparison,
    Verdict,
    compare_readings,
    supplies_read,
)
from pedalwright.analysis.voltages.pasted import NotUnderstood
from pedalwright.analysis.voltages.records import (
    Expected,
    KnobMove,
    Place,
    Row,
    State,
    SupplyUsed,
    Suspect,
    VoltageTable,
)
from pedalwright.analysis.voltages.table import voltage_table

__all__ = [
    "Band",
    "Compared",
    "Comparison",
    "Expected",
    "KnobMove",
    "NotUnderstood",
    "Place",
    "RestingBands",
    "Row",
    "State",
    "SupplyUsed",
    "Suspect",
    "Verdict",
    "VoltageTable",
    "compare_readings",
    "resting_bands",
    "supplies_read",
    "voltage_table",
]
