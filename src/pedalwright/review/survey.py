"""What the rules of one review share: the circuit solved as it stands, with knobs and supply moved."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import TypeVar, cast

from pedalwright.analysis.headroom import Rung, headroom_ladder
from pedalwright.analysis.levels import Clipper, clippers
from pedalwright.analysis.memo import Analysis
from pedalwright.analysis.settings import positions
from pedalwright.circuit.circuit import Circuit
from pedalwright.circuit.part import Part
from pedalwright.circuit.ports import Supply
from pedalwright.review.rule import CannotSay
from pedalwright.solve.band import Band, band_hz
from pedalwright.solve.linear import SmallSignal
from pedalwright.solve.rest import OperatingPoint
from pedalwright.stages.bench import Bench
from pedalwright.stages.nets import NetClasses
from pedalwright.stages.stage import Stage
from pedalwright.stages.view import View

Answer = TypeVar("Answer")
Setting = float | str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """The circuit with some knobs and switches moved: `says` tells which, for evidence (``TIME at 0``)."""

    says: str
    analysis: Analysis


@dataclass(frozen=True, eq=False)
class Survey:
    """One circuit under review; everything is computed when first asked for and kept.

    `kept` holds what rules computed for each other (`once`).
    """

    analysis: Analysis
    kept: dict[object, object] = field(default_factory=dict, repr=False)

    @property
    def circuit(self) -> Circuit:
        """The circuit as written, knobs as they stand."""
        return self.analysis.circuit

    @property
    def view(self) -> View:
        """The circuit as recognisers see it."""
        return self.analysis.view

    @property
    def headroom(self) -> tuple[Rung, ...]:
        """The headroom ladder of the circuit as it stands; raises CannotSay."""
        return self.once("headroom ladder", lambda: headroom_ladder(self.analysis, self.band))

    @property
    def bench(self) -> Bench:
        """The measuring bench with the solved circuit on it."""
        return self.analysis.bench

    @property
    def classes(self) -> NetClasses:
        """Rails, bias nets and the like."""
        return self.bench.classes

    @property
    def rest(self) -> OperatingPoint:
        """The certified rest point; raises CannotSay where there is none."""
        if not self.analysis.rest.certificate.ok:
            raise CannotSay(_uncertified(self.analysis.rest))
        return self.analysis.rest

    @property
    def small(self) -> SmallSignal:
        """The circuit made linear at rest; raises CannotSay where it cannot be."""
        if self.analysis.small is None:
            raise CannotSay(_uncertified(self.analysis.rest))
        return self.analysis.small

    @cached_property
    def _band(self) -> Band | None:
        if self.analysis.small is None:
            return None
        found = Band(self.analysis.small, band_hz())
        return found if found.ok else None

    @property
    def band(self) -> Band:
        """Every net's answer over the audio band; raises CannotSay where it could not be certified."""
        if self._band is None:
            raise CannotSay("The response over the audio band could not be certified.")
        return self._band

    @cached_property
    def clipped(self) -> tuple[Clipper, ...]:
        """The nets at which the loudest expected signal is cut."""
        return clippers(self.analysis, self.band)

    @property
    def stages(self) -> tuple[Stage, ...]:
        """Every recognised stage."""
        return self.analysis.stages.stages

    def stages_of(self, *kinds: str) -> tuple[Stage, ...]:
        """The stages of these kinds, in the order of the text."""
        return tuple(stage for stage in self.stages if stage.kind in kinds)

    def parts_of(self, *kinds: str) -> tuple[Part, ...]:
        """The parts of these kinds (words of the notation), in the order of the text."""
        return tuple(part for part in self.circuit.parts if part.kind in kinds)

    def once(self, key: object, compute: Callable[[], Answer]) -> Answer:
        """What `compute` gives, computed the first time `key` is asked for; for figures rules share."""
        if key not in self.kept:
            self.kept[key] = compute()
        return cast(Answer, self.kept[key])

    def pose(self, settings: Mapping[str, Setting]) -> Pose:
        """The circuit with knobs (0 to 10) or switches (a position) moved; solved once for all rules."""
        standing = {part.ref: part.setting for part in (*self.circuit.knobs, *self.circuit.switches)}
        moved = {name: place for name, place in settings.items() if standing.get(name) != place}
        if not moved:
            return Pose(says="", analysis=self.analysis)
        says = ", ".join(f"{name} at {_place(place)}" for name, place in sorted(moved.items()))
        key = ("pose", tuple(sorted((name, str(place)) for name, place in moved.items())))
        return self.once(
            key,
            lambda: Pose(says=says, analysis=Analysis(self.circuit.with_settings(moved), self.analysis.text)),
        )

    @cached_property
    def poses(self) -> tuple[Pose, ...]:
        """The circuit as it stands, with each knob at either end, and each switch in its other positions."""
        return (self.pose({}), *self.poses_of(*(one.ref for one in self._movable)))

    def poses_of(self, *names: str) -> tuple[Pose, ...]:
        """One pose for each end of each of these knobs, and for each other position of these switches."""
        found = [
            self.pose({part.ref: place})
            for part in self._movable
            if part.ref in names
            for place in (positions(part) if part.kind == "switch" else (0.0, 10.0))
        ]
        return tuple({pose.says: pose for pose in found if pose.says}.values())

    @property
    def _movable(self) -> tuple[Part, ...]:
        return (*self.circuit.knobs, *self.circuit.switches)

    def at_supply(self, volts: Mapping[str, float]) -> Analysis:
        """The circuit with supplies at other voltages, by net; their ranges shrink to that."""

        def moved(supply: Supply) -> Supply:
            if supply.net not in volts:
                return supply
            now = volts[supply.net]
            return replace(supply, volts=now, low_v=now, high_v=now)

        key = ("supply", tuple(sorted(volts.items())))
        supplies = tuple(moved(supply) for supply in self.circuit.supplies)
        return self.once(key, lambda: Analysis(replace(self.circuit, supplies=supplies), self.analysis.text))

    @property
    def at_lowest(self) -> Analysis:
        """The circuit with every supply at the bottom of its range."""
        return self.at_supply({supply.net: supply.low_v for supply in self.circuit.supplies})

    @property
    def at_highest(self) -> Analysis:
        """The circuit with every supply at the top of its range."""
        return self.at_supply({supply.net: supply.high_v for supply in self.circuit.supplies})


def _uncertified(rest: OperatingPoint) -> str:
    beyond = rest.certificate.beyond
    return f"The resting voltages could not be certified{f': {beyond}' if beyond else ''}."


def _place(place: Setting) -> str:
    return place if isinstance(place, str) else f"{place:g}"
