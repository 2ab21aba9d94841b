"""An amplifier in front of clipping diodes that is cut by its supply before the diodes conduct."""

from collections.abc import Iterable

from pedalwright.analysis.headroom import Rung
from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.signal._bench import ladder, op_amps
from pedalwright.review.rules.signal._trials import gain_of, pedal
from pedalwright.review.survey import Survey
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.wording import listed, volts

MARGIN = 1.2
"""the amplifier is cut clearly sooner than the diodes, not at about the same level (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Amplifiers not meant to clip that reach their rails at a lower source than the clipper behind them."""
    rungs = ladder(survey)
    rows = {survey.band.row(amplifier.output) for amplifier, _ in op_amps(survey)}
    mine = [
        rung
        for rung in rungs
        if not rung.is_meant and rung.clips_from_v is not None and survey.band.row(rung.net) in rows
    ]
    for clipper in (rung for rung in rungs if rung.is_meant and "conducting" in rung.limited_by):
        level = _clips_v(clipper)
        early = [one for one in mine if _drives(survey, one, clipper) and _clips_v(one) * MARGIN < level]
        if early:
            yield _finding(survey, min(early, key=_clips_v), clipper, level)


def _clips_v(rung: Rung) -> float:
    """The source's peak that reaches the limit in the linear circuit, held or not."""
    if rung.clips_from_v is not None:
        return rung.clips_from_v
    return rung.limit_v / max(rung.peaks_v[1], 1e-12)


def _drives(survey: Survey, one: Rung, clipper: Rung) -> bool:
    column = exciting_column(survey.band, one.net)
    middle = len(survey.band.frequency_hz) // 2
    here, there = survey.band.row(one.net), survey.band.row(clipper.net)
    table = survey.band.table[middle]
    return here != there and abs(table[there, column]) > 0.05 * abs(table[here, column])


def _finding(survey: Survey, early: Rung, clipper: Rung, level: float) -> Finding:
    section = early.limited_by.split(" ")[0]
    stage = next(one for one in survey.stages if one.name == clipper.stage)
    diodes = [ref for ref in stage.with_role("clipping diode") if ref in survey.circuit.by_ref]
    package = section if section in survey.circuit.by_ref else section[:-1]
    less = level / _clips_v(early)
    return Finding(
        parts=(package, *diodes),
        nets=(early.net,),
        what=(
            f"{section} is cut by its supply from a source of {volts(_clips_v(early))} peak, before "
            f"{listed(diodes)} conduct at {volts(level)}: the amplifier clips, not the diodes."
        ),
        evidence=(
            Evidence(
                name="source's peak that clips the amplifier", value=_clips_v(early), unit="V", low=level
            ),
            Evidence(name="source's peak from which the diodes conduct", value=level, unit="V"),
        ),
        cure=(
            f"Let {less:.2g} times more of {section}'s output reach the diodes, or use fewer diodes in a row."
        ),
    )


CLIP = "U1b.out > C5 1u (film) > R5 4k7 > CLIP > {up} > gnd\ngnd > {down} > CLIP\n"
LAMPS = CLIP.format(up="D1 green (led) > D2 green (led)", down="D3 green (led) > D4 green (led)")
SINGLE = CLIP.format(up="D1 1N4148", down="D3 1N4148")
RULE = Rule(
    code="L02",
    name="clips-before-the-clipper",
    title="The amplifier clips before the diodes that should",
    gravity=Gravity.NOTE,
    why=(
        "Diodes round the wave; an amplifier that runs into its supply cuts it square and may stick there "
        "for a moment. Where the amplifier gives way first the diodes never get to do what they were "
        "chosen for."
    ),
    source="common practice, no source; the margin is a house rule",
    look=look,
    speaks=(Trial(text=pedal(gain_of("220k")) + LAMPS, blames=("U1", "D1", "D3")),),
    quiet=(Trial(text=pedal(gain_of("220k")) + SINGLE),),
)
