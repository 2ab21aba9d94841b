"""What is known about a circuit's echo, as data."""

from dataclasses import dataclass

from pedalwright.analysis.echo_envelope import EnvelopeAnswer
from pedalwright.analysis.echo_movement import ModulationAnswer, ReverbAnswer
from pedalwright.analysis.records import Certified
from pedalwright.echo.chip import ChipState
from pedalwright.echo.delay_law import DelayShifts, delay_shifts
from pedalwright.echo.loop import Loop
from pedalwright.echo.repeats import Repeat
from pedalwright.echo.stability import Runaway
from pedalwright.solve.arrays import FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class ChipAnswer:
    """One chip: its state, and what the source's loudest peak is at its coder (None without a source).

    `highest_clean_hz` is the highest frequency at which that peak is still followed.
    """

    state: ChipState
    coder_peak_v: float | None
    highest_clean_hz: float | None

    @property
    def shifts(self) -> DelayShifts:
        """What supply and temperature do to its delay."""
        return delay_shifts(self.state.supply_v)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TimeKnob:
    """What a time knob does: delay over the dial, arrays (positions,); nan where the clock stands still.

    `low_s` and `high_s` hold the spread of chips, what the supply does, and the knob's track tolerance.
    """

    knob: str
    chip: str
    now: float
    positions: FloatArray
    delay_s: FloatArray
    low_s: FloatArray
    high_s: FloatArray
    track_tolerance: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RepeatsKnob:
    """What a repeats knob does: where it runs away, and the gain once round over the dial (positions,).

    The gain is the most over frequency; `low` and `high` are those that 5 and 95 % of the builds stay below.
    Percentiles are those of 5, 50, 95 %; None stands for beyond the end of the dial.
    """

    knob: str
    now: float
    runaway: Runaway
    positions: FloatArray
    gain: FloatArray
    low: FloatArray
    high: FloatArray
    builds: int
    position_percentiles: tuple[float | None, ...]
    margin_percentiles_db: tuple[float, ...]
    share_running_away: float
    share_running_away_now: float
    build_misfit: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class EchoAnswers:
    """Everything `repeats` tells. `loop` is None where it could not be had; `refusals` say why.

    Levels are at the output jack for one volt at the input jack, at `reference_hz`. `once_round` is the
    largest ratio from one time round to the next, `decay_s` the time to fall by 60 dB, `buildup_db` by how
    much steady noise grows in the loop: arrays over the loop's frequencies.
    """

    title: str
    text_sha256: str
    settings: tuple[tuple[str, str], ...]
    reference_hz: float
    chips: tuple[ChipAnswer, ...]
    loop: Loop | None
    dry_db: float | None
    dry_polarity: int
    repeats: tuple[Repeat, ...]
    once_round: FloatArray | None
    decay_s: FloatArray | None
    buildup_db: FloatArray | None
    silent_after: int | None
    """how many arrivals until one is 60 dB below the first, at the reference; None when more than looked
    at
    """
    silent_after_s: float | None
    time_knobs: tuple[TimeKnob, ...]
    repeats_knobs: tuple[RepeatsKnob, ...]
    reverb: ReverbAnswer | None
    """None without several chips that feed back"""
    modulation: tuple[ModulationAnswer, ...]
    envelopes: tuple[EnvelopeAnswer, ...]
    certificates: tuple[Certified, ...]
    conditions: tuple[str, ...]
    refusals: tuple[str, ...]

    @property
    def is_sound(self) -> bool:
        """Whether every figure could be certified and nothing was refused."""
        return not self.refusals and all(one.ok for one in self.certificates)
