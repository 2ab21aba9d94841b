"""Whether the lists of parts agree: parts list, shopping list, soldering order, and the table as CSV."""

import csv
import re
from collections import Counter
from collections.abc import Iterable, Mapping
from io import StringIO

from pedalwright.circuit.circuit import Circuit
from pedalwright.report.blocks import Document, Section
from pedalwright.report.pack.texts import tables_of, texts

PARTS, SHOPPING, SOLDERING = "parts-list", "shopping-list", "soldering-order"
NOT_LISTS = ("parts-ranges", "shopping-hardware")
"""sections inside the lists whose tables are no lists of parts"""
NOTHING = ("", "-")


def lists_that_differ(document: Document, circuit: Circuit, csv_text: str | None) -> Iterable[str]:
    """A sentence for every part that a list leaves out, has twice or calls something else."""
    found = {section.anchor: section for section in document.sections}
    listed: dict[str, tuple[str, str]] = {}
    if PARTS in found:
        rows = list(_listed(found[PARTS]))
        listed = dict(rows)
        yield from _whole(found[PARTS].heading, [ref for ref, _ in rows], circuit)
    if SHOPPING in found:
        yield from _shopped(found[SHOPPING], circuit, listed)
    if SOLDERING in found:
        words = {word for text in texts(found[SOLDERING]) for word in re.findall(r"[^\s,;()]+", text)}
        yield from (
            f"'{found[SOLDERING].heading}' leaves out {ref}." for ref in circuit.by_ref if ref not in words
        )
    if csv_text is not None:
        yield from _tabled(csv_text, circuit, listed)


def _rows(section: Section) -> Iterable[dict[str, str]]:
    """The rows of every list in a section, by the names of their columns."""
    for inner in section.sections:
        if inner.anchor in NOT_LISTS:
            continue
        for table in tables_of(inner):
            yield from (dict(zip(table.columns, row, strict=True)) for row in table.rows)


def _listed(section: Section) -> Iterable[tuple[str, tuple[str, str]]]:
    """Every row of the parts list as (designator, (value, rating))."""
    for row in _rows(section):
        if "part" in row:
            yield row["part"], (row.get("value", ""), _said(row.get("rating", "")))


def _said(cell: str) -> str:
    return "" if cell in NOTHING else cell


def _whole(heading: str, refs: list[str], circuit: Circuit) -> Iterable[str]:
    counted = Counter(refs)
    yield from (f"'{heading}' leaves out {ref}." for ref in circuit.by_ref if ref not in counted)
    yield from (f"'{heading}' has {ref} more than once." for ref, times in counted.items() if times > 1)
    yield from (
        f"'{heading}' lists {ref}, which the circuit does not have."
        for ref in counted
        if ref not in circuit.by_ref
    )


def _shopped(section: Section, circuit: Circuit, listed: Mapping[str, tuple[str, str]]) -> Iterable[str]:
    """Every part bought once, as what the parts list says, and every line as many times as it has parts."""
    bought: list[str] = []
    for row in _rows(section):
        refs = row["for"].split(", ") if row.get("for") else []
        bought += refs
        if row.get("how many") != str(len(refs)):
            yield f"'{section.heading}' counts {row.get('how many')} for {row.get('for')}."
        as_bought = (row.get("value", ""), _said(row.get("rating", "")))
        yield from (
            f"'{section.heading}' buys {ref} as {' '.join(filter(None, as_bought))}, the parts list has "
            f"{' '.join(filter(None, listed[ref]))}."
            for ref in refs
            if ref in listed and listed[ref] != as_bought
        )
    yield from _whole(section.heading, bought, circuit)


def _tabled(csv_text: str, circuit: Circuit, listed: Mapping[str, tuple[str, str]]) -> Iterable[str]:
    rows = list(csv.DictReader(StringIO(csv_text)))
    yield from _whole("parts.csv", [row.get("part", "") for row in rows], circuit)
    for row in rows:
        ref, value = row.get("part", ""), row.get("value", "").removeprefix("'")
        if ref in listed and value != listed[ref][0]:
            yield f"'parts.csv' has {ref} as {value}, the parts list as {listed[ref][0]}."
