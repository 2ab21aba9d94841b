"""The way a line takes through a stage: from device to device, and on to where the stage ends."""

from pedalwright.report.drawing.layout.outline import Across, Step, Through
from pedalwright.report.drawing.layout.pool import Pool
from pedalwright.report.drawing.layout.ways import entries_of, exits_of
from pedalwright.report.drawing.units import Unit

Way = tuple[list[str], list[Step]]
"""The nets after the first, and the steps to them."""


class WayFinder(Pool):
    """Finds ways among what is left."""

    def way(self, start: str, goal: str | None) -> Way:
        """The nets from the start on, and the steps between: through every device that can be reached, each
        time not past the exit of the next one, and then to the goal.
        """
        nets, steps = [start], list[Step]()
        passed: set[str] = set()
        while (leg := self._leg(nets, goal, passed)) is not None:
            more_nets, more_steps = leg
            nets += more_nets
            steps += more_steps
            passed |= {step.unit.name for step in more_steps if isinstance(step, Through)}
        if goal is not None and nets[-1] != goal:
            rest = self.search(nets[-1], {goal}, banned=set(nets[:-1]))
            if rest is not None:
                nets += rest[0]
                steps += rest[1]
        return nets, steps

    def _leg(self, nets: list[str], goal: str | None, passed: set[str]) -> Way | None:
        """The way to the nearest device not yet passed, and through it."""
        here, used = nets[-1], set(nets[:-1])
        best: Way | None = None
        for unit in self.devices:
            if unit.name in passed:
                continue
            for enter in entries_of(unit):
                leave = self._exit(unit, enter, goal, {*nets})
                if leave is None:
                    continue
                walls = used | {unit.net(pin) for pin in exits_of(unit, enter)} - {here}
                found = self.search(here, {unit.net(enter)}, banned=walls)
                if found is None or {unit.net(leave)} & {here, *used, *found[0]}:
                    continue
                if best is None or len(found[1]) + 1 < len(best[1]):
                    best = ([*found[0], unit.net(leave)], [*found[1], Through(unit, enter, leave)])
        return best

    def _exit(self, unit: Unit, enter: str, goal: str | None, passed: set[str]) -> str | None:
        """The pin a device is left by: the one that leads on to the goal, else the first that moves."""
        moving = [pin for pin in exits_of(unit, enter) if not self.is_still(unit.net(pin))]
        moving = [pin for pin in moving if unit.net(pin) not in passed]
        if goal is not None:
            for pin in moving:
                others = {unit.net(other) for other in exits_of(unit, enter) if other != pin}
                if self.search(unit.net(pin), {goal}, banned=passed | others, devices=True) is not None:
                    return pin
        return moving[0] if moving else None

    def search(self, start: str, goals: set[str], *, banned: set[str], devices: bool = False) -> Way | None:
        """The shortest way over strands (and devices, when asked) from a net to one of some nets, past no
        still one.
        """
        come: dict[str, tuple[str, Step] | None] = {start: None}
        pending = [start]
        for net in pending:
            if net in goals:
                return _traced(net, come)
            for step, far in self._steps_from(net, devices=devices):
                if far not in come and far not in banned and (far in goals or not self.is_still(far)):
                    come[far] = (net, step)
                    pending.append(far)
        return None

    def _steps_from(self, net: str, *, devices: bool) -> list[tuple[Step, str]]:
        found: list[tuple[Step, str]] = [
            (Across(strand.beginning(net)), strand.far(net))
            for strand in self.strands
            if net in (strand.start, strand.end)
        ]
        if devices:
            for unit in self.devices:
                for enter in entries_of(unit):
                    if unit.net(enter) == net:
                        ways = ((Through(unit, enter, pin), unit.net(pin)) for pin in exits_of(unit, enter))
                        found += [way for way in ways if not self.is_still(way[1])]
        return found

    def any_step(self, start: str) -> Way:
        """A line of one step, for what no way leads through."""
        if self.devices:
            unit = self.devices[0]
            enter = entries_of(unit)[0]
            leave = exits_of(unit, enter)
            if not leave:
                return [unit.net(enter)], [Through(unit, enter, "")]
            return [unit.net(enter), unit.net(leave[0])], [Through(unit, enter, leave[0])]
        strand = self.strands[0].beginning(start)
        return [strand.start, strand.end], [Across(strand)]

    def beginning(self) -> str:
        """Where a further line begins: at a device's entry, else at a loose end that comes from elsewhere."""
        if self.devices:
            return self.devices[0].net(entries_of(self.devices[0])[0])
        strand = self.strands[0]
        ends = (strand.start, strand.end)
        return next((net for net in ends if not self.is_still(net)), strand.start)


def _traced(net: str, come: dict[str, tuple[str, Step] | None]) -> Way:
    nets: list[str] = []
    steps: list[Step] = []
    while (before := come[net]) is not None:
        nets.insert(0, net)
        steps.insert(0, before[1])
        net = before[0]
    return nets, steps
