"""Transistors on the way of the sound, as they rest."""

from dataclasses import dataclass

from pedalwright.circuit.primitives import BipolarTransistor, FieldEffectTransistor
from pedalwright.devices.ports import INPUT
from pedalwright.review.rules.bias._sections import heard_at
from pedalwright.review.survey import Survey
from pedalwright.stages.view import Transistor

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
