"""An input that takes the treble out of a pickup."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from pedalwright.analysis.memo import Analysis
from pedalwright.circuit.part import Part
from pedalwright.devices.ports import INPUT
from pedalwright.devices.sources import SourceFigures, source_figures
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import db, first_value, from_source, input_net, place
from pedalwright.review.rules.signal._trials import FOLLOWERS, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.band import Band
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.stages.pickup import PICKUP, WANTED_OHMS, load_ohms, peak_hz
from pedalwright.stages.wording import hz, listed, named, ohms

HEALTHY_OHMS = 1e6
"""what the input is compared with: the load most pedals and amplifiers give (common practice, no source)"""
HEARD_DB, MUFFLED_DB = 4.0, 8.0
"""loss at the pickup's peak that is plainly heard, and that makes it sound like a blanket (house rule)"""
AIM_DB = 2.0
FAR = 33.0
"""a cure further away than one and a half decades would be another circuit (house rule)"""
LEAST_OHMS = 4.7e3
RAISED = 5.0
MIDDLE_HZ, COST_DB = 1e3, 3.0
"""a cure that costs more level than this is none (house rule)"""
MOVES_V = 0.5
"""nor is one that moves a resting voltage by more than this"""


def look(survey: Survey) -> Iterable[Finding]:
    """A pickup that loses its peak against the same pickup on 1 Mohm."""
    port = survey.circuit.input
    if port is None or port.source != PICKUP:
        return
    figures = source_figures(PICKUP)
    at = place(survey.band, peak_hz(figures))
    seen = abs(from_source(survey)[at, survey.band.row(port.net)])
    loss = db(_on(figures, survey.band, at, HEALTHY_OHMS) / max(seen, 1e-12))
    if loss < HEARD_DB:
        return
    yield _finding(survey, loss, at, figures)


def _on(figures: SourceFigures, band: Band, at: int, load: float) -> float:
    """The share of the pickup's own voltage that arrives at a resistance, at one place of the table."""
    s = complex(band.s[at])
    siemens = 1 / load + s * figures.farads + (1 / figures.volume_ohms if figures.volume_ohms else 0.0)
    return float(abs(1 / (1 + siemens * (figures.ohms + s * figures.henries))))


def _finding(survey: Survey, loss: float, at: int, figures: SourceFigures) -> Finding:
    load = load_ohms(survey.bench)
    refs, cure, changes = _cure(survey, at, figures)
    peak = float(survey.band.frequency_hz[at])
    sees = f" The pickup sees {ohms(load)}." if load else ""
    return Finding(
        parts=refs,
        nets=(input_net(survey),),
        what=f"The input takes {loss:.1f} dB off the pickup at its peak near {hz(peak)}.{sees}",
        evidence=(
            Evidence(
                name="loss at the pickup's peak",
                value=loss,
                unit="dB",
                high=HEARD_DB,
                basis=f"against {ohms(HEALTHY_OHMS)}; pickup of {ohms(figures.ohms)} and "
                f"{figures.henries:g} H with its cable, from memory",
            ),
        ),
        cure=cure,
        changes=changes,
        gravity=Gravity.POOR if loss > MUFFLED_DB and not _is_transistor(survey) else None,
    )


def _is_transistor(survey: Survey) -> bool:
    """A bipolar transistor straight behind the jack, as in a fuzz, takes the treble by nature."""
    pins = [pin for net in _nets_near(survey) for pin in survey.view.active_pins.get(net, ())]
    return any(survey.view.family[ref] == "bipolar" for ref, _ in pins)


def _cure(survey: Survey, at: int, figures: SourceFigures) -> tuple[tuple[str, ...], str, tuple[Change, ...]]:
    """The resistor that loads most, with the value at which the loss is small; or all that load."""
    band, row = survey.band, survey.band.row(input_net(survey))
    column = survey.small.system.branches[INPUT]
    aim = _on(figures, band, at, HEALTHY_OHMS) / 10 ** (AIM_DB / 20)

    def arrives(table: ChangedTable) -> float:
        return float(abs(table.at([row], [column])[at, 0, 0]))

    culprits = sorted(_near(survey), key=lambda part: -arrives(_raised(band, part)))
    for part in culprits:
        value = first_value(survey, part, up=True, good=lambda table: arrives(table) >= aim)
        near = value is not None and value <= FAR * (part.value or 0.0)
        if value is not None and near and _harmless(survey, {part.ref: value}):
            words = f"{named(survey.bench, part.ref)} of {ohms(value)} leaves the pickup its treble."
            return (part.ref,), words, (Change(ref=part.ref, value=value),)
    refs = tuple(part.ref for part in culprits[:3])
    if not _harmless(survey, {part.ref: RAISED * (part.value or 0.0) for part in culprits[:3]}):
        return refs, f"Put a follower before it, so that the pickup sees {ohms(WANTED_OHMS)} or more.", ()
    raised = (
        f"Raise {listed(list(refs))}{' together' if len(refs) > 1 else ''}, or put a" if refs else "Put a"
    )
    return refs, f"{raised} follower before it, so that the pickup sees {ohms(WANTED_OHMS)} or more.", ()


def _harmless(survey: Survey, values: Mapping[str, float]) -> bool:
    """With these values everything rests where it did, and as much of the sound arrives."""
    circuit, output = survey.circuit, survey.circuit.output
    if not values:
        return True
    at, column = place(survey.band, MIDDLE_HZ), survey.small.system.branches[INPUT]
    if output is not None:
        row, table = survey.band.row(output.net), ChangedTable(survey.band, values)
        fall = db(
            abs(survey.band.table[at, row, column]) / max(abs(table.at([row], [column])[at, 0, 0]), 1e-12)
        )
        if fall > COST_DB:
            return False
    changed = {ref: replace(circuit.by_ref[ref], value=value) for ref, value in values.items()}
    moved = Analysis(circuit.with_parts(changed), survey.analysis.text)
    nets = [net for net in circuit.nets if net in survey.analysis.system.rows and "/" not in net]
    return moved.rest.certificate.ok and all(
        abs(moved.rest.volts(net) - survey.rest.volts(net)) <= MOVES_V for net in nets
    )


def _raised(band: Band, part: Part) -> ChangedTable:
    return ChangedTable(band, {part.ref: 10 * (part.value or 1.0)})


def _nets_near(survey: Survey) -> tuple[str, ...]:
    """The input net, and what lies behind its capacitors and small resistors."""
    view = survey.view
    start = view.joined[input_net(survey)]
    beyond = [
        leaf.other(start)
        for leaf in view.on(start)
        if leaf.sort == "C" or (leaf.sort == "R" and leaf.value < LEAST_OHMS)
    ]
    return tuple(net for net in dict.fromkeys((start, *beyond)) if not survey.classes.is_still(net))


def _near(survey: Survey) -> Iterable[Part]:
    """Resistors on the input net, and behind its capacitors and small resistors."""
    refs = dict.fromkeys(
        leaf.ref for net in _nets_near(survey) for leaf in survey.view.on(net) if leaf.sort == "R"
    )
    parts = [survey.circuit.by_ref[ref] for ref in refs]
    return [part for part in parts if part.kind == "resistor" and (part.value or 0.0) >= LEAST_OHMS]


RULE = Rule(
    code="L05",
    name="loads-the-pickup",
    title="The input takes the treble out of the pickup",
    gravity=Gravity.NOTE,
    why=(
        "A magnetic pickup is a coil of some henries. Together with the cable it has a peak in the treble "
        "that gives the guitar its bite, and a low resistance flattens it: the tone becomes dull. From "
        "about half a megohm up the peak stays. A fuzz straight on the strings lives with it on purpose."
    ),
    source="pickup figures from memory; the loss is computed with them; the limits are a house rule",
    look=look,
    speaks=(
        Trial(
            text=pedal(FOLLOWERS, front="IN > R1 47k > gnd\nIN > C1 22n (film) > U1a.non > R2 1M > VB\n"),
            blames=("R1",),
        ),
        Trial(
            text=pedal(FOLLOWERS, front="IN > R1 1M > gnd\nIN > C1 22n (film) > U1a.non > R2 68k > VB\n"),
            blames=("R2",),
        ),
    ),
    quiet=(Trial(text=pedal(FOLLOWERS)), Trial(text=pedal(FOLLOWERS).replace("R2 1M", "R2 470k"))),
)
