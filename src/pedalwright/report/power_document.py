"""The supply side as a document: budget, battery, switch-on, heat, wrong supplies."""

from pedalwright.analysis.naming_nets import spoken
from pedalwright.analysis.power.answers import PowerAnswers
from pedalwright.analysis.power.records import AbuseCase, BatteryLife, Cell, Heat, PowerBudget, Settling
from pedalwright.report.blocks import Block, Box, Document, Paragraph, Points, Section, Table, Tone
from pedalwright.report.figures import figure
from pedalwright.report.identity import fingerprint, title_of
from pedalwright.report.power_sentences import (
    MOST_GIVEN_A,
    current,
    given,
    glance,
    gulp,
    hours,
    label_notes,
    life,
    made_from,
    seconds,
    strain_says,
    three,
    verdict,
)
from pedalwright.report.safety import SAFETY

LEAST_ROWS, HEAT_ROWS, TOLD_SHARE = 3, 15, 0.01
"""how many parts the table of heat tells: those that use more than this share; JSON has them all"""
SMALL_SHARE = 0.01
"""small loads together are told from this share of a rail's current; JSON has them all"""
WARM_SHARE = 0.5
"""a part that uses more than this of what it stands is told of (common practice: twice the heat as rating)"""
CAUTIONS = ("Mains", "Polarised capacitors", "Heat", "Rules")
ASSUMED_ABUSE = (
    "Each wrong supply is solved on this circuit at rest, as if it lasted; a peak of AC as if it stood "
    "still. Nothing in the solution breaks or blows: what goes first may save or doom what comes after. "
    "Every chip is taken to have a diode backwards between its supply pins, and to stand 50 mA through it "
    "for a moment (house choice; no sheet says)."
)
UNLIMITED = (
    "The figures are for a supply that gives any current. An adaptor gives in first: its voltage drops, its "
    "own protection acts, or it burns out; a fuse before the pedal decides which."
)
ASSUMED_SETTLING = (
    "From the exact step response of the circuit made linear at rest: empty capacitors, the supply there at "
    "once. Diodes let the first gulp in faster and amplifiers wait at a rail: take it to some ten per cent."
)
ASSUMED_HEAT = (
    "In a box: air of 40 °C around the part, of 25 °C outside (common practice). Junction: that air plus the "
    "most heat times the thermal resistance, and what it may be. A loud signal adds heat that is not here."
)


def power_document(answers: PowerAnswers) -> Document:
    """The whole answer as blocks, in the order a builder needs it."""
    cautions = tuple(item for item in SAFETY if item[0] in CAUTIONS)
    found = [_budget(answers)]
    if answers.battery is not None:
        found.append(_battery(answers.battery))
    if answers.settling or answers.inrush:
        found.append(_switch_on(answers))
    if answers.heat:
        found.append(_heat(answers))
    if answers.abuse:
        found.append(_abuse(answers.abuse))
    safety = Section(anchor="safety", heading="Before you connect a supply", blocks=(Box(cautions),))
    return Document(
        title=f"{title_of(answers.title)}: power",
        sections=(*found, safety),
        closing=fingerprint(answers.text_sha256),
    )


def _budget(answers: PowerAnswers) -> Section:
    found = answers.budget
    blocks: list[Block] = [Paragraph(said, Tone.LEAD) for said in glance(found)]
    blocks += [Paragraph(said, Tone.DOUBT) for said in found.refusals]
    blocks += [Paragraph(said) for said in found.notes]
    if answers.settings:
        places = ", ".join(f"{ref} at {place.removesuffix('.0')}" for ref, place in answers.settings)
        blocks.append(Paragraph(f"Reckoned with {places}.", Tone.QUIET))
    inner: tuple[Section, ...] = ()
    if found.rails:
        inner = (
            Section(anchor="rails", heading="The rails, from the supply inwards", blocks=(_rails(found),)),
            Section(anchor="loads", heading="Where the current of each goes", blocks=(_loads(found),)),
            Section(
                anchor="budget-terms", heading="On these terms", blocks=(Points(tuple(label_notes(found))),)
            ),
        )
    return Section(anchor="budget", heading="What it draws", blocks=tuple(blocks), sections=inner)


def _rails(found: PowerBudget) -> Table:
    rows = []
    for rail in found.rails:
        least, typical, most = three(rail.amps, "A")
        room = "" if rail.limit_a is None else f" (gives {current(rail.limit_a)} at most)"
        volts = figure(rail.volts.typical, "V")
        rows.append((spoken(rail.net), volts, least, typical, most, f"{made_from(rail)}{room}"))
    return Table(
        caption="The rails, from the supply inwards",
        columns=("rail", "rests at", "least", "typical", "most", "made from"),
        rows=tuple(rows),
        figures=(1, 2, 3, 4),
    )


def _loads(found: PowerBudget) -> Table:
    rows = []
    for rail in found.rails:
        for load in rail.loads:
            if load.ref == "" and load.amps.most < SMALL_SHARE * rail.amps.typical:
                continue
            onward = f"{load.says}, to {spoken(load.onward)}" if load.onward else load.says
            rows.append((spoken(rail.net), load.ref or "-", *three(load.amps, "A"), onward))
    return Table(
        caption="Where each rail's current goes",
        columns=("rail", "part", "least", "typical", "most", "what it is"),
        rows=tuple(rows),
        figures=(2, 3, 4),
    )


def _battery(found: BatteryLife) -> Section:
    rows = tuple(_cell_row(one) for one in found.cells)
    blocks: list[Block] = [Paragraph(" ".join(life(found)), Tone.LEAD)]
    blocks.append(
        Table(
            caption="A 9 V battery, down to there",
            columns=("battery", "lasts", "ends at", "charge used"),
            rows=rows,
            figures=(1, 2, 3),
        )
    )
    later = [f"{one.at_v:.2f} V: {one.says}." for one in found.failing[1:]]
    if later:
        blocks += [Paragraph("What would fail after that:"), Points(tuple(later))]
    sources = dict.fromkeys(cell.source for cell in found.cells)
    blocks.append(Paragraph(f"Capacities and discharge curves {'; '.join(sources)}.", Tone.QUIET))
    return Section(anchor="battery", heading="On a battery", blocks=tuple(blocks))


def _cell_row(one: Cell) -> tuple[str, ...]:
    charge = f"{1e3 * one.used_ah:.0f} of {1e3 * one.whole_ah:.0f} mAh"
    return one.name, hours(one.hours), figure(one.end_v, "V"), charge


def _switch_on(answers: PowerAnswers) -> Section:
    blocks: list[Block] = []
    if answers.settling:
        rows = tuple(_settling_row(one) for one in answers.settling)
        blocks.append(
            Table(
                caption="How long after switch-on",
                columns=("net", "what it is", "rests at", "within 5 %", "within 1 %"),
                rows=rows,
                figures=(2, 3, 4),
            )
        )
        fades = [one for one in answers.settling if one.fade_s]
        blocks += [
            Paragraph(
                f"{one.says[:1].upper()}{one.says[1:]}: the chip itself keeps still and fades in over about "
                f"{1e3 * (one.fade_s or 0):.0f} ms (maker's data sheet)."
            )
            for one in fades
        ]
        if any(one.within_1_s is None for one in answers.settling):
            blocks.append(Paragraph("Not known: an oscillator keeps moving that net.", Tone.QUIET))
    if answers.inrush is not None:
        blocks += [Paragraph(said) for said in gulp(answers.inrush)]
    blocks.append(Paragraph(ASSUMED_SETTLING, Tone.QUIET))
    return Section(anchor="switch-on", heading="At switch-on", blocks=tuple(blocks))


def _settling_row(one: Settling) -> tuple[str, ...]:
    return (
        spoken(one.net),
        one.says,
        figure(one.volts, "V"),
        seconds(one.within_5_s),
        seconds(one.within_1_s),
    )


def _heat(answers: PowerAnswers) -> Section:
    warmest = [one for one in answers.heat if one.share is None or one.share >= TOLD_SHARE]
    shown = (*warmest, *answers.heat[len(warmest) : LEAST_ROWS])[:HEAT_ROWS]
    blocks: list[Block] = [Paragraph(said, Tone.DOUBT) for said in map(strain_says, answers.strained)]
    warm = [one.ref for one in answers.heat if (one.share or 0.0) > WARM_SHARE]
    if warm:
        blocks.append(Paragraph(f"More than half of what they stand: {', '.join(warm)}.", Tone.DOUBT))
    else:
        blocks.append(Paragraph("No part uses more than half of what it stands.", Tone.LEAD))
    blocks.append(
        Table(
            caption="Heat at rest, the part nearest its limit first",
            columns=(
                "part",
                "what it is",
                "typical",
                "most",
                "stands, in a box",
                "used",
                "junction, in a box",
            ),
            rows=tuple(_heat_row(one) for one in shown),
            figures=(2, 3, 4, 5, 6),
        )
    )
    if len(answers.heat) > len(shown):
        blocks.append(Paragraph("Parts that stay cooler are left out.", Tone.QUIET))
    blocks.append(Paragraph(ASSUMED_HEAT, Tone.QUIET))
    return Section(anchor="heat", heading="What gets warm", blocks=tuple(blocks))


def _heat_row(one: Heat) -> tuple[str, ...]:
    junction = "-"
    if one.box_c is not None:
        junction = f"{one.box_c:.0f} °C"
        if one.most_junction_c is not None:
            junction += f" of {one.most_junction_c:.0f}"
    return (
        one.ref,
        one.says,
        figure(one.watts.typical, "W"),
        figure(one.watts.most, "W"),
        figure(one.allowed_w, "W") if one.allowed_w is not None else "not known",
        _used(one.share),
        junction,
    )


def _used(share: float | None) -> str:
    if share is None:
        return "-"
    return "under 1 %" if share < 0.01 else f"{100 * share:.0f} %"


def _abuse(cases: tuple[AbuseCase, ...]) -> Section:
    table = Table(
        caption="What a wrong supply does",
        columns=("supply", "what becomes of it", "drawn", "kept from harm by"),
        rows=tuple(
            (
                case.says,
                verdict(case),
                given(case.supply_a),
                "; ".join(case.protected_by) or "-",
            )
            for case in cases
        ),
        figures=(2,),
    )
    inner = tuple(_case(case, place) for place, case in enumerate(cases, 1) if case.strains)
    return Section(
        anchor="abuse",
        heading="With a wrong supply",
        blocks=(table, Paragraph(ASSUMED_ABUSE, Tone.QUIET)),
        sections=inner,
    )


def _case(case: AbuseCase, place: int) -> Section:
    """What is exceeded in one case, the first to go first."""
    blocks: list[Block] = [Points(tuple(f"{strain_says(one)}." for one in case.strains))]
    if case.supply_a is not None and case.supply_a > MOST_GIVEN_A:
        blocks.append(Paragraph(UNLIMITED, Tone.QUIET))
    if case.chips_alive:
        blocks.append(Paragraph(f"Within their ratings: {', '.join(case.chips_alive)}."))
    return Section(
        anchor=f"abuse-{place}", heading=case.says[:1].upper() + case.says[1:], blocks=tuple(blocks)
    )
