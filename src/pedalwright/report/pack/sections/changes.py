"""Section 16: what has changed since the revision named with --since."""

from collections.abc import Iterable

from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.report.blocks import Paragraph, Section, Table
from pedalwright.report.figures import figure
from pedalwright.report.pack.buying import GROUP_OF_FAMILY, OTHER, value_of
from pedalwright.report.pack.dossier import SHORT_HASH, Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.walk_document import reading_order

ABSENT = "-"


def build(dossier: Dossier) -> Chapter:
    """Parts that came, went or changed, and the figures that moved with them."""
    if dossier.since is None:
        return chapter()
    before, after = dossier.before, dossier
    if before is None or before.text_sha256 == after.text_sha256:
        return chapter([Paragraph("Nothing: the two texts are the same.")])
    rows = list(_parts(before.circuit, after.circuit))
    changed = (
        Table(caption="Parts", columns=("part", "was", "is"), rows=tuple(rows))
        if rows
        else Paragraph("No part has changed.")
    )
    return chapter(
        [Paragraph(f"Since revision {before.text_sha256[:SHORT_HASH]}.")],
        [
            Section(anchor="changes-parts", heading="Parts", blocks=(changed,)),
            Section(anchor="changes-figures", heading="Figures", blocks=(_figures(before, after),)),
        ],
    )


def _parts(before: Circuit, after: Circuit) -> Iterable[tuple[str, str, str]]:
    for ref in sorted({*before.by_ref, *after.by_ref}, key=reading_order):
        was, now = _described(before.by_ref.get(ref)), _described(after.by_ref.get(ref))
        if was != now:
            yield ref, was, now


def _described(part: Part | None) -> str:
    if part is None:
        return ABSENT
    value = value_of(part, GROUP_OF_FAMILY.get(device(part.kind).family, OTHER))
    notes = ", ".join((*part.notes, *(f"{key}={said}" for key, said in part.options)))
    setting = f" at {part.setting}" if part.setting is not None else ""
    law = f" {part.law}" if part.law else ""
    between = " ".join(f"{pin}={net}" for pin, net in part.pins if "/" not in net)
    return f"{value}{law}{setting}{f' ({notes})' if notes else ''}, {between}"


def _figures(before: Dossier, after: Dossier) -> Table:
    pairs = [
        (name, was, now) for (name, was), (_, now) in zip(_overall(before), _overall(after), strict=True)
    ]
    return Table(caption="Jack to jack", columns=("figure", "was", "is"), rows=tuple(pairs), figures=(1, 2))


def _overall(dossier: Dossier) -> list[tuple[str, str]]:
    overall = dossier.walk.overall
    supply = sum(amps for _, amps in overall.supply_a)
    return [
        ("gain at 1 kHz", figure(overall.gain_db, "dB")),
        ("bass corner", figure(overall.low_corner_hz, "Hz")),
        ("treble corner", figure(overall.high_corner_hz, "Hz")),
        ("input impedance", figure(overall.input_ohms, "ohm")),
        ("output impedance", figure(overall.output_ohms, "ohm")),
        ("current", figure(supply, "A")),
    ]


SECTION = PackSection(name="changes", place=16, heading="Changes since the last revision", build=build)
