"""What the sections of a build document share: each answer asked for once, the same figures everywhere."""

from dataclasses import dataclass
from functools import cached_property
from hashlib import sha256

from pedalwright.analysis.echo_answers import echo_answers
from pedalwright.analysis.echo_records import EchoAnswers
from pedalwright.analysis.headroom import Rung, headroom_ladder
from pedalwright.analysis.knob_answers import knobs
from pedalwright.analysis.knob_records import KnobAnswer
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.noise import NoiseAnswers, noise_answers
from pedalwright.analysis.power import BatteryLife, PowerBudget, Settling, battery_life, budget, settling
from pedalwright.analysis.records import Walk, WalkPart, WalkStage
from pedalwright.analysis.voltages import VoltageTable, voltage_table
from pedalwright.analysis.walk import walk
from pedalwright.circuit.circuit import Circuit
from pedalwright.report.blocks import Picture
from pedalwright.report.pack.drawn import whole_schematic
from pedalwright.report.pack.ranges import Range, allowed_ranges, worth_ranging
from pedalwright.report.pack.substitutes import Substitute, substitutes
from pedalwright.report.pack.trying import Rig
from pedalwright.review.reviewing import Review, review
from pedalwright.review.survey import Survey
from pedalwright.review.wants import WantAnswer, answered_wants
from pedalwright.solve.band import Band, band_hz

BUILDS = 500
"""of the echo loop; the share that runs away is told in per cent"""
SHORT_HASH = 12
"""hexadecimal digits that name a revision on every page"""


@dataclass(frozen=True, eq=False)
class Dossier:
    """One circuit to be documented, and the circuit it was before, when its changes are asked for."""

    analysis: Analysis
    since: Analysis | None = None
    moved: tuple[str, ...] = ()
    """``TIME=3``: controls that do not stand where the text has them"""

    @cached_property
    def before(self) -> "Dossier | None":
        """The circuit it was before, when its changes are asked for."""
        return None if self.since is None else Dossier(self.since)

    @property
    def circuit(self) -> Circuit:
        """The circuit, knobs as the text sets them."""
        return self.analysis.circuit

    @cached_property
    def text_sha256(self) -> str:
        """The fingerprint of the text."""
        return sha256(self.analysis.text.encode("utf-8")).hexdigest()

    @property
    def revision(self) -> str:
        """The first digits of the fingerprint, as printed on every page."""
        return self.text_sha256[:SHORT_HASH]

    @cached_property
    def walk(self) -> Walk:
        """The walk-through."""
        return walk(self.analysis)

    @cached_property
    def knobs(self) -> tuple[KnobAnswer, ...]:
        """What every knob does."""
        return knobs(self.analysis) if self.circuit.knobs else ()

    @cached_property
    def echo(self) -> EchoAnswers | None:
        """What `repeats` tells; None without an echo chip."""
        return echo_answers(self.analysis, builds=BUILDS)

    @cached_property
    def budget(self) -> PowerBudget:
        """What every rail carries."""
        return budget(self.analysis)

    @cached_property
    def settling(self) -> tuple[Settling, ...]:
        """How long the resting voltages take after switch-on."""
        return settling(self.analysis)

    @cached_property
    def battery(self) -> BatteryLife | None:
        """How long a battery lasts; None for a circuit without a supply of that sort."""
        return battery_life(self.analysis)

    @cached_property
    def voltages(self) -> VoltageTable:
        """What a meter reads on every pin."""
        return voltage_table(self.analysis)

    @cached_property
    def noise(self) -> NoiseAnswers | None:
        """The noise at the output; None where the text names none."""
        return noise_answers(self.analysis) if self.circuit.output is not None else None

    @cached_property
    def ladder(self) -> tuple[Rung, ...]:
        """How far every stage is from clipping for soft and hard playing; empty where that is not known."""
        return headroom_ladder(self.analysis)

    @cached_property
    def review(self) -> Review:
        """What every rule says about the circuit."""
        return review(self.analysis)

    @cached_property
    def wants(self) -> tuple[WantAnswer, ...]:
        """What the text wants, measured."""
        return answered_wants(Survey(self.analysis)) if self.circuit.wants else ()

    @cached_property
    def band(self) -> Band | None:
        """The circuit over frequency, for changes of its parts; None where it is not certified."""
        small = self.analysis.small
        if small is None:
            return None
        found = Band(small, band_hz())
        return found if found.ok else None

    @cached_property
    def rig(self) -> Rig | None:
        """Where other values of single parts are tried; None where the circuit is not certified."""
        return None if self.band is None else Rig(self.analysis, self.band)

    @cached_property
    def ranges(self) -> tuple[Range, ...]:
        """How far the parts on the sound's way may be from their values."""
        return () if self.rig is None else allowed_ranges(self.rig, worth_ranging(self.analysis))

    @cached_property
    def substitutes(self) -> tuple[Substitute, ...]:
        """Other types in the place of those named."""
        return substitutes(self.analysis)

    @cached_property
    def schematic(self) -> Picture | None:
        """The drawing of the whole circuit; None where none could be proved."""
        return whole_schematic(self.analysis)

    @cached_property
    def told(self) -> dict[str, tuple[WalkStage, WalkPart]]:
        """Every part's stage and role in the walk-through, under its designator."""
        return {part.ref: (stage, part) for stage in self.walk.stages for part in stage.parts}
