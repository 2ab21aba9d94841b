"""Text <-> circuit: reading with every mistake located, printing back byte for byte, changing one token."""

from pedalwright.notation.circuit_writing import write_circuit
from pedalwright.notation.editing import change_value, set_position
from pedalwright.notation.present import present, present_all
from pedalwright.notation.reading import Reading, examine, read_file, read_text
from pedalwright.notation.tables import Tables, write_tables
from pedalwright.notation.tables_reading import TablesReading, examine_tables, read_tables
from pedalwright.notation.written import print_back

__all__ = [
    "Reading",
    "Tables",
    "TablesReading",
    "change_value",
    "examine",
    "examine_tables",
    "present",
    "present_all",
    "print_back",
    "read_file",
    "read_tables",
    "read_text",
    "set_position",
    "write_circuit",
    "write_tables",
]
