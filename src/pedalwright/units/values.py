"""Values as written and as printed: the front door of this folder.

`parse_value` reads what a builder writes, `write_value` writes it back, `print_value` is for reading.
"""

from pedalwright.units.mistake import ValueMistake
from pedalwright.units.quantity import Quantity
from pedalwright.units.value_reading import parse_value
from pedalwright.units.value_writing import print_value, write_value

__all__ = ["Quantity", "ValueMistake", "parse_value", "print_value", "write_value"]
