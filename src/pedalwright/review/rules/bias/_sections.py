"""Every amplifier section as it rests: its room, what feeds back to its inputs, what it hears."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.primitives import ClippingAmplifier
from pedalwright.devices.device import is_unused
from pedalwright.devices.ports import INPUT
from pedalwright.review.rule import CannotSay
from pedalwright.review.survey import Survey
from pedalwright.solve.gains import exciting_column
from pedalwright.stages.view import Amplifier

DECISIVE = frozenset(
    {"schmitt-trigger", "comparator", "relaxation-oscillator", "phase-shift-oscillator", "integrator"}
)
"""stage kinds whose amplifiers rest at a rail, or nowhere, by design"""
OSCILLATORS = frozenset({"relaxation-oscillator", "phase-shift-oscillator"})
AUDIO_HZ = (80.0, 5000.0)
DECODER_PIN = "12"
RAILED_SHARE = 0.02
"""an output closer to its limit than this share of its swing rests at the limit (house rule)"""
LISTENING = 1e-3
"""60 dB below the jack: where less arrives, a section is not on the way of the sound (house rule)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One used amplifier section at rest, in volts.

    `low_v`..`high_v` is where its output can go, `output_v` where it is. `minus_share` and `plus_share` are
    what comes back of a slow move of the output at the inverting and the non-inverting input, through the
    parts around it alone. `heard` is the most that the inputs, or what leads to them, move for one volt at
    the jack.
    """

    amplifier: Amplifier
    kind: str
    low_v: float
    high_v: float
    output_v: float
    inverting_v: float
    non_inverting_v: float
    minus_share: float
    plus_share: float
    heard: float
    floating: tuple[str, ...]

    @property
    def ref(self) -> str:
        """Its designator (``U1a``)."""
        return self.amplifier.ref

    @property
    def swing_v(self) -> float:
        """From its lowest to its highest output."""
        return self.high_v - self.low_v

    @property
    def room_v(self) -> float:
        """To the nearer of its limits."""
        return min(self.high_v - self.output_v, self.output_v - self.low_v)

    @property
    def is_powered(self) -> bool:
        """It has a swing at all."""
        return self.swing_v > 0.5

    @property
    def is_railed(self) -> bool:
        """Its output rests at one of its limits."""
        return self.is_powered and self.room_v < RAILED_SHARE * self.swing_v

    @property
    def is_inside(self) -> bool:
        """It is one of an echo chip's own, about which the rules on the chip speak."""
        return "/" in self.ref

    @property
    def is_decisive(self) -> bool:
        """It is made to rest at a rail, or to swing by itself."""
        return self.kind in DECISIVE

    @property
    def listens(self) -> bool:
        """The sound reaches its inputs."""
        return self.heard > LISTENING

    @property
    def latches(self) -> bool:
        """What comes back at the non-inverting input outweighs what comes back at the other."""
        return self.plus_share > max(1.01 * self.minus_share, 1e-3)

    @property
    def is_open(self) -> bool:
        """Nothing leads from its output back to its inverting input at rest."""
        return self.minus_share < 1e-4 and not self.latches


def sections(survey: Survey) -> tuple[Section, ...]:
    """The used sections, those of the echo chips included; raises CannotSay without certified figures."""
    return survey.once("amplifier sections", lambda: _sections(survey))


def resting_table(survey: Survey) -> NDArray[np.float64]:
    """Volts on each net for one ampere into each at zero hertz: (unknowns + 1, unknowns + 1), last ground."""
    return survey.once("resting table", lambda: _inverse(survey.small.g + survey.small.system.rest_g))


def passive_table(survey: Survey) -> NDArray[np.float64]:
    """The same with every amplifier's output held: what the parts around an amplifier alone do with it."""
    return survey.once("passive table", lambda: _inverse(_held(survey)))


def _held(survey: Survey) -> NDArray[np.float64]:
    small = survey.small
    matrix = small.g + small.system.rest_g
    for one in survey.analysis.primitives:
        if isinstance(one, ClippingAmplifier) and small.row(one.output) < small.size:
            place = small.system.branches[one.name]
            matrix[place] = 0.0
            matrix[place, small.row(one.output)] = 1.0
    return np.asarray(matrix)


def _inverse(matrix: NDArray[np.float64]) -> NDArray[np.float64]:
    rows = 1.0 / np.maximum(np.abs(matrix).max(1), 1e-30)
    try:
        inverse = np.linalg.inv(matrix * rows[:, None]) * rows[None, :]
    except np.linalg.LinAlgError:
        raise CannotSay("The circuit at zero hertz could not be solved.") from None
    if not np.isfinite(inverse).all():
        raise CannotSay("The circuit at zero hertz could not be solved.")
    return np.pad(inverse, ((0, 1), (0, 1)))


def _sections(survey: Survey) -> tuple[Section, ...]:
    primitives = {one.name: one for one in survey.analysis.primitives if isinstance(one, ClippingAmplifier)}
    kinds = _kinds(survey)
    return tuple(
        _section(survey, amplifier, primitives[amplifier.ref], kinds.get(amplifier.ref, ""))
        for amplifier in survey.view.amplifiers
        if amplifier.ref in primitives
    )


def _kinds(survey: Survey) -> Mapping[str, str]:
    return {role.ref: stage.kind for stage in survey.stages for role in stage.roles}


def _section(survey: Survey, amplifier: Amplifier, primitive: ClippingAmplifier, kind: str) -> Section:
    rest = survey.rest
    output, minus, plus = primitive.output, primitive.inverting, primitive.non_inverting
    minus_share, plus_share = _shares(survey, primitive)
    return Section(
        amplifier=amplifier,
        kind=kind,
        low_v=rest.volts(primitive.negative_rail) + primitive.low_headroom_v,
        high_v=rest.volts(primitive.positive_rail) - primitive.high_headroom_v,
        output_v=rest.volts(output),
        inverting_v=rest.volts(minus),
        non_inverting_v=rest.volts(plus),
        minus_share=minus_share,
        plus_share=plus_share,
        heard=_heard(survey, amplifier.inv, amplifier.non),
        floating=tuple(net for net in (minus, plus) if _floats(survey, net)),
    )


def _floats(survey: Survey, net: str) -> bool:
    system = survey.rest.system
    rows = {system.row(one) for one in survey.rest.floating}
    return system.row(net) in rows


def _shares(survey: Survey, primitive: ClippingAmplifier) -> tuple[float, float]:
    table, small = passive_table(survey), survey.small
    column = small.system.branches[primitive.name]
    out, inv, non = (
        small.row(net) for net in (primitive.output, primitive.inverting, primitive.non_inverting)
    )
    if not table[out, column]:
        return 0.0, 0.0
    inv_share, non_share = table[[inv, non], column] / table[out, column]
    return float(inv_share), float(non_share)


def _audio(survey: Survey) -> slice:
    low, high = np.searchsorted(survey.band.frequency_hz, AUDIO_HZ)
    return slice(int(low), int(high))


def _heard(survey: Survey, *nets: str) -> float:
    """The most that the nets, or what leads to them, move for one volt at the jack or from a decoder."""
    near = {leaf.other(net) for net in nets for leaf in survey.view.on(net)}
    moving = {*nets, *(net for net in near if not survey.classes.is_still(net))}
    return max((heard_at(survey, net) for net in moving), default=0.0)


def heard_at(survey: Survey, net: str) -> float:
    """The most a net moves in the audio band for one volt at the jack, or at an echo chip's decoder."""
    return float(_hearing(survey)[survey.band.row(net)]) if survey.band.knows(net) else 0.0


def _hearing(survey: Survey) -> NDArray[np.float64]:
    return survey.once("hearing", lambda: _compute_hearing(survey))


def _compute_hearing(survey: Survey) -> NDArray[np.float64]:
    band, span = survey.band, _audio(survey)
    found = np.zeros(band.table.shape[1])
    for column, row in _sources(survey):
        moved = np.abs(band.table[span, :, column])
        size = moved[:, row].max(initial=0.0)
        if size > 0:
            found = np.maximum(found, (moved / size).max(0))
    return found


def _sources(survey: Survey) -> tuple[tuple[int, int], ...]:
    band, found = survey.band, []
    port = survey.circuit.input
    if port is not None:
        column = band.small.system.branches[INPUT]
        found.append((column, band.row("input/emf")))
    for chip in survey.parts_of("echo-chip"):
        net = chip.net(DECODER_PIN)
        if not is_unused(chip, DECODER_PIN) and band.knows(net):
            found.append((exciting_column(band, net), band.row(net)))
    return tuple(found)


@cache
def section_words(ref: str) -> str:
    """What to call a section: ``U1a``, or ``U2's input filter``."""
    chip, _, role = ref.partition("/")
    return f"{chip}'s {role.replace('-', ' ')}" if role else ref


def owner(ref: str) -> str:
    """The designator to blame for a section."""
    return ref.partition("/")[0]
