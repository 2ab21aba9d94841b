"""The order in which stages are told: supply, the shortest way from jack to jack, then chains beside it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from pedalwright.stages.bench import Bench
from pedalwright.stages.recognise import StageMap, kind_named
from pedalwright.stages.stage import Stage
from pedalwright.stages.supply_order import SupplyOrder, moving_nets

OSCILLATORS = frozenset({"phase-shift-oscillator", "relaxation-oscillator"})
ECHO, TIME, REPEATS, SWING = "Echo path", "Delay time", "Repeats", "Slow oscillator"
PARALLEL, BESIDE = "Parallel path", "Beside the path"


@dataclass(frozen=True, slots=True, kw_only=True)
class Chain:
    """Stages beside the main path that belong together, in signal order, under a title for the walk."""

    title: str
    stages: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Path:
    """Every stage's name exactly once in `supply`, `main` and `chains`; `loops` are rings of stage names.

    `main` is empty when no way leads from the input jack to the output jack.
    """

    supply: tuple[str, ...]
    main: tuple[str, ...]
    chains: tuple[Chain, ...]
    loops: tuple[tuple[str, ...], ...]

    @property
    def order(self) -> tuple[str, ...]:
        """All stage names in the order they are told."""
        return (*self.supply, *self.main, *(name for chain in self.chains for name in chain.stages))


def signal_path(stage_map: StageMap, bench: Bench) -> Path:
    """Where each stage stands, decided by what it is joined to; equals follow the order of the text."""
    return _Plan(stage_map, bench).path()


def order_stages(stages: StageMap, bench: Bench) -> tuple[Stage, ...]:
    """The stages in the order they are told."""
    return tuple(stages.stage(name) for name in signal_path(stages, bench).order)


@dataclass(frozen=True)
class _Plan:
    map: StageMap
    bench: Bench

    def path(self) -> Path:
        supply = tuple(stage.name for stage in self._supply)
        way = self._way
        main = self._with_attendants(way)
        placed = {*supply, *main}
        chains = tuple(self._chains(placed))
        return Path(supply=supply, main=main, chains=chains, loops=tuple(self._loops))

    @cached_property
    def _supply(self) -> tuple[Stage, ...]:
        return SupplyOrder(self.map, self.bench).stages

    @cached_property
    def _signal(self) -> tuple[Stage, ...]:
        names = {stage.name for stage in self._supply}
        return tuple(stage for stage in self.map.stages if stage.name not in names)

    @cached_property
    def _carrying(self) -> tuple[Stage, ...]:
        """Stages that lead a signal from somewhere to somewhere; controls that end nowhere do not."""
        leading = [stage for stage in self._signal if stage.inputs and stage.output]
        used = {net for stage in leading for net in stage.inputs} | self.bench.flow.jacks
        return tuple(stage for stage in leading if stage.kind != "variable-resistor" or stage.output in used)

    @cached_property
    def _from(self) -> Mapping[str, tuple[Stage, ...]]:
        found: dict[str, list[Stage]] = {}
        for stage in self._carrying:
            for net in stage.inputs:
                found.setdefault(net, []).append(stage)
        return {net: tuple(stages) for net, stages in found.items()}

    @cached_property
    def _way(self) -> tuple[str, ...]:
        """The shortest way from input to output: fewest stages, and among equals the one that avoids the
        echo chip.
        """
        view = self.bench.view
        if not view.input_net or not view.output_net:
            return ()
        before: dict[str, tuple[Stage, str] | None] = {view.input_net: None}
        pending = [view.input_net]
        while pending and view.output_net not in before:
            nexts: list[str] = []
            for net in pending:
                for stage in sorted(self._from.get(net, ()), key=self._plainness):
                    if stage.output not in before:
                        before[stage.output] = (stage, net)
                        nexts.append(stage.output)
            pending = nexts
        way: list[str] = []
        step = before.get(view.output_net)
        while step is not None:
            way.append(step[0].name)
            step = before[step[1]]
        return tuple(reversed(way))

    def _plainness(self, stage: Stage) -> tuple[bool, int, float]:
        level = self.bench.flow.levels.get(stage.output, 0.0)
        return (stage.kind == "echo-chip", kind_named(stage.kind).order, -level)

    @cached_property
    def _attendants(self) -> tuple[Stage, ...]:
        """Stages that stand at a net of the signal without leading it on: pull-downs, feeds, clamps."""
        carrying = {stage.name for stage in self._carrying}
        return tuple(stage for stage in self._signal if stage.name not in carrying)

    def _with_attendants(self, way: Sequence[str]) -> tuple[str, ...]:
        """Each stage of a way, and before it whoever stands at its input; at the end whoever stands at its
        output.
        """
        placed: list[str] = []
        stages = [self.map.stage(name) for name in way]
        for stage in stages:
            placed += [name for name in self._standing_at(frozenset(stage.inputs)) if name not in placed]
            placed.append(stage.name)
        if stages:
            end = frozenset({stages[-1].output})
            placed += [name for name in self._standing_at(end) if name not in placed]
        return tuple(dict.fromkeys(placed))

    def _standing_at(self, nets: frozenset[str]) -> Iterable[str]:
        """Attendants on some nets, and those that hang on them in turn."""
        led = {net for stage in self._carrying for net in (*stage.inputs, stage.output)}
        found: dict[str, None] = {}
        while True:
            more = [
                stage
                for stage in self._attendants
                if stage.name not in found
                and stage.kind != "delay-time-network"
                and nets & moving_nets(self.bench, stage)
            ]
            if not more:
                return found
            found |= dict.fromkeys(stage.name for stage in more)
            nets = frozenset(
                net for stage in more for net in moving_nets(self.bench, stage) if net not in led
            )

    def _chains(self, placed: set[str]) -> Iterable[Chain]:
        """What is left, by title; within one title in the direction of the signal."""
        left = [stage for stage in self._signal if stage.name not in placed]
        titles: dict[str, list[Stage]] = {}
        for stage in left:
            titles.setdefault(self._title(stage, placed), []).append(stage)
        for title in (PARALLEL, ECHO, REPEATS, TIME, SWING, BESIDE):
            if title in titles:
                yield Chain(title=title, stages=tuple(item.name for item in self._ordered(titles[title])))

    def _title(self, stage: Stage, main: set[str]) -> str:
        if stage.kind == "delay-time-network":
            return TIME
        if stage.kind == "feedback-path":
            return REPEATS
        if stage.kind == "echo-chip":
            return ECHO
        if stage.name in self._swings or moving_nets(self.bench, stage) & self._swung_nets:
            return SWING
        if self._is_wet(stage):
            return ECHO
        return PARALLEL if self._is_parallel(stage, main) else BESIDE

    @cached_property
    def _swings(self) -> frozenset[str]:
        """Oscillators by name: of a kind that oscillates, or rings that the input does not reach."""
        rings = [loop for loop in self._loops if not any(net in self._depth for net in self._inputs_of(loop))]
        known = {stage.name for stage in self._signal if stage.kind in OSCILLATORS}
        return frozenset(known | {name for loop in rings for name in loop})

    def _inputs_of(self, names: Iterable[str]) -> Iterable[str]:
        return (net for name in names for net in self.map.stage(name).inputs)

    @cached_property
    def _swung_nets(self) -> frozenset[str]:
        """Nets that an oscillator moves and the input does not reach."""
        starts = [self.map.stage(name).output for name in self._swings]
        reached = {net for start in starts if start for net in self.bench.flow.reaches(start)[0]}
        return frozenset(reached | set(starts)) - frozenset(self._depth) - self._wet_nets

    def _is_parallel(self, stage: Stage, main: set[str]) -> bool:
        """The input reaches it, and it leads back to the main path."""
        if not any(net in self._depth for net in stage.inputs):
            return (
                any(net in self._parallel_nets for net in moving_nets(self.bench, stage)) and not stage.output
            )
        return bool(self._reach(stage) & main)

    @cached_property
    def _parallel_nets(self) -> frozenset[str]:
        way = set(self._way)
        ways = [stage for stage in self._carrying if stage.name not in way and self._reach(stage) & way]
        return frozenset(net for stage in ways for net in stage.inputs if net in self._depth)

    @cached_property
    def _wet_nets(self) -> frozenset[str]:
        """Nets before a coder that the input reaches beside the main path, and every net after a decoder."""
        flow, view = self.bench.flow, self.bench.view
        after: set[str] = set()
        before: set[str] = set()
        for part in view.parts_of("echo-chip"):
            after |= flow.reaches(view.net(part, "12"))[0]
            before.add(view.net(part, "15"))
        return frozenset(after | self._leading_to(before))

    def _leading_to(self, goals: set[str]) -> set[str]:
        found = set(goals)
        while True:
            more = {net for stage in self._carrying if stage.output in found for net in stage.inputs} - found
            if not more:
                return found
            found |= more

    def _is_wet(self, stage: Stage) -> bool:
        if not self.bench.view.parts_of("echo-chip"):
            return False
        if stage.output:
            return stage.output in self._wet_nets
        return bool(moving_nets(self.bench, stage) & self._wet_nets)

    def _ordered(self, stages: Sequence[Stage]) -> list[Stage]:
        """Along the signal: a stage after those whose outputs it takes; rings are cut at their shallowest
        stage.
        """
        left = {stage.name: stage for stage in stages}
        done: list[Stage] = []
        while left:
            made = {stage.output: stage.name for stage in left.values() if stage.output}
            ready = [
                stage
                for stage in left.values()
                if not any(
                    made.get(net, stage.name) != stage.name
                    for net in stage.inputs or moving_nets(self.bench, stage)
                )
            ]
            pool = ready or list(left.values())
            first = min(pool, key=self._depth_key)
            done.append(left.pop(first.name))
        return done

    def _depth_key(self, stage: Stage) -> tuple[int, int]:
        nets = stage.inputs or tuple(moving_nets(self.bench, stage))
        depth = min((self._depth.get(net, 10**6) for net in nets), default=10**6)
        return (depth, kind_named(stage.kind).order)

    @cached_property
    def _depth(self) -> Mapping[str, int]:
        """How many stages lie between the input jack and each net; oscillators count from their
        own outputs.
        """
        depth = {self.bench.view.input_net: 0}
        while True:
            more = {
                stage.output: 1 + min(depth[net] for net in stage.inputs if net in depth)
                for stage in self._carrying
                if stage.output not in depth and any(net in depth for net in stage.inputs)
            }
            if not more:
                return depth
            depth |= more

    @cached_property
    def _loops(self) -> tuple[tuple[str, ...], ...]:
        """Groups of two stages or more that each lead to all others of the group."""
        reach = {stage.name: self._reach(stage) for stage in self._carrying}
        found: dict[frozenset[str], None] = {}
        for name, far in reach.items():
            ring = frozenset(other for other in far if name in reach[other])
            if len(ring) > 1:
                found.setdefault(ring, None)
        rings = [self._ordered([self.map.stage(name) for name in ring]) for ring in found]
        return tuple(tuple(stage.name for stage in ring) for ring in rings)

    def _reach(self, stage: Stage) -> frozenset[str]:
        seen: set[str] = set()
        pending = [stage.output]
        while pending:
            for other in self._from.get(pending.pop(), ()):
                if other.name not in seen:
                    seen.add(other.name)
                    pending.append(other.output)
        return frozenset(seen)
