"""Any measure as a list of plain facts: what, how much, in which unit, under which conditions, or why not.

The records say it by their form: fields without a default are what the measure was asked for or had to
assume, fields with one are what it found. Names end in their unit.
"""

from dataclasses import MISSING, dataclass, fields, is_dataclass
from typing import Any

_UNITS = {
    "hz": "Hz",
    "v": "V",
    "db": "dB",
    "s": "s",
    "deg": "degree",
    "cents": "cent",
}
_PLAIN = (bool, int, float, str)
_NUMBERING = ("order", "number")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """One figure. `value` is None where nothing can be stood by; `remarks` are those of its measure."""

    measure: str
    item: str
    """``harmonic 2``, ``arrival 5``; empty for the measure as a whole"""
    what: str
    value: bool | float | str | None
    unit: str
    holds_for: tuple[tuple[str, bool | float | str, str], ...]
    """(what, value, unit)"""
    remarks: tuple[str, ...]


def facts(*measures: object) -> tuple[Fact, ...]:
    """Facts of measures and of collections of measures, in the order of their fields; no curves."""
    return tuple(fact for measure in measures if is_dataclass(measure) for fact in _facts(measure))


def _facts(measure: Any) -> list[Fact]:
    inside = [getattr(measure, one.name) for one in fields(measure)]
    if not hasattr(measure, "remarks"):
        return [fact for one in inside if is_dataclass(one) for fact in _facts(one)]
    about = {
        "measure": _words(type(measure).__name__),
        "holds_for": _conditions(measure),
        "remarks": measure.remarks,
    }
    found = [one for one in fields(measure) if one.default is not MISSING and one.name != "remarks"]
    said = [
        Fact(item="", **_said(measure, one.name), **about) for one in found if _is_plain(measure, one.name)
    ]
    return said + [Fact(**_said(item, name), item=_item(item), **about) for item, name in _items(inside)]


def _conditions(measure: Any) -> tuple[tuple[str, bool | float | str, str], ...]:
    """What the measure holds for, the fields of a record `conditions` among them."""
    given: list[tuple[str, bool | float | str, str]] = []
    for one in fields(measure):
        if one.default is not MISSING:
            continue
        value = getattr(measure, one.name)
        what, unit = _name(one.name)
        if isinstance(value, _PLAIN):
            given.append((what, value, unit))
        elif one.name == "conditions":
            given.extend(_conditions(value))
        elif isinstance(value, tuple) and all(isinstance(part, float) for part in value):
            given.extend((f"{what} {place}", part, unit) for place, part in enumerate(value, start=1))
    return tuple(given)


def _items(inside: list[Any]) -> list[tuple[Any, str]]:
    """(record, name of field) of numbered records within a measure."""
    rows = [row for value in inside if isinstance(value, tuple) for row in value if is_dataclass(row)]
    return [
        (row, one.name)
        for row in rows
        for one in fields(row)
        if one.name not in _NUMBERING and _is_plain(row, one.name)
    ]


def _item(row: Any) -> str:
    number = next(getattr(row, name) for name in _NUMBERING if hasattr(row, name))
    return f"{_words(type(row).__name__)} {number}"


def _is_plain(record: Any, name: str) -> bool:
    value = getattr(record, name)
    return value is None or isinstance(value, _PLAIN)


def _said(record: Any, name: str) -> dict[str, Any]:
    what, unit = _name(name)
    return {"what": what, "value": getattr(record, name), "unit": unit}


def _name(field_name: str) -> tuple[str, str]:
    """A field's name as words, and its unit."""
    *words, last = field_name.split("_")
    unit = _UNITS.get(last, "") if words else ""
    return " ".join(words if unit else [*words, last]), unit


def _words(class_name: str) -> str:
    return "".join(f" {letter.lower()}" if letter.isupper() else letter for letter in class_name).strip()
