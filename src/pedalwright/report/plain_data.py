"""Records as plain data for JSON: never a number that is not one, and always in the same order."""

import json
from collections.abc import Iterable, Mapping
from math import isfinite
from typing import Any

DIGITS = 9
"""significant digits kept: more than any figure is worth, few enough to be alike on every machine"""


def number(value: float | None) -> float | None:
    """A finite number to nine digits, or None for one that is not known."""
    if value is None or not isfinite(value):
        return None
    return float(f"{float(value):.{DIGITS}g}")


def numbers(values: Iterable[float] | None) -> list[float | None] | None:
    """Each of them as `number` gives it; None for none at all."""
    return None if values is None else [number(value) for value in values]


def json_text(data: Mapping[str, Any], *, indent: int | None = 1) -> str:
    """The JSON text, ending in a line feed. Raises ValueError should a NaN or an infinity have slipped in."""
    return json.dumps(data, ensure_ascii=False, allow_nan=False, indent=indent) + "\n"
