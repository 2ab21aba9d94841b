"""Section 4: every part by its designator, with its value, type, rating, tolerance, marking and purpose."""

from collections.abc import Iterable

from pedalwright.analysis.records import Effect
from pedalwright.report.blocks import Block, Paragraph, Section, Table, Tone
from pedalwright.report.pack.buying import (
    CAPACITORS,
    GROUPS,
    INDUCTORS,
    RESISTORS,
    Bought,
    bought,
)
from pedalwright.report.pack.dossier import Dossier
from pedalwright.report.pack.ranges import CORNER_SHARE, DELAY_SHARE, LEVEL_DB, Range
from pedalwright.report.pack.roles import role_of
from pedalwright.report.pack.section import Chapter, PackSection, chapter, without_empty
from pedalwright.report.pack.substitutes import Substitute
from pedalwright.report.walk_document import reading_order
from pedalwright.units.markings.forms import markings_of
from pedalwright.units.quantity import Quantity
from pedalwright.units.value_writing import print_value

QUANTITY_OF_GROUP = {
    RESISTORS: Quantity.RESISTANCE,
    CAPACITORS: Quantity.CAPACITANCE,
    INDUCTORS: Quantity.INDUCTANCE,
}
NOTHING = "-"
STILL_FINE = "still within"
SHORTER = {
    "4-band colours, the first 3": "four bands: first 3",
    "5-band colours, the first 4": "five bands: first 4",
}
"""what stands above a column must not widen it"""
WRITTEN_IN = {"in pF": (0.0, 1e-7), "in nF": (1e-10, 1e-6), "in µF": (1e-9, 1.0)}
"""farads for which parts and shops write a unit (common practice, no source)"""


def build(dossier: Dossier) -> Chapter:
    """One table a group, its markings, then why each sort was taken and what may stand in its place."""
    parts = sorted(bought(dossier), key=lambda one: reading_order(one.part.ref))
    groups = [(group, [one for one in parts if one.group == group]) for group in GROUPS]
    return chapter(
        sections=[
            *(_group(dossier, group, members) for group, members in groups if members),
            *_ranges(dossier, parts),
        ]
    )


def _group(dossier: Dossier, group: str, members: list[Bought]) -> Section:
    blocks: list[Block] = [
        without_empty(
            Table(
                caption="",
                columns=("part", "value", "sort", "rating", "tolerance", "what it is for"),
                rows=tuple(_row(dossier, one) for one in members),
            )
        )
    ]
    if group in QUANTITY_OF_GROUP:
        blocks.append(_markings(group, members))
    blocks += [Paragraph(why, Tone.QUIET) for why in dict.fromkeys(one.why for one in members if one.why)]
    return Section(anchor=f"parts-{group.split(maxsplit=1)[0].lower()}", heading=group, blocks=tuple(blocks))


def _row(dossier: Dossier, one: Bought) -> tuple[str, ...]:
    return (
        one.part.ref,
        one.value,
        one.sort,
        one.rating or NOTHING,
        one.tolerance or NOTHING,
        role_of(dossier, one.part.ref),
    )


def _markings(group: str, members: list[Bought]) -> Table:
    """Every marking of every value that occurs, in order of size."""
    values = {one.part.value: one.value for one in members if one.part.value}
    sheets = [
        (shown, markings_of(value, QUANTITY_OF_GROUP[group])) for value, shown in sorted(values.items())
    ]
    systems = tuple(form.system for form in sheets[0][1].forms) if sheets else ()
    return Table(
        caption="What may be printed on them",
        columns=("value", *(SHORTER.get(system, system) for system in systems)),
        rows=tuple(
            (shown, *(_marking(form.system, form.marking, sheet.value) for form in sheet.forms))
            for shown, sheet in sheets
        ),
    )


def _marking(system: str, marking: str | None, value: float) -> str:
    """A marking; nobody prints millions of picofarads."""
    low, high = WRITTEN_IN.get(system, (0.0, float("inf")))
    return marking if marking and low <= value < high else NOTHING


def _ranges(dossier: Dossier, parts: list[Bought]) -> Iterable[Section]:
    """How far each part may be from its value, and what other types would do."""
    blocks = [*_on_the_way(dossier, parts), *_elsewhere(dossier, parts), *_types(dossier)]
    if blocks:
        yield Section(anchor="parts-ranges", heading="What may stand in their place", blocks=tuple(blocks))


def _on_the_way(dossier: Dossier, parts: list[Bought]) -> Iterable[Block]:
    found = {one.part.ref: one for one in dossier.ranges}
    rows = tuple(_range_row(one, found[one.part.ref]) for one in parts if one.part.ref in found)
    if not rows:
        return
    corner, delay = f"{100 * CORNER_SHARE:.0f} %", f"{100 * DELAY_SHARE:.0f} %"
    yield Paragraph(
        f"On the sound's way: the widest range in which every level heard stays within {LEVEL_DB:g} dB, "
        f"every corner within {corner}, every delay within {delay}, and every stage rests within {delay} of "
        "the supply from where it did; one part changed at a time, up to ten times smaller or larger, with "
        "the knobs as in this document."
    )
    yield Table(
        caption="From where to where",
        columns=("part", "value", "from", "to", "one step below that", "one step above that"),
        rows=rows,
    )


def _range_row(one: Bought, found: Range) -> tuple[str, ...]:
    unit = "ohm" if one.group == RESISTORS else "F"
    return (
        one.part.ref,
        one.value,
        print_value(found.low, unit),
        print_value(found.high, unit),
        found.below or STILL_FINE,
        found.above or STILL_FINE,
    )


def _elsewhere(dossier: Dossier, parts: list[Bought]) -> Iterable[Block]:
    """What keeps supply, rest and time: one step either way, as the walk-through tried it."""
    ranged = {one.part.ref for one in dossier.ranges}
    rows = [
        (one.part.ref, one.value, _effect(told.smaller), _effect(told.larger))
        for one in parts
        if one.part.ref not in ranged
        and one.part.ref in dossier.told
        and (told := dossier.told[one.part.ref][1]).larger is not None
    ]
    if rows:
        yield Table(
            caption="Supply, bias, timing, knobs: one step either way",
            columns=("part", "value", "one step smaller", "one step larger"),
            rows=tuple(rows),
        )


def _effect(effect: Effect | None) -> str:
    if effect is None:
        return NOTHING
    change = effect.changes[0].rstrip(". ").removeprefix("by the formula, ") if effect.changes else ""
    return f"{effect.value_text}: {change or 'not seen by these computations; keep the value'}"


def _types(dossier: Dossier) -> Iterable[Block]:
    found = dossier.substitutes
    if not found:
        return
    yield Paragraph(
        "Other types of the same sort, each solved in the whole circuit for resting voltages, gain at 1 kHz "
        "and current. Legs may differ: see the sheet of the very part. What a sheet does not say (hiss, "
        "spread from part to part) is not compared here."
    )
    yield Table(
        caption="Other types",
        columns=("part", "instead of", "take", "does it do", "what moves"),
        rows=tuple(_type_rows(found)),
    )


def _type_rows(found: tuple[Substitute, ...]) -> Iterable[tuple[str, ...]]:
    """Types that do the same on one line, those that do the job first."""
    alike: dict[tuple[str, str, bool, str], list[str]] = {}
    for one in found:
        alike.setdefault((", ".join(one.refs), one.now, one.is_alike, one.says), []).append(one.other)
    order = list(dict.fromkeys(refs for refs, _, _, _ in alike))
    for (refs, now, does, says), others in sorted(
        alike.items(), key=lambda item: (order.index(item[0][0]), not item[0][2])
    ):
        yield refs, now, ", ".join(others), "yes" if does else "changes it", says


SECTION = PackSection(name="parts-list", place=4, heading="Parts list", build=build)
