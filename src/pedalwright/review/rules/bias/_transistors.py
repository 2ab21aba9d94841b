"""Transistors on the way of the sound, as they rest."""

from dataclasses import dataclass

from pedalwright.circuit.primitives import BipolarTransistor, FieldEffectTransistor
from pedalwright.devices.ports import INPUT
from pedalwright.review.rules.bias._sections import heard_at
from pedalwright.review.survey import Survey
from pedalwright.stages.view import Transistor
from pedalwright.stages.wording import volts
from pedalwright.units.values import print_value

LEAST_A = 2e-6
"""a stage of a pedal with less current than this is off (house rule)"""
SATURATED_V = 0.15
"""a bipolar transistor with less between collector and emitter is fully on (house rule; sheets promise at
most 0.2 V at 10 mA)"""
UPSIDE_DOWN_V = -0.1

HEARS = 1e-2
"""40 dB below the jack: a base or gate that moves less is not driven by the sound (house rule)"""
BY_DESIGN = frozenset(
    {
        "transistor-switch", "phase-shift-oscillator", "relaxation-oscillator", "supply-rc-filter",
        "delay-time-network", "variable-resistor", "indicator",
    }
)  # fmt: skip
"""stage kinds whose transistors rest off, or fully on, by design"""
SILENT = 1e-2
"""40 dB down at the output: no sound worth the name (house rule)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Resting:
    """One transistor at rest: collector (drain) current, voltage to the emitter (source); above 0 as meant.

    `overdrive_v` is how far a field-effect transistor's gate stands beyond where its channel begins.
    """

    item: Transistor
    kind: str
    amps: float
    across_v: float
    overdrive_v: float

    @property
    def ref(self) -> str:
        """Its designator."""
        return self.item.ref


def driven(survey: Survey) -> tuple[Resting, ...]:
    """The transistors whose base or gate the sound moves."""
    return survey.once("driven transistors", lambda: tuple(_driven(survey)))


def _driven(survey: Survey) -> list[Resting]:
    kinds = {role.ref: stage.kind for stage in survey.stages for role in stage.roles}
    primitives = {
        one.name: one
        for one in survey.analysis.primitives
        if isinstance(one, BipolarTransistor | FieldEffectTransistor)
    }
    found = []
    for item in survey.view.transistors:
        kind = kinds.get(item.ref, "")
        if item.ref in primitives and kind not in BY_DESIGN and heard_at(survey, item.control) > HEARS:
            found.append(_resting(survey, item, kind, primitives[item.ref]))
    return found


def _resting(
    survey: Survey, item: Transistor, kind: str, primitive: BipolarTransistor | FieldEffectTransistor
) -> Resting:
    rest, polarity = survey.rest, item.polarity
    overdrive_v = 0.0
    if isinstance(primitive, FieldEffectTransistor):
        gate_v = polarity * (rest.volts(primitive.gate) - rest.volts(primitive.source))
        overdrive_v = gate_v - primitive.threshold_v
    return Resting(
        item=item,
        kind=kind,
        amps=polarity * rest.amperes(item.ref),
        across_v=polarity * (rest.volts(item.top) - rest.volts(item.bottom)),
        overdrive_v=overdrive_v,
    )


def output_is_silent(survey: Survey) -> bool:
    """Next to nothing of the jack's sound reaches the output."""
    band, port = survey.band, survey.circuit.output
    if port is None or survey.circuit.input is None:
        return False
    moved = abs(band.source_column(INPUT)[:, band.row(port.net)])
    within = (band.frequency_hz > 80.0) & (band.frequency_hz < 5000.0)
    return bool(moved[within].max() < SILENT)


def trouble_of(one: Resting) -> tuple[str, str] | None:
    """Why a transistor cannot follow the sound, and what to do; None when it can."""
    bipolar = one.item.family == "bipolar"
    ends = ("collector", "emitter") if bipolar else ("drain", "source")
    if bipolar and one.across_v < UPSIDE_DOWN_V:
        what = f"works upside down: its collector rests {volts(-one.across_v)} on the emitter's side"
        cure = "Exchange collector and emitter; check the lead order on the sheet of the part in hand."
    elif abs(one.amps) < LEAST_A:
        what = f"is off: {print_value(abs(one.amps), 'A')} flow through it at rest"
        where = "base" if bipolar else "gate"
        cure = f"Check what sets its {where} and its {ends[1]} resistor: tenths of a milliampere are usual."
    elif bipolar and one.across_v < SATURATED_V:
        what = f"is fully on: only {volts(one.across_v)} stand between {ends[0]} and {ends[1]}"
        cure = (
            "Give it less base current or a smaller collector resistor, until half the supply stands there."
        )
    else:
        return None
    return what, cure
