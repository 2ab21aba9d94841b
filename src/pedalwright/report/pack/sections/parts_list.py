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
from pedalwright.report.pack.roles import role_of
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.walk_document import reading_order
from pedalwright.units.markings.forms import markings_of
from pedalwright.units.quantity import Quantity

QUANTITY_OF_GROUP = {
    RESISTORS: Quantity.RESISTANCE,
    CAPACITORS: Quantity.CAPACITANCE,
    INDUCTORS: Quantity.INDUCTANCE,
}
NOTHING = "-"


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
        Table(
            caption="",
            columns=("part", "value", "sort", "rating", "tolerance", "what it is for"),
            rows=tuple(_row(dossier, one) for one in members),
        )
    ]
    if group in QUANTITY_OF_GROUP:
        blocks.append(_markings(group, members))
    whys = dict.fromkeys(f"{one.sort.capitalize()}: {one.why}" for one in members if one.why)
    blocks += [Paragraph(why, Tone.QUIET) for why in whys]
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
        columns=("value", *systems),
        rows=tuple((shown, *(form.marking or NOTHING for form in sheet.forms)) for shown, sheet in sheets),
    )


def _ranges(dossier: Dossier, parts: list[Bought]) -> Iterable[Section]:
    """One step either way, as the walk-through tried it."""
    rows = [
        (one.part.ref, one.value, _effect(told.smaller), _effect(told.larger))
        for one in parts
        if one.part.ref in dossier.told and (told := dossier.told[one.part.ref][1]).larger is not None
    ]
    if not rows:
        return
    yield Section(
        anchor="parts-ranges",
        heading="What may stand in their place",
        blocks=(
            Paragraph(
                "Every value tried one step smaller and one step larger in the whole circuit. Where nothing "
                "is said to move, either will do."
            ),
            Table(
                caption="One step either way",
                columns=("part", "value", "one step smaller", "one step larger"),
                rows=tuple(rows),
            ),
        ),
    )


def _effect(effect: Effect | None) -> str:
    if effect is None:
        return NOTHING
    changes = "; ".join(change.rstrip(". ") for change in effect.changes)
    return f"{effect.value_text}: {changes or 'nothing measured moves'}"


SECTION = PackSection(name="parts-list", place=4, heading="Parts list", build=build)
