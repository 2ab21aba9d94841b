"""Which symbols belong to which stage, and which to none."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from pedalwright.report.drawing.layout.strand import Wiring
from pedalwright.report.drawing.units import PORT, SUPPLY_PINS, Unit
from pedalwright.stages.recognise import StageMap


@dataclass(frozen=True)
class Membership:
    """The symbols of a circuit sorted by stage."""

    stages: StageMap
    units: tuple[Unit, ...]
    wiring: Wiring

    @cached_property
    def members(self) -> Mapping[str, tuple[Unit, ...]]:
        """The units of every stage, by its name."""
        by_stage: dict[str, list[Unit]] = {stage.name: [] for stage in self.stages.stages}
        home = {ref: role.stage for ref, role in self.stages.roles.items() if role.stage}
        for unit in self.units:
            stage = self._home(unit, home)
            if stage:
                by_stage[stage].append(unit)
        return {name: tuple(units) for name, units in by_stage.items()}

    def _home(self, unit: Unit, home: Mapping[str, str]) -> str:
        if unit.form in (PORT, SUPPLY_PINS):
            return ""
        if unit.name in home:
            return home[unit.name]
        if unit.name.endswith("/cell") and unit.part in home:
            return home[unit.part]
        return self._neighbour(unit, home) if "/" in unit.name else ""

    def _neighbour(self, unit: Unit, home: Mapping[str, str]) -> str:
        """The stage of a part that shares a net with this one and nobody else."""
        for net in unit.nets:
            others = [other for other in self.wiring.on[net] if other is not unit]
            if len(others) == 1 and others[0].name in home:
                return home[others[0].name]
        return ""

    @cached_property
    def homeless(self) -> tuple[Unit, ...]:
        """Units in no stage, ports and supply pins apart."""
        staged = {unit.name for units in self.members.values() for unit in units}
        return tuple(
            unit for unit in self.units if unit.name not in staged and unit.form not in (PORT, SUPPLY_PINS)
        )
