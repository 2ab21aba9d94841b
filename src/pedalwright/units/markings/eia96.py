"""The code of small 1 % surface-mount resistors: an E96 place from 01 to 96 and a multiplier letter.

From memory, agreeing with makers' tables; common practice for the 0603 size.
"""

import re

from pedalwright.units.markings.digits import digits_and_zeros, value_of
from pedalwright.units.preferred import Series

_ZEROS = {
    "Z": -3, "Y": -2, "R": -2, "X": -1, "S": -1, "A": 0, "B": 1, "H": 1, "C": 2, "D": 3, "E": 4, "F": 5,
}  # fmt: skip
_WRITTEN = {-3: "Z", -2: "Y", -1: "X", 0: "A", 1: "B", 2: "C", 3: "D", 4: "E", 5: "F"}
_CODE = re.compile(r"([0-9]{2})([A-Z])")


def read_place_code(text: str) -> float | None:
    """Value [ohm] of a code, None when the text is no such code.

    >>> read_place_code("01C"), read_place_code("68X")
    (10000.0, 49.9)
    """
    match = _CODE.fullmatch(text)
    if match is None or not 1 <= int(match[1]) <= 96 or match[2] not in _ZEROS:
        return None
    return value_of(Series.E96.members[int(match[1]) - 1], _ZEROS[match[2]])


def write_place_code(ohms: float) -> str | None:
    """Code of an E96 value [ohm], or None.

    >>> write_place_code(4750.0), write_place_code(4700.0)
    ('66B', None)
    """
    split = digits_and_zeros(ohms, 3)
    if split is None or split[0] not in Series.E96.members or split[1] not in _WRITTEN:
        return None
    return f"{Series.E96.members.index(split[0]) + 1:02d}{_WRITTEN[split[1]]}"
