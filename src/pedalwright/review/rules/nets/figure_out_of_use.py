"""A stage whose gain, corner or quality is far from anything such a stage is used for."""

from collections.abc import Iterable, Mapping

from pedalwright.review.rule import Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import heard_at
from pedalwright.review.survey import Survey
from pedalwright.stages.recognise import kind_named, kind_of
from pedalwright.stages.stage import Number, Stage
from pedalwright.units.values import print_value

MOST = 1e12
USES: Mapping[tuple[str, str], tuple[float, float]] = {
    ("non-inverting-amplifier", "mid-band gain"): (1.0, 500.0),
    ("non-inverting-amplifier", "bass corner"): (0.0, 2500.0),
    ("non-inverting-amplifier", "treble corner"): (2500.0, MOST),
    ("inverting-amplifier", "mid-band gain"): (0.1, 500.0),
    ("inverting-amplifier", "bass corner"): (0.0, 2500.0),
    ("inverting-amplifier", "treble corner"): (1000.0, MOST),
    ("inverting-amplifier", "input resistance"): (2000.0, MOST),
    ("summing-mixer", "gain from"): (0.1, 12.0),
    ("summing-mixer", "treble corner"): (600.0, MOST),
    ("clipping-amplifier", "small-signal gain"): (2.0, 1500.0),
    ("clipping-amplifier", "bass corner"): (0.0, 2500.0),
    ("clipping-amplifier", "treble corner"): (2500.0, MOST),
    ("common-emitter-amplifier", "mid-band gain"): (0.5, 1000.0),
    ("common-emitter-amplifier", "bass corner"): (0.0, 500.0),
    ("common-source-amplifier", "mid-band gain"): (0.5, 300.0),
    ("common-source-amplifier", "bass corner"): (0.0, 500.0),
    ("common-emitter-amplifier", "input resistance"): (1000.0, MOST),
    ("dc-blocking", "bass corner"): (0.0, 600.0),
    ("bias-feed", "bass corner"): (0.0, 300.0),
    ("rc-high-pass", "bass corner"): (0.5, 3000.0),
    ("multiple-feedback-low-pass", "Q"): (0.42, 1.8),
    ("multiple-feedback-low-pass", "natural frequency"): (2200.0, 22e3),
    ("multiple-feedback-low-pass", "pass-band gain"): (0.12, 5.0),
    ("multiple-feedback-high-pass", "Q"): (0.3, 3.0),
    ("multiple-feedback-high-pass", "natural frequency"): (8.0, 3000.0),
    ("multiple-feedback-high-pass", "pass-band gain"): (0.1, 10.0),
    ("multiple-feedback-band-pass", "Q"): (0.5, 15.0),
    ("multiple-feedback-band-pass", "centre"): (60.0, 6000.0),
    ("multiple-feedback-band-pass", "gain at the centre"): (0.1, 30.0),
    ("sallen-key-low-pass", "Q"): (0.45, 2.5),
    ("sallen-key-low-pass", "natural frequency"): (100.0, 40e3),
    ("sallen-key-high-pass", "Q"): (0.45, 2.5),
    ("sallen-key-high-pass", "natural frequency"): (10.0, 4000.0),
    ("diode-clipper", "treble corner"): (1500.0, MOST),
    ("rc-low-pass", "treble corner"): (600.0, MOST),
    ("all-pass", "90 degrees at"): (100.0, 8000.0),
    ("all-pass", "gain of the inverting side"): (0.5, 2.0),
    ("gyrator", "resonance"): (40.0, 12e3),
    ("gyrator", "Q"): (0.4, 12.0),
    ("twin-t-notch", "notch"): (30.0, 4000.0),
    ("schmitt-trigger", "frequency"): (0.02, 40.0),
    ("relaxation-oscillator", "frequency"): (0.02, 40.0),
    ("phase-shift-oscillator", "frequency"): (0.1, 40.0),
    ("phase-shift-oscillator", "gain in hand"): (1.5, MOST),
}
"""(stage kind, how a figure's name begins) -> what it is used between, sizes only (house rule: two to five
times beyond what working circuits show; 1e12 stands for no limit)"""
UNHEARD = frozenset({"schmitt-trigger", "relaxation-oscillator", "phase-shift-oscillator", "bias-feed"})
"""kinds that count although no sound stands at their output"""
HEARD = 1e-2
"""40 dB below the jack: less is not on the way of the sound (house rule)"""


def look(survey: Survey) -> Iterable[Finding]:
    """Every figure of a recognised stage outside its limits, the worst of each stage."""
    wanted = {kind for kind, _ in USES}
    for stage in survey.stages:
        if stage.kind not in wanted or stage.elsewhere is not None or not _counts(survey, stage):
            continue
        odd = [found for number in _numbers(survey, stage) if (found := _outside(stage, number)) is not None]
        if odd:
            yield _finding(stage, *max(odd, key=lambda found: found[3]))


def _counts(survey: Survey, stage: Stage) -> bool:
    return stage.kind in UNHEARD or any(
        heard_at(survey, net) > HEARD for net in (stage.output, *stage.inputs) if net
    )


def _numbers(survey: Survey, stage: Stage) -> tuple[Number, ...]:
    return tuple(kind_of(stage).numbers(stage, survey.bench))


def _outside(stage: Stage, number: Number) -> tuple[Number, float, tuple[float, float], float] | None:
    """The figure, its size, its limits and by what factor it misses them."""
    value = number.full if number.full is not None else number.closed
    limits = next(
        (pair for (kind, word), pair in USES.items() if kind == stage.kind and number.name.startswith(word)),
        None,
    )
    if value is None or limits is None or not abs(value) > 0:
        return None
    size, (low, high) = abs(float(value)), limits
    if low <= size <= high or number.unit == "dB":
        return None
    return number, size, limits, max(low / size, size / high)


def _finding(stage: Stage, number: Number, size: float, limits: tuple[float, float], miss: float) -> Finding:
    low, high = limits
    usual = (
        f"above {_said(low, number.unit)}"
        if high >= MOST
        else f"below {_said(high, number.unit)}"
        if low <= 0
        else f"{_said(low, number.unit)} to {_said(high, number.unit)}"
    )
    parts = tuple(role.ref.partition("/")[0] for role in stage.roles)
    name = number.name.replace("~", "")
    return Finding(
        parts=tuple(dict.fromkeys(parts)),
        what=(
            f"{kind_named(stage.kind).title} around {parts[0]}: {name} is {_said(size, number.unit)}; "
            f"{usual} is what such stages are used for. A value may have slipped by a decade."
        ),
        evidence=(
            Evidence(
                name=name,
                value=size,
                unit=number.unit if number.unit in UNITS else "",
                low=low if low > 0 else None,
                high=high if high < MOST else None,
                basis=number.source,
            ),
        ),
        cure=f"Check the values of {', '.join(dict.fromkeys(parts))} against each other, multipliers first.",
    )


UNITS = ("Hz", "x", "ohm", "s")


def _said(value: float, unit: str) -> str:
    if unit == "x":
        return f"{value:.3g} times"
    return print_value(value, "Ω" if unit == "ohm" else unit)


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > R5 100k || C5 10n > U1.inv > R6 10k > C4 1u > gnd
U1.out > C2 1u > OUT > R4 100k > gnd
"""

RULE = Rule(
    code="N08",
    name="figure-out-of-use",
    title="A stage's gain or corner is far from any use",
    gravity=Gravity.NOTE,
    why=(
        "One wrong multiplier moves a corner or a gain by ten, and the stage still looks right on paper. "
        "What a stage comes to shows it."
    ),
    source="the limits are house rules: a few times beyond what working circuits show",
    look=look,
    speaks=(
        Trial(text=SPEAKING, blames=("C5",), says="treble corner"),
        Trial(
            text=SPEAKING.replace("C5 10n", "C5 100p").replace("C4 1u", "C4 1n"), blames=("C4",), says="bass"
        ),
    ),
    quiet=(Trial(text=SPEAKING.replace("C5 10n", "C5 100p")),),
)
