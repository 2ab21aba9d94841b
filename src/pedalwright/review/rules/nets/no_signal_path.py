"""Nothing of the sound arrives at the output, wherever the knobs stand."""

from collections.abc import Iterable, Mapping
from math import log10

from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.settings import positions
from pedalwright.circuit.circuit import GROUND
from pedalwright.review.rule import CannotSay, Evidence, Finding, Gravity, Rule, Trial
from pedalwright.review.rules.bias._sections import heard_at
from pedalwright.review.rules.nets._paths import CODER_PIN, arriving, from_jack
from pedalwright.review.survey import Survey
from pedalwright.solve.band import Band, band_hz
from pedalwright.stages.stage import Stage

SILENT, FAINT = 1e-3, 0.03
"""60 dB below the jack is silence, 30 dB below it is a fault and not a setting (house rule)"""
HEARD = 1e-2
PASSING = frozenset({"silicon-diode", "germanium-diode", "schottky-diode", "led", "npn", "pnp"})
"""kinds that pass loud sound though they pass none at rest"""

MOST_PARTS = 4
DIODES = PASSING - {"npn", "pnp"}
SWITCHING = frozenset({"schmitt-trigger", "comparator"})
"""kinds of stages that stand still for small sound and jump for loud sound"""


def look(survey: Survey) -> Iterable[Finding]:
    """The whole way from jack to jack, as it stands, then with knobs and switches moved."""
    source, output = survey.circuit.input, survey.circuit.output
    if source is None or output is None or output.net == source.net:
        return
    best = arriving(survey.analysis, survey.band)
    for settings in _settings(survey) if best < FAINT else ():
        best = max(best, _arriving_at(survey, settings))
        if best >= FAINT:
            return
    if best < FAINT:
        yield _finding(survey, best)


def _settings(survey: Survey) -> Iterable[Mapping[str, float | str]]:
    """All knobs up, half up and down; then each switch in its other positions."""
    for place in (10.0, 5.0, 0.0):
        yield dict.fromkeys((knob.ref for knob in survey.circuit.knobs), place)
    for switch in survey.circuit.switches:
        for name in positions(switch):
            yield {switch.ref: name}


def _arriving_at(survey: Survey, settings: Mapping[str, float | str]) -> float:
    analysis = survey.pose(settings).analysis
    band = _band(analysis)
    return arriving(analysis, band) if band is not None else 0.0


def _band(analysis: Analysis) -> Band | None:
    if analysis.small is None:
        return None
    band = Band(analysis.small, band_hz())
    return band if band.ok else None


def _finding(survey: Survey, best: float) -> Finding:
    output = survey.circuit.output
    if output is None:
        raise CannotSay("There is no output jack.")
    stop = _where_it_stops(survey)
    level_db = 20 * log10(max(best, 1e-12))
    places = (
        tuple(role.ref for role in stop.roles) if stop is not None else _loose_end(survey) or _edge(survey)
    )
    # What lies inside an echo chip goes by the chip's name.
    parts = tuple(dict.fromkeys(ref.partition("/")[0] for ref in places))
    where = f" It gets no further than {', '.join(parts)}." if parts else ""
    much = "nothing" if best < SILENT else "next to nothing"
    return Finding(
        parts=parts,
        nets=(output.net,),
        spans=(output.span,),
        what=(
            f"Of the sound at the input jack {much} arrives at the output ({level_db:.0f} dB), in every "
            f"position of the knobs.{where}"
        ),
        evidence=(
            Evidence(
                name="output against input jack",
                value=level_db,
                unit="dB",
                low=20 * log10(FAINT),
                basis="the largest from 80 Hz to 5 kHz, knobs up, half up and down",
            ),
        ),
        cure="Follow the walk from the input: look for a part left out, a pin on the wrong net, or a short.",
        gravity=Gravity.POOR if best >= SILENT or _may_pass(survey, stop, parts) else None,
    )


def _moved(survey: Survey, net: str) -> float:
    """The most a net moves for one volt at the jack; from decoders too where that comes to a coder."""
    moved = survey.once("moved by the jack", lambda: from_jack(survey.band))
    coded = (chip.net(CODER_PIN) for chip in survey.parts_of("echo-chip"))
    if any(survey.band.knows(one) and moved[survey.band.row(one)] > SILENT for one in coded):
        return heard_at(survey, net)
    return float(moved[survey.band.row(net)]) if survey.band.knows(net) else 0.0


def _where_it_stops(survey: Survey) -> Stage | None:
    """The last stage whose input moves with the sound and whose output does not."""
    stopping = [
        stage
        for stage in survey.stages
        if stage.output
        and any(_moved(survey, net) > HEARD for net in stage.inputs)
        and _moved(survey, stage.output) < SILENT
    ]
    return stopping[0] if stopping else None


def _edge(survey: Survey) -> tuple[str, ...]:
    """The parts with one end on a net that moves with the sound and another on one that does not; the parts
    on the input's net when none of it moves.
    """
    source = survey.circuit.input
    if source is None:
        return ()
    still = {net: _moved(survey, net) < SILENT for net in survey.circuit.nets if "/" not in net}
    fed = {GROUND, *survey.classes.still, *(supply.net for supply in survey.circuit.supplies)}
    found = [
        part.ref
        for part in survey.circuit.parts
        if {still[net] for net in part.nets if net in still and net not in fed} == {True, False}
    ]
    return tuple(found[:MOST_PARTS]) or tuple(pin.part.ref for pin in survey.circuit.pins_on[source.net])


def _loose_end(survey: Survey) -> tuple[str, ...]:
    """The parts of the last stage whose output the sound moves and no other stage takes."""
    view, taken = survey.view, {net for stage in survey.stages for net in stage.inputs}
    chips = {view.net(chip, pin) for chip in survey.parts_of("echo-chip") for pin in ("9", CODER_PIN)}
    loose = [
        stage
        for stage in survey.stages
        if stage.output
        and stage.output not in taken | chips | {view.output_net}
        and _moved(survey, stage.output) > HEARD
    ]
    return tuple(dict.fromkeys(role.ref for role in loose[-1].roles)) if loose else ()


def _may_pass(survey: Survey, stop: Stage | None, parts: tuple[str, ...]) -> bool:
    """A part that conducts nothing at rest lies there and may wake up with loud sound, or the way ends at a
    stage that switches over when the sound is loud enough.
    """
    known = survey.circuit.by_ref
    if stop is None:
        return any(ref in known and known[ref].kind in PASSING for ref in parts) or _has_switching(survey)
    diodes = (ref in known and known[ref].kind in DIODES for ref in stop.refs)
    return stop.kind in SWITCHING or any(diodes)


def _has_switching(survey: Survey) -> bool:
    return any(_moved(survey, net) > HEARD for one in survey.stages_of(*SWITCHING) for net in one.inputs)


SPEAKING = """
supply V 9V wall
input IN pickup
output OUT 1M
part U1 opamp TL071 v+=V v-=gnd
IN > C1 100n > U1.non > R1 470k > VB
V > R2 10k > VB > R3 10k > gnd
VB > C3 47u > gnd
U1.out > U1.inv
U1.out > C2 1u > NEXT > R4 100k > gnd
OUT > R5 100k > gnd
"""
GROUNDED = SPEAKING.replace("NEXT", "OUT") + "IN > R6 0R > gnd\n"

RULE = Rule(
    code="N01",
    name="no-signal-path",
    title="The sound does not reach the output",
    gravity=Gravity.DEAD,
    why=(
        "Somewhere between the jacks the way is open or shorted: a part is missing, a pin is on another "
        "net, a net has two names."
    ),
    source="measured on the full circuit; the levels are house rules",
    look=look,
    speaks=(Trial(text=SPEAKING, blames=("OUT",)), Trial(text=GROUNDED, blames=("OUT",))),
    quiet=(Trial(text=SPEAKING.replace("NEXT", "OUT")),),
)
