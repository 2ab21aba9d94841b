"""From a view to stages: every kind proposes, one place arbitrates, nothing is dropped."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from pedalwright.circuit.circuit import Circuit
from pedalwright.registry import load_family
from pedalwright.stages.bench import Bench
from pedalwright.stages.claimed import Claimed
from pedalwright.stages.loop_tap_says import with_resistor_inside
from pedalwright.stages.nets import classify
from pedalwright.stages.other_settings import with_other_settings
from pedalwright.stages.packages import package_roles
from pedalwright.stages.pickup import pickup_says
from pedalwright.stages.ratings import rating_says
from pedalwright.stages.stage import Proposal, Role, Stage, StageKind
from pedalwright.stages.view import View

LATE_ORDER = 900
"""kinds from here up take whatever is left"""
NO_KIND = ""
"""the kind of parts that belong to no stage: packages, jacks, switches"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PartRole:
    """What one part or section is for: its one primary role, and any secondary ones."""

    ref: str
    kind: str
    role: str
    stage: str
    also: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class StageMap:
    """The stages of a circuit and the role of every part; `unused` are parts that ended in no stage but have
    a word.
    """

    stages: tuple[Stage, ...]
    unstaged: tuple[Role, ...]
    shared: tuple[tuple[str, str, str], ...]
    """(designator, kind, role): secondary roles"""

    @cached_property
    def roles(self) -> Mapping[str, PartRole]:
        """The primary role of every part and section, by designator."""
        also: dict[str, list[tuple[str, str]]] = {}
        for ref, kind, role in self.shared:
            also.setdefault(ref, []).append((kind, role))
        found = {}
        for stage in self.stages:
            for member in stage.roles:
                found[member.ref] = PartRole(
                    ref=member.ref,
                    kind=stage.kind,
                    role=member.role,
                    stage=stage.name,
                    also=tuple(also.get(member.ref, ())),
                )
        for member in self.unstaged:
            found[member.ref] = PartRole(
                ref=member.ref, kind=NO_KIND, role=member.role, stage="", also=tuple(also.get(member.ref, ()))
            )
        return found

    def stage(self, name: str) -> Stage:
        """The stage of that name; KeyError when there is none."""
        return next(stage for stage in self.stages if stage.name == name)


def stage_kinds() -> tuple[StageKind, ...]:
    """Every stage kind, in the order arbitration asks them."""
    kinds = load_family("pedalwright.stages.kinds", StageKind, "KIND")
    return tuple(sorted(kinds, key=lambda kind: (kind.order, kind.kind)))


def kind_named(name: str) -> StageKind:
    """The entry of one stage kind; KeyError when there is none."""
    for kind in stage_kinds():
        if kind.kind == name:
            return kind
    raise KeyError(name)


def kind_of(stage: Stage) -> StageKind:
    """The entry of a stage's kind; of one out of action, an entry that says so and claims nothing."""
    kind, there = _with_common_words(with_resistor_inside(kind_named(stage.kind))), stage.elsewhere
    if there is None:
        return kind
    return replace(
        kind,
        purpose=lambda stage, bench: there.says() + kind.purpose(there.stage, there.bench),
        part_says=lambda stage, ref, bench: there.says() + kind.part_says(there.stage, ref, there.bench),
        numbers=lambda stage, bench: (),
        transfer=lambda stage, bench: None,
    )


def _with_common_words(kind: StageKind) -> StageKind:
    """The same kind with what is said alike for all: of a stage at the jack what it does to a pickup, of a
    capacitor whether it stands the voltage across it.
    """

    def purpose(stage: Stage, bench: Bench) -> str:
        return f"{kind.purpose(stage, bench)}{pickup_says(stage, bench)}"

    def part_says(stage: Stage, ref: str, bench: Bench) -> str:
        return f"{kind.part_says(stage, ref, bench)} {_capital(rating_says(bench, ref))}".rstrip()

    return replace(kind, purpose=purpose, part_says=part_says)


def _capital(sentence: str) -> str:
    return sentence[:1].upper() + sentence[1:]


def bench_for(circuit: Circuit) -> Bench:
    """A measuring bench without solved numbers: all that recognition needs."""
    view = View(circuit)
    return Bench(view, classify(view))


def recognise(bench: Bench) -> StageMap:
    """Stages of a circuit; parts that a switch puts out of action get the role of another position."""
    first, shared = _arbitrated(bench)
    stages = with_other_settings(bench, first, lambda other: _arbitrated(other)[0])
    stages = tuple(replace(stage, name=f"S{place}") for place, stage in enumerate(stages, start=1))
    taken = {member.ref for stage in stages for member in stage.roles}
    primary = {member.ref: stage.kind for stage in stages for member in stage.roles}
    secondary = tuple(item for item in dict.fromkeys(shared) if primary.get(item[0]) != item[1])
    unstaged = package_roles(bench.view)
    return StageMap(stages, tuple(role for role in unstaged if role.ref not in taken), secondary)


def _arbitrated(bench: Bench) -> tuple[tuple[Stage, ...], list[tuple[str, str, str]]]:
    """Kinds are asked in their order; a proposal stands when none of its parts is taken yet. Stages, and
    (designator, kind, role) of secondary roles.
    """
    accepted: list[Proposal] = []
    taken: set[str] = set()
    shared: list[tuple[str, str, str]] = []
    for find in _asked():
        for proposal in _by_weight(find(Claimed(bench, frozenset(taken)))):
            if not proposal.roles or proposal.refs & taken:
                continue
            proposal = _with_rows(proposal, bench.view.rows)
            accepted.append(proposal)
            taken |= proposal.refs
            shared.extend((role.ref, proposal.kind, role.role) for role in proposal.shared)
    return tuple(_stage(f"S{place}", proposal) for place, proposal in enumerate(accepted, start=1)), shared


def _asked() -> tuple[Callable[[Claimed], Iterable[Proposal]], ...]:
    """The finders in their order: those of shapes, those of what is left over, last the general kinds."""
    kinds = stage_kinds()
    shapes = tuple(kind.find for kind in kinds if kind.order < LATE_ORDER)
    late = tuple(kind.late for kind in kinds if kind.late is not None)
    return (*shapes, *late, *(kind.find for kind in kinds if kind.order >= LATE_ORDER))


def _with_rows(proposal: Proposal, rows: Mapping[str, tuple[str, ...]]) -> Proposal:
    """Resistors in a row share the role of the one that stands for them."""
    if not rows:
        return proposal

    def spread(roles: Iterable[Role]) -> tuple[Role, ...]:
        return tuple(Role(ref, role.role) for role in roles for ref in rows.get(role.ref, (role.ref,)))

    return replace(proposal, roles=spread(proposal.roles), shared=spread(proposal.shared))


def _by_weight(proposals: Iterable[Proposal]) -> list[Proposal]:
    """More specific first, then those that explain more parts; never by name."""
    return sorted(proposals, key=lambda proposal: (-proposal.rank, -len(proposal.roles)))


def _stage(name: str, proposal: Proposal) -> Stage:
    return Stage(
        name=name,
        kind=proposal.kind,
        roles=proposal.roles,
        inputs=proposal.inputs,
        output=proposal.output,
        branches=proposal.branches,
        nets=proposal.nets,
    )
