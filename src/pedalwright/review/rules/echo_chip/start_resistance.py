"""Too little resistance at the time pin when the supply comes: the clock may not start."""

from collections.abc import Iterable

from pedalwright.analysis.memo import Analysis
from pedalwright.echo.chip import Start
from pedalwright.review.rule import Change, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.echo_chip._chips import SHEET, Chip, chips, limit
from pedalwright.review.rules.echo_chip._start import Started, least_start
from pedalwright.review.rules.echo_chip._trial import STARTED, echo, fixed
from pedalwright.review.survey import Survey
from pedalwright.review.wants import desk_of
from pedalwright.stages.wording import listed, named, ohms
from pedalwright.units.preferred import Series, nearest, step


def look(survey: Survey) -> Iterable[Finding]:
    """Every chip that no start-up transistor helps, over all knobs and switches."""
    survey.rest  # noqa: B018  (raises where nothing can be said)
    for chip in chips(survey):
        if _is_helped(survey, chip):
            continue
        worst = least_start(survey, chip)
        if worst is not None and worst.ohms < limit("safe_start_ohms"):
            yield _finding(survey, chip, worst)


def _is_helped(survey: Survey, chip: Chip) -> bool:
    return any(one.ref == chip.ref and one.start is Start.HELPED for one in desk_of(survey).states)


def _finding(survey: Survey, chip: Chip, worst: Started) -> Finding:
    fails = worst.ohms < limit("least_start_ohms")
    where = f" with {worst.says}" if worst.says else ""
    empty = f", {listed(list(worst.capacitors))} still empty" if worst.capacitors else ""
    bound = "the maker's 1 kΩ" if fails else "the 2 kΩ of the trade"
    may = "may not start, and there is no echo" if fails else "may fail to start now and then"
    cure, changes = _cure(survey, chip, worst)
    return Finding(
        parts=(*(change.ref for change in changes), chip.ref),
        what=(
            f"At switch-on pin 6 of {chip.ref} sees {ohms(max(worst.ohms, 0.0))}{where}{empty}: below "
            f"{bound}, the clock {may}."
        ),
        evidence=(
            Evidence(
                name="resistance at the time pin at switch-on",
                value=worst.ohms,
                unit="ohm",
                low=limit("safe_start_ohms"),
                basis=f"{worst.says or 'knobs as they stand'}{empty}; the maker's own limit is 1 kohm",
            ),
        ),
        cure=cure,
        changes=changes,
        gravity=None if fails else Gravity.POOR,
    )


def _cure(survey: Survey, chip: Chip, worst: Started) -> tuple[str, tuple[Change, ...]]:
    """A larger resistor on the pin, if one alone does; else one more in the way."""
    lacking = limit("safe_start_ohms") - worst.ohms
    fixed = [leaf for leaf in chip.outside("6") if leaf.ref in survey.circuit.by_ref and leaf.sort == "R"]
    fixed = [leaf for leaf in fixed if survey.circuit.by_ref[leaf.ref].kind == "resistor"]
    if len(fixed) == 1:
        size = _up(fixed[0].value + lacking)
        if _suffices(survey, chip, fixed[0].ref, size):
            return f"Make {named(survey.bench, fixed[0].ref)} {ohms(size)}.", (
                Change(ref=fixed[0].ref, value=size),
            )
    return f"Put {ohms(_up(lacking))} more in series with pin 6, on the chip's side.", ()


def _suffices(survey: Survey, chip: Chip, ref: str, size: float) -> bool:
    cured = Survey(Analysis(survey.circuit.with_value(ref, size)))
    if not cured.analysis.rest.certificate.ok:
        return False
    found = least_start(cured, Chip(cured, cured.circuit.by_ref[chip.ref]))
    return found is not None and found.ohms >= limit("safe_start_ohms")


def _up(size: float) -> float:
    close = nearest(size, Series.E12)
    return close if close >= size * (1 - 1e-9) else step(size, Series.E12, 1)


PULLED = fixed("U1.6 > R1 3k3 > gnd\nIN > C20 100u > R20 1k > U1.6")

RULE = Rule(
    code="E02",
    name="start-resistance",
    title="The echo chip's clock may not start",
    gravity=Gravity.DEAD,
    why=(
        "The clock follows the current drawn from pin 6. Too much of it while the supply comes up, and the "
        "clock locks: the dry sound works, there is no echo, and it may differ from one switch-on to the "
        "next."
    ),
    source=f"{SHEET}, note 5: 1 kohm at power-on; 2 kohm: common practice, no source",
    look=look,
    speaks=(
        Trial(text=echo(("R1 2k2", "R1 220")), blames=("R1", "U1"), says="maker's"),
        Trial(text=echo(("R1 2k2", "R1 1k5")), blames=("R1",), says="trade"),
        Trial(text=echo(("U1.6 > R1 2k2 > TIME.1", "U1.6 > TIME.1")), blames=("U1",), says="TIME at 0"),
        Trial(text=PULLED, blames=("U1",), says="C20 still empty"),
    ),
    quiet=(
        Trial(text=echo()),
        Trial(text=PULLED.replace("R20 1k", "R20 10k")),
        Trial(text=fixed(STARTED)),
    ),
)
