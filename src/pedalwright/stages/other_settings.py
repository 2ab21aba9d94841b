"""Parts that a switch has put out of action: their purpose is found with the switch thrown the other way.

A part behind an open contact, or with both ends joined by a closed one, has no purpose as the circuit stands.
The circuit is looked at once more in every other position of each switch; what the part is for there becomes
its role, told with the position in which it acts.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from pedalwright.devices.kinds.switch import positions
from pedalwright.stages.bench import Bench
from pedalwright.stages.loose_ends import leads_nowhere
from pedalwright.stages.nets import classify
from pedalwright.stages.stage import Elsewhere, Stage
from pedalwright.stages.view import View

GENERAL = "general-network"


@dataclass(frozen=True, slots=True)
class _Setting:
    """One other position of one switch."""

    switch: str
    position: str


def with_other_settings(
    bench: Bench, stages: tuple[Stage, ...], look: Callable[[Bench], tuple[Stage, ...]]
) -> tuple[Stage, ...]:
    """The stages, with idle parts of general networks under the purpose they have in another position."""
    idle = _idle(bench.view, stages)
    if not idle:
        return stages
    found: list[Stage] = []
    for setting in _settings(bench.view):
        if not idle:
            break
        circuit = bench.view.circuit.with_settings({setting.switch: setting.position})
        view = View(circuit)
        other = Bench(view, classify(view))
        for stage in look(other):
            mine = [role for role in stage.roles if role.ref in idle]
            if mine and stage.kind != GENERAL:
                elsewhere = Elsewhere(setting.switch, setting.position, stage, other)
                refs = {role.ref for role in mine}
                idle -= refs
                found.append(_resting(bench.view, stage, refs, elsewhere))
    return (*_without(stages, {role.ref for stage in found for role in stage.roles}), *found)


def _settings(view: View) -> Iterable[_Setting]:
    for part in view.parts_of("switch"):
        for position in positions(part):
            if position != part.setting:
                yield _Setting(part.ref, position)


def _idle(view: View, stages: Iterable[Stage]) -> set[str]:
    """Parts of general networks that hang on an open contact, alone or in a row, or between joined nets."""
    found: set[str] = set()
    for stage in stages:
        if stage.kind == GENERAL:
            found |= {role.ref for role in stage.roles if _is_idle(view, role.ref)}
    return found


def _is_idle(view: View, ref: str) -> bool:
    first = next((name for name, row in view.rows.items() if ref in row), ref)
    leaves = [leaf for leaf in view.leaves if leaf.ref == first]
    if not leaves:
        return bool(view.parts_of("switch")) and ref in view.circuit.by_ref
    return any(
        leads_nowhere(view, leaf.name, end, leaf.other(end)) for leaf in leaves for end in (leaf.a, leaf.b)
    )


def _resting(view: View, stage: Stage, refs: set[str], elsewhere: Elsewhere) -> Stage:
    """The stage as it stands now: its idle parts, and neither input nor output."""
    return replace(
        stage,
        roles=tuple(role for role in stage.roles if role.ref in refs),
        inputs=(),
        output="",
        branches={"parts": tuple(leaf for leaf in view.leaves if leaf.ref in refs)},
        nets={},
        elsewhere=elsewhere,
    )


def _without(stages: Iterable[Stage], gone: set[str]) -> Iterable[Stage]:
    for stage in stages:
        roles = tuple(role for role in stage.roles if role.ref not in gone)
        if stage.kind != GENERAL or len(roles) == len(stage.roles):
            yield stage
        elif roles:
            left: Mapping[str, tuple] = {  # type: ignore[type-arg]
                name: tuple(leaf for branch in group for leaf in branch.leaves() if leaf.ref not in gone)
                for name, group in stage.branches.items()
            }
            yield replace(stage, roles=roles, branches=left)
