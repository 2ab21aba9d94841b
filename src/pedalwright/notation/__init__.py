"""Text <-> circuit: reading with every mistake located, printing back byte for byte, changing one token."""

from pedalwright.notation.reading import Reading, examine, read_file, read_text
from pedalwright.notation.written import print_back

__all__ = ["Reading", "examine", "print_back", "read_file", "read_text"]
