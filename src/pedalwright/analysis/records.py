"""The walk-through as data: what every renderer shows, and nothing that only one of them could know."""

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from pedalwright.circuit.ports import SignalInput, SignalOutput, Supply
from pedalwright.circuit.remark import Remark
from pedalwright.solve.corners import Dip
from pedalwright.stages.stage import Number

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Certified:
    """How far a group of numbers can be trusted: the largest current-law residual, relative, against its
    bound.
    """

    what: str
    residual: float
    bound: float
    condition: float
    method: str
    ok: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Effect:
    """What one change of one part does, computed on the full circuit.

    `value_text` is the new value as written; `changes` are sentences, the weightiest first; empty means
    that nothing
    measured moved by as much as `below`.
    """

    value_text: str
    changes: tuple[str, ...]
    below: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkPart:
    """One part in its stage: role, sentence, and the two neighbouring values tried out."""

    ref: str
    label: str
    """what the part is, as bought: ``4.7 kΩ``, ``TL072``"""
    role: str
    says: str
    also: tuple[tuple[str, str], ...]
    """secondary roles: (stage kind, role)"""
    larger: Effect | None
    smaller: Effect | None
    line: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """Level over frequency from one input of a stage to its output: full circuit, and closed form where
    there is one.
    """

    title: str
    frequency_hz: FloatArray
    full_db: FloatArray | None
    closed_db: FloatArray | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """Peak signal at a net for the stated source, and the room left before the stage clips.

    `level_v` and `headroom_db` are None where no signal from the jack arrives or no limit is known.
    """

    net: str
    frequency_hz: float
    level_v: float | None
    limit_v: float | None
    headroom_db: float | None
    limited_by: str = ""
    clipped_at: str = ""
    """the net before this one at which the signal has already been cut, and which decides `level_v`"""
    from_jack: bool = True
    """whether there is a jack at all from which a signal could come"""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofSummary:
    """V1 and V3 on the idealised circuit, V2 and V4 as built; `verdict` is one plain sentence."""

    v1: float | None
    v1_bound: float
    missing: tuple[str, ...]
    idle: tuple[str, ...]
    bias_shift: float | None
    """V2: largest relative change of the gain when the bias nets are as built"""
    amplifier_shift: float | None
    """V4: the same for finite amplifiers"""
    confirmed: bool
    verdict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkStage:
    """One stage of the walk-through."""

    name: str
    kind: str
    title: str
    heading: str
    """the stretch of the walk it belongs to: ``Supply``, ``Signal path``, ``Side chain: ...``"""
    section: str
    """the text's own heading at the stage's first part"""
    says: str
    """what such a stage is, for someone who meets it for the first time"""
    purpose: str
    """what it does here and why, with its numbers"""
    inputs: tuple[str, ...]
    output: str
    parts: tuple[WalkPart, ...]
    numbers: tuple[Number, ...]
    formula: str
    formula_source: str
    curves: tuple[Curve, ...]
    levels: tuple[Level, ...]
    input_ohms: float | None
    """looking into the stage from its input at the reference frequency"""
    output_ohms: float | None
    """looking back into its output at the reference frequency, nothing following"""
    proof: ProofSummary
    beside: tuple[str, ...] = ()
    """sentences on what this stage does to the echo; empty where it has nothing to do with one"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overall:
    """The pedal as one box, at the reference frequency with the knobs as set."""

    reference_hz: float
    gain_db: float | None
    low_corner_hz: float | None
    high_corner_hz: float | None
    input_ohms: float | None
    output_ohms: float | None
    supply_a: tuple[tuple[str, float], ...]
    """(supply net, current drawn in amperes)"""
    curve: Curve | None
    notes: tuple[str, ...] = ()
    dips: tuple[Dip, ...] = ()
    """where the level falls by 3 dB and comes back"""
    repeats_db: tuple[tuple[str, float], ...] = ()
    """(echo chip, level of its first repeat at the output jack against the input jack, in decibels)"""


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkEchoChip:
    """One echo chip: its delay as the knobs stand, over the spread of chips and over the time knob's turn."""

    chip: str
    delay_s: float
    low_s: float
    high_s: float
    within_table: bool
    shortest_s: float | None
    longest_s: float | None
    """ends of the time knobs' turn; None where no time knob moves this delay"""
    time_ohms: float
    least_ohms: float
    """at pin 6, now and at the least over the time knobs' turn"""
    start: str
    """``sure``, ``risky``, ``fails`` or ``helped``"""
    coder_peak_v: float | None
    coder_room_db: float | None
    """the loudest direct sound at the coder, and how far that stays below what the chip takes"""


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkEchoKnob:
    """How near a repeats knob brings the loop to running away; the shares, fully up and now, are of `builds`
    builds.
    """

    knob: str
    position: float
    comes_back: float
    """once round, at the frequency `peak_hz` of the most, as the knob stands"""
    peak_hz: float
    margin_db: float
    fully_up: float
    fully_up_margin_db: float
    runs_away_from: float | None
    """place of the dial with typical chips, None beyond it"""
    howl_hz: float | None
    builds: int
    share_running_away: float
    share_running_away_now: float
    wet_change_db: float | None
    """between the knob's places where most and least of the delayed sound reaches the output; None without
    an output
    """


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkEchoMix:
    """Where dry sound and repeats meet on the way to the output; levels are against the input jack."""

    stage: str
    dry_net: str
    wet_net: str
    dry_parts: tuple[str, ...]
    wet_parts: tuple[str, ...]
    dry_ohms: float | None
    wet_ohms: float | None
    dry_weight: float
    wet_weight: float
    dry_level_db: float
    wet_level_db: float


@dataclass(frozen=True, slots=True, kw_only=True)
class WalkEcho:
    """What the walk-through tells of a circuit's echo. Levels are at the output jack, at `reference_hz`.

    `side` is 1 where the first repeat has the sign of the dry sound, -1 where it is upside down against it.
    """

    reference_hz: float
    chips: tuple[WalkEchoChip, ...]
    knobs: tuple[WalkEchoKnob, ...]
    mixes: tuple[WalkEchoMix, ...]
    first_s: float | None
    against_dry_db: float | None
    side: int | None
    comes_again: bool
    heard: int | None
    last_heard_s: float | None
    """how many repeats are less than 60 dB below the loudest, and when the last comes; None without an end"""
    refusals: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Walk:
    """The whole walk-through, stages in the order a teacher would take."""

    title: str
    about: tuple[str, ...]
    text_sha256: str
    settings: tuple[tuple[str, str], ...]
    """(knob or switch, position)"""
    overall: Overall
    stages: tuple[WalkStage, ...]
    unstaged: tuple[tuple[str, str, str], ...]
    """(designator, label, role) of packages, jacks, switches"""
    loops: tuple[tuple[str, ...], ...]
    rest_volts: tuple[tuple[str, float], ...]
    certificates: tuple[Certified, ...]
    cautions: tuple[Remark, ...] = field(default=())
    refusals: tuple[str, ...] = ()
    """what could not be certified and is therefore not printed"""
    source: SignalInput | None = None
    """what drives the pedal, as the text says"""
    load: SignalOutput | None = None
    """what follows the pedal"""
    supplies: tuple[Supply, ...] = ()
    echo: WalkEcho | None = None
    """None for a circuit without an echo chip"""
