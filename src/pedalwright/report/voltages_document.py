"""The table of voltages as a document, with room for the builder's own readings, and a pasted list held
against it.
"""

from collections.abc import Iterable
from dataclasses import replace
from itertools import groupby

from pedalwright.analysis.voltages import Comparison, KnobMove, Row, State, VoltageTable
from pedalwright.report.blocks import (
    Block,
    Box,
    Document,
    Facts,
    Paragraph,
    Points,
    Section,
    Table,
    Tone,
)
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.safety import SAFETY
from pedalwright.report.voltages_sentences import (
    PROBE,
    cells,
    fitting,
    knob_row,
    meter_error,
    meter_notes,
    opening,
    published,
    purpose,
    should_be,
    some,
    verdict_sentence,
    volts,
    wrong_if,
)
from pedalwright.report.walk_document import plain_anchor
from pedalwright.report.walk_sentences import certificate_sentence

TO_WRITE_IN = "________"
CAUTIONS = ("Mains", "Polarised capacitors", "Heat")
FIGURES = (3, 4, 5)


def voltages_document(
    table: VoltageTable, comparison: Comparison | None = None, *, to_write_in: bool = False
) -> Document:
    """The whole answer as blocks; `to_write_in` adds a column for the builder's own readings."""
    compared = [readings_section(comparison)] if comparison is not None else []
    rest: list[Section] = []
    if table.is_sound:
        rest = [*_groups(table, to_write_in), *_wrong(table), *_moves(table), _conditions(table)]
    return Document(
        title=f"{title_of(table.title)}: voltages",
        sections=(*compared, _glance(table, to_write_in), *rest),
        closing=fingerprint(table.text_sha256),
    )


def comparison_document(table: VoltageTable, comparison: Comparison) -> Document:
    """A pasted list alone, with the conditions its bands stand on."""
    refused = tuple(Paragraph(said, Tone.DOUBT) for said in table.refusals)
    first = readings_section(comparison)
    sections = [replace(first, blocks=(*refused, *first.blocks))]
    if table.is_sound:
        sections.append(_conditions(table))
    return Document(
        title=f"{title_of(table.title)}: your readings",
        sections=tuple(sections),
        closing=fingerprint(table.text_sha256),
    )


def _glance(table: VoltageTable, to_write_in: bool) -> Section:
    blocks: list[Block] = [Paragraph(said, Tone.DOUBT) for said in table.refusals]
    blocks += [Paragraph(said, Tone.LEAD) for said in opening(table)]
    if table.is_sound:
        blocks.append(Facts(tuple(_facts(table))))
    if to_write_in:
        cautions = tuple(one for one in SAFETY if one[0] in CAUTIONS)
        blocks.append(Box((PROBE, *cautions)))
    return Section(anchor="glance", heading="At a glance", blocks=tuple(blocks))


def _facts(table: VoltageTable) -> Iterable[tuple[str, str]]:
    for supply in table.supplies:
        if supply.measured_v is not None:
            yield f"supply {supply.net}", f"{supply.measured_v:g} V, as measured"
        else:
            yield f"supply {supply.net}", f"{supply.low_v:.3g} V to {supply.high_v:.3g} V ({supply.source})"
    yield from table.settings


def _groups(table: VoltageTable, to_write_in: bool) -> Iterable[Section]:
    """One section for the test points, one for each chip and transistor."""
    for group, rows in groupby(table.rows, key=lambda row: row.place.group):
        yield Section(
            anchor=plain_anchor(f"pins {group}"),
            heading=group,
            blocks=(_table(group, tuple(rows), to_write_in),),
        )


def _table(group: str, rows: tuple[Row, ...], to_write_in: bool) -> Table:
    own = ("yours",) if to_write_in else ()
    return Table(
        caption=group,
        columns=("place", "name", "what it is", "low", "typical", "high", *own),
        rows=tuple(_row(row, to_write_in) for row in rows),
        figures=FIGURES,
    )


def _row(row: Row, to_write_in: bool) -> tuple[str, ...]:
    own = (TO_WRITE_IN,) if to_write_in else ()
    name = row.place.name if row.place.name != row.place.key else ""
    return (row.place.key, name, purpose(row.place, row.expected), *cells(row.expected), *own)


def _wrong(table: VoltageTable) -> Iterable[Section]:
    """What wrong readings would mean; places on one net are told together."""
    # A test point that is a pin stands there again with more to say.
    last = {row.place.key: wrong_if(row.expected) for row in table.rows}
    told: dict[str, list[str]] = {}
    for key, said in last.items():
        if said:
            told.setdefault(said, []).append(key)
    if told:
        facts = tuple((", ".join(keys), said) for said, keys in told.items())
        text = (
            "The single faults that move each place most and the reading each would give, faults of parts on "
            "the spot first. Several faults look alike here, and a capacitor that has come off does not show "
            "at all. Look at the supplies first: without its supply, everything reads 0 V."
        )
        yield Section(
            anchor="wrong", heading="Reads wrong if", blocks=(Paragraph(text, Tone.QUIET), Facts(facts))
        )


def _moves(table: VoltageTable) -> Iterable[Section]:
    blocks: list[Block] = []
    rows = [knob_row(key, move) for key, moves in _moved(table) for move in moves]
    if rows:
        columns = ("place", "knob", "at its ends", "all over its travel")
        blocks.append(Table(caption="Readings that go with a knob", columns=columns, rows=tuple(rows)))
    nothing = [row.place.key for row in table.rows if row.expected.state is State.ANYTHING]
    if nothing:
        blocks.append(Paragraph(f"Any value is right on {', '.join(nothing)}: nothing holds them."))
    blocks.extend(Paragraph(said) for said in meter_notes(table))
    if blocks:
        yield Section(anchor="moves", heading="What moves a reading", blocks=tuple(blocks))


def _moved(table: VoltageTable) -> Iterable[tuple[str, tuple[KnobMove, ...]]]:
    seen: set[str] = set()
    for row in table.rows:
        if row.expected.knobs and row.place.net not in seen:
            seen.add(row.place.net)
            yield row.place.key, row.expected.knobs


def _conditions(table: VoltageTable) -> Section:
    items = [*table.conditions, *published(table)]
    if table.certified is not None:
        items.append(certificate_sentence(table.certified))
    return Section(anchor="conditions", heading="Under which conditions", blocks=(Points(tuple(items)),))


def readings_section(comparison: Comparison) -> Section:
    """Every reading with its verdict, what the wrong ones would fit, and what was not understood."""
    tone = Tone.DOUBT if comparison.wrong or not comparison.readings else Tone.GOOD
    blocks: list[Block] = [Paragraph(verdict_sentence(comparison), tone)]
    if comparison.readings:
        blocks.append(_readings_table(comparison))
    if comparison.wrong:
        blocks += _explained(comparison)
    blocks += [Paragraph(note, Tone.QUIET) for note in comparison.notes]
    if comparison.not_understood:
        lines = tuple(f"'{one.text}': {one.reason}." for one in comparison.not_understood)
        blocks += [Paragraph("Not understood:", Tone.DOUBT), Points(lines)]
    if comparison.readings:
        blocks.append(Paragraph(meter_error(), Tone.QUIET))
    return Section(anchor="readings", heading="Your readings", blocks=tuple(blocks))


def _explained(comparison: Comparison) -> list[Block]:
    """The faults that agree with everything read, or else those that would give each reading by itself."""
    if comparison.agree:
        return [
            Paragraph("Single faults that agree with all of your readings:"),
            Points(some(comparison.agree)),
        ]
    alone = tuple((f"{one.key} at {volts(one.volts)}", fitting(one)) for one in comparison.wrong)
    text = "No single fault known here agrees with all of your readings. Those that would give one of them:"
    return [Paragraph(text), Facts(alone)]


def _readings_table(comparison: Comparison) -> Table:
    rows = tuple(
        (
            one.key,
            volts(one.volts) if one.other_v is None else f"{one.volts:.2f} to {volts(one.other_v)}",
            should_be(one.expected),
            one.sentence,
        )
        for one in comparison.readings
    )
    return Table(
        caption="Your readings", columns=("place", "read", "should be", "verdict"), rows=rows, figures=(1, 2)
    )
