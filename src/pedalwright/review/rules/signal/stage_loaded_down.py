"""A transistor stage that loses most of its gain into the one that follows."""

from collections.abc import Iterable

from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import SPILLED, db, from_source, place
from pedalwright.review.survey import Survey
from pedalwright.solve.changed_table import ChangedTable
from pedalwright.stages.wording import named, ohms

HEARD_DB = 10.0
"""two thirds of the voltage lost (house rule; a fuzz loses 6 to 10 dB between its transistors by design)"""
FED_BACK_DB = 6.0
"""a load leaves the drive of its stage as it is; feedback halves it and more (house rule)"""
NEXT_TO_NOTHING = 1e-6


def look(survey: Survey) -> Iterable[Finding]:
    """The level at every collector and drain with and without the coupling capacitor that leaves it."""
    if survey.circuit.input is None:
        return
    band, at = survey.band, place(survey.band, 1e3)
    moved = from_source(survey)
    for transistor in survey.view.transistors:
        row = band.row(transistor.top) if band.knows(transistor.top) else None
        if row is None or survey.classes.is_still(transistor.top) or abs(moved[at, row]) <= SPILLED:
            continue
        for leaf in survey.view.on(transistor.top):
            if leaf.sort != "C" or survey.classes.is_still(leaf.other(transistor.top)):
                continue
            if leaf.other(transistor.top) in (transistor.control, transistor.bottom):
                continue
            loss, free_ohms = _loss(survey, leaf.ref, row, at)
            if loss > HEARD_DB and not _feeds_back(survey, leaf.ref, transistor.control, at):
                yield _finding(survey, transistor.ref, leaf.ref, loss, free_ohms)


def _loss(survey: Survey, ref: str, row: int, at: int) -> tuple[float, float]:
    """Decibels lost through a capacitor's load at 1 kHz, and the impedance there without it."""
    value = survey.circuit.by_ref[ref].value or 0.0
    table = ChangedTable(survey.band, {ref: NEXT_TO_NOTHING * value})
    free = abs(table.at([row], [row])[at, 0, 0])
    loaded = abs(survey.band.table[at, row, row])
    return (db(float(free / loaded)) if loaded > 0 else 0.0), float(free)


def _feeds_back(survey: Survey, ref: str, control: str, at: int) -> bool:
    """What the capacitor leads to takes away from the stage's own drive: feedback, and no load."""
    row, column = survey.band.row(control), survey.small.system.branches[INPUT]
    table = ChangedTable(survey.band, {ref: NEXT_TO_NOTHING * (survey.circuit.by_ref[ref].value or 0.0)})
    apart, joined = abs(table.at([row], [column])[at, 0, 0]), abs(survey.band.table[at, row, column])
    return bool(db(float(apart / max(joined, 1e-12))) > FED_BACK_DB)


def _finding(survey: Survey, transistor: str, ref: str, loss: float, free_ohms: float) -> Finding:
    load = free_ohms / (10 ** (loss / 20) - 1)
    return Finding(
        parts=(ref, transistor),
        what=(
            f"What follows {named(survey.bench, ref)} is about {ohms(load)} and takes {loss:.0f} dB off "
            f"{transistor}, which stands behind {ohms(free_ohms)}."
        ),
        evidence=(
            Evidence(
                name="level lost between the stages at 1 kHz",
                value=loss,
                unit="dB",
                high=HEARD_DB,
                basis="with and without what follows, knobs as they stand",
            ),
        ),
        cure=f"Let it see {ohms(2 * free_ohms)} or more, or put a follower between.",
    )


STAGES = """
supply VA 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
VA > R3 10k > Q1.c
VA > R4 470k > Q1.b > R5 100k > gnd
Q1.e > R6 1k > gnd
IN > R1 1M > gnd
IN > C1 100n (film) > Q1.b
Q1.c > C2 1u (film) > OUT
OUT > R7 {load} > gnd
"""
PAIR = """
supply VA 9V wall
input IN pickup
output OUT 1M
part Q1 npn 2N3904
part Q2 npn 2N3904
IN > C1 220n (film) > Q1.b > R3 100k > Q2.e
VA > R4 47k > Q1.c > Q2.b
Q1.e > R5 470 > gnd
VA > R6 4k7 > Q2.c
Q2.e > R7 1k || C4 100u > gnd
Q2.c > C5 10u > R8 10k > Q1.e
Q2.c > C6 1u (film) > OUT > R9 100k > gnd
"""
RULE = Rule(
    code="L18",
    name="stage-loaded-down",
    title="A stage loses its gain into the next one",
    gravity=Gravity.NOTE,
    why=(
        "A transistor's collector or drain stands behind its load resistor. What follows makes a divider "
        "with it, and gain that was paid for with noise and current goes to ground."
    ),
    source="divider of measured impedances; the limit is a house rule",
    look=look,
    speaks=(Trial(text=STAGES.format(load="2k2"), blames=("C2", "Q1")),),
    quiet=(Trial(text=STAGES.format(load="47k")), Trial(text=PAIR)),
)
