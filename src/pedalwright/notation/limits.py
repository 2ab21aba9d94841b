"""How much text is read at most. Far beyond any pedal; they keep a wrong file from taking minutes."""

LARGEST_FILE_BYTES = 256 * 1024
MOST_LINES = 2000
LONGEST_LINE = 500
MOST_PARTS = 400
LONGEST_NAME = 40
"""characters of a net's, knob's or switch's name"""
MOST_REMARKS = 200
"""remarks listed for one text; the rest are counted"""
MOST_ROWS = 20_000
"""rows of one table"""
