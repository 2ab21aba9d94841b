"""Section 16: what has changed since the revision named with --since."""

from collections.abc import Iterable

from pedalwright.analysis.naming_nets import spoken
from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.devices.catalogue import device
from pedalwright.report.blocks import Paragraph, Section, Table
from pedalwright.report.figures import figure
from pedalwright.report.knobs_sentences import said
from pedalwright.report.pack.buying import GROUP_OF_FAMILY, OTHER, value_of
from pedalwright.report.pack.dossier import SHORT_HASH, Dossier
from pedalwright.report.pack.section import Chapter, PackSection, chapter
from pedalwright.report.repeats_sentences import dial
from pedalwright.report.walk_document import reading_order
from pedalwright.review.want_words import margin_words

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
        Table(caption="", columns=("part", "was", "is"), rows=tuple(rows))
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
        old, new = before.by_ref.get(ref), after.by_ref.get(ref)
        joined_alike = old is not None and new is not None and old.pins == new.pins
        was, now = (ABSENT if one is None else _described(one) for one in (old, new))
        if was != now or not joined_alike:
            yield ref, was + _joined(old, joined_alike), now + _joined(new, joined_alike)


def _joined(part: Part | None, joined_alike: bool) -> str:
    """Where the pins are, if that is part of the change."""
    if part is None or joined_alike:
        return ""
    between = ", ".join(f"{pin} on {spoken(net)}" for pin, net in part.pins if "/" not in net)
    return f"; {between}" if between else ""


def _described(part: Part) -> str:
    value = value_of(part, GROUP_OF_FAMILY.get(device(part.kind).family, OTHER))
    notes = ", ".join((*part.notes, *(f"{key}={said}" for key, said in part.options)))
    setting = f" at {part.setting}" if part.setting is not None else ""
    law = f" {part.law}" if part.law else ""
    return f"{value}{law}{setting}{f' ({notes})' if notes else ''}"


def _figures(before: Dossier, after: Dossier) -> Table:
    """Every figure of either, the changed ones marked."""
    was, now = dict(_told(before)), dict(_told(after))
    rows = tuple(
        (name, was.get(name, ABSENT), now.get(name, ABSENT), _mark(was.get(name), now.get(name)))
        for name in dict.fromkeys((*was, *now))
    )
    return Table(
        caption="Knobs as each text sets them", columns=("figure", "was", "is", ""), rows=rows, figures=(1, 2)
    )


def _mark(was: str | None, now: str | None) -> str:
    return "" if was == now else "changed"


def _told(dossier: Dossier) -> Iterable[tuple[str, str]]:
    yield from _overall(dossier)
    yield from _echo(dossier)
    for answer in dossier.knobs:
        for heard in answer.heard[:1]:
            ends = f"{said(heard.at_0, heard.unit)} to {said(heard.at_10, heard.unit)}"
            yield f"{answer.ref}, {heard.name.removeprefix('the ')}", ends
    for wanted in dossier.wants:
        yield f"wanted: {wanted.want.text}", margin_words(wanted)
    yield "findings of the review", str(len(dossier.review.found))


def _overall(dossier: Dossier) -> Iterable[tuple[str, str]]:
    overall = dossier.walk.overall
    yield "gain at 1 kHz", figure(overall.gain_db, "dB")
    yield "bass corner", figure(overall.low_corner_hz, "Hz")
    yield "treble corner", figure(overall.high_corner_hz, "Hz")
    yield "input impedance", figure(overall.input_ohms, "ohm")
    yield "output impedance", figure(overall.output_ohms, "ohm")
    for net, amps in dossier.budget.supply_a:
        yield f"current from {net}", figure(amps.typical, "A")


def _echo(dossier: Dossier) -> Iterable[tuple[str, str]]:
    if dossier.echo is None:
        return
    for chip in dossier.echo.chips:
        yield f"delay of {chip.state.ref}", said(chip.state.delay_s, "s")
    if dossier.echo.silent_after is not None:
        yield "repeats until 60 dB down", str(dossier.echo.silent_after)
    for knob in dossier.echo.repeats_knobs:
        yield f"{knob.knob} runs away from", dial(knob.runaway.position)


SECTION = PackSection(name="changes", place=16, heading="Changes since the last revision", build=build)
