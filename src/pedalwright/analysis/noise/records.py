"""The noise of a circuit as data."""

from dataclasses import dataclass

import numpy as np

from pedalwright.analysis.records import Certified
from pedalwright.solve.arrays import FloatArray
from pedalwright.units.levels import DBU_ABOVE_DBV_DB


def dbv(volts: float | None) -> float | None:
    """A voltage [V rms] as level [dBV]; None for none or nothing."""
    return float(20 * np.log10(volts)) if volts else None


def dbu(volts: float | None) -> float | None:
    """A voltage [V rms] as level [dBu]; None for none or nothing."""
    level = dbv(volts)
    return None if level is None else level + DBU_ABOVE_DBV_DB


@dataclass(frozen=True, slots=True, kw_only=True)
class InputNoise:
    """The noise with one thing at the input jack [V rms], 20 Hz to 20 kHz; None where it is not known, and
    `refusal` says why. `signal_to_noise_db` is the playing level over the A-weighted noise.
    """

    state: str
    words: str
    unweighted_v: float | None
    weighted_v: float | None
    signal_to_noise_db: float | None
    refusal: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Contributor:
    """One part's noise at the net: [V rms] and share of the power, A-weighted and flat.

    `ref` is a designator, a section, or empty for what is not a part; `causes` holds (cause, share of this
    part's A-weighted power), the largest first.
    """

    ref: str
    label: str
    weighted_v: float
    weighted_share: float
    unweighted_v: float
    unweighted_share: float
    causes: tuple[tuple[str, float], ...]

    @property
    def name(self) -> str:
        """What it is called: designator with label, or the label alone."""
        return f"{self.ref} ({self.label})" if self.ref and self.label else self.ref or self.label


@dataclass(frozen=True, slots=True, kw_only=True)
class Cure:
    """A change that was tried on the whole circuit, and what it does, computed anew.

    `changes` are (designator, as it is, as it was tried), empty for what is no part's value; `says` names the
    change. `noise_db` and `level_db` are the changes of the A-weighted noise and of the sound at 1 kHz,
    `better_db` that of their ratio. `side_effects` are sentences.
    """

    against: tuple[str, ...]
    says: str
    changes: tuple[tuple[str, str, str], ...]
    noise_db: float
    level_db: float
    better_db: float
    side_effects: tuple[str, ...] = ()

    @property
    def keeps_level(self) -> bool:
        """Whether the sound stays as loud, to half a decibel."""
        return abs(self.level_db) <= 0.5


@dataclass(frozen=True, slots=True, kw_only=True)
class PlayingLevel:
    """The sound at the net when the source gives its peak `input_v`: `output_v` is a peak too, at
    `frequency_hz`.

    `clipped_at` names the net that cuts it before, or is empty.
    """

    frequency_hz: float
    input_v: float
    output_v: float
    clipped_at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoopNoise:
    """What coming round again adds: A-weighted noise [V rms] of the closed loop, and with nothing returning.

    `closed_v` and `buildup_db` are None where the loop runs away or is too near to it; `once_round` is the
    most that comes back, at `peak_hz`.
    """

    closed_v: float | None
    opened_v: float
    buildup_db: float | None
    once_round: float
    peak_hz: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ChipNoise:
    """The conversion noise of one echo chip at its delay, an estimate.

    `typical_dbv` is at pin 12, A-weighted; `quiet_dbv` and `noisy_dbv` those of the quietest and the noisiest
    chip by the data sheet. `output_v` is what arrives at the net [V rms, A-weighted], repeats counted; None
    where the loop's share is not known.
    """

    ref: str
    delay_s: float
    typical_dbv: float
    quiet_dbv: float
    noisy_dbv: float
    output_v: float | None
    share: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class NoiseAnswers:
    """Everything `noise` tells. `state` is what the spectrum, the contributors and the cures hold for.

    `density_v_per_rthz` (frequencies,) is the whole noise at the net, empty when refused.
    `with_quiet_chips_v` and `with_noisy_chips_v` are the A-weighted noise with all chips at the ends of the
    data sheet's range, None without echo chips. `left_aside` are changes that would help where no cure was
    found, but leave another circuit: of another tone, or at another rest. `together` is all cures that keep
    the level, made at once.
    """

    title: str
    text_sha256: str
    settings: tuple[tuple[str, str], ...]
    at: str
    state: str
    temperature_k: float
    low_hz: float
    high_hz: float
    inputs: tuple[InputNoise, ...]
    frequency_hz: FloatArray
    density_v_per_rthz: FloatArray
    contributors: tuple[Contributor, ...]
    cures: tuple[Cure, ...]
    left_aside: tuple[Cure, ...]
    together: Cure | None
    playing: PlayingLevel | None
    loop: LoopNoise | None
    chips: tuple[ChipNoise, ...]
    with_quiet_chips_v: float | None
    with_noisy_chips_v: float | None
    certificates: tuple[Certified, ...]
    conditions: tuple[str, ...]
    refusals: tuple[str, ...]

    @property
    def chosen(self) -> InputNoise | None:
        """The figures of the state asked for."""
        return next((one for one in self.inputs if one.state == self.state), None)

    @property
    def is_sound(self) -> bool:
        """Whether every figure could be certified and nothing was refused."""
        return not self.refusals and all(one.ok for one in self.certificates)
